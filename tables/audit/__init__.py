"""Judging a written pattern: every round counted, what disagrees, what would mend it."""
