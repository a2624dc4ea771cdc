"""A pass that cannot be fooled: a safe site of our own, and what must bar its kiln when one thing is changed."""
