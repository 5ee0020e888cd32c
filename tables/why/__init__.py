"""Why nothing fits, and the ways out, in words."""
