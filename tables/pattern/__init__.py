"""A whole pattern from a plan and a candidate: as data, as a page, as JSON."""

from .data import pattern_data, to_json
from .known import Known, known_of
from .page import to_markdown, to_text
from .whole import write_pattern
from .written import Heading, WrittenPattern, WrittenRound

__all__ = [
    "Heading",
    "Known",
    "WrittenPattern",
    "WrittenRound",
    "known_of",
    "pattern_data",
    "to_json",
    "to_markdown",
    "to_text",
    "write_pattern",
]
