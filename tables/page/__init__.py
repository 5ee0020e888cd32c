"""The page: a brief's candidates as one HTML file, from results that were found already."""

from .answers import Answers, SizeAnswer
from .render import page

__all__ = ["Answers", "SizeAnswer", "page"]
