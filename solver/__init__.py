"""Numbers only: gauge, geometry, sections, the integer model and the search."""
