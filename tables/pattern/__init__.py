"""A candidate as a whole written pattern."""
