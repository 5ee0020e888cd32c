"""A design adapted: what it does, what changes, before and after."""
