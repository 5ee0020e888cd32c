"""Families of sizes in words: the table, what is shared, why there is none."""

from __future__ import annotations

__all__ = [
    "Graded",
    "beside",
    "families_frame",
    "family_page",
    "family_rounds",
    "markdown_page",
    "no_family",
    "to_csv",
    "to_json",
]

from .export import families_frame, to_csv, to_json
from .graded import Graded
from .markdown import markdown_page
from .none import no_family
from .page import family_page
from .rounds import family_rounds
from .under import beside
