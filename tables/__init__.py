"""Trade tables; counts into words and tables, words into counts."""
