"""Many sites at once: what each comes to in a row, on all cores or a cluster, and where two want the same thing."""
