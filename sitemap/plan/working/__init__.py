"""Every figure of the sheets as a step somebody can rework: formula by number, what goes in, what comes out."""
