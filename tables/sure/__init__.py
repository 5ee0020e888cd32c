"""How sure a hat is to fit: the gauge's spread and the heads served, in words."""
