"""Yarns ranked for a brief's sizes, in words."""
