"""Families of sizes in words: the table, what is shared, why there is none."""
