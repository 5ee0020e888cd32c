"""A whole pattern from a plan and a candidate: as data, as a page, as JSON; or one pattern for
all sizes of a family."""

from .all_sizes import write_all_sizes
from .data import pattern_data, sizes_data, to_json
from .known import Known, known_of
from .marks import MOST_SIZES
from .page import to_markdown, to_text
from .sizes_page import to_markdown as sizes_to_markdown
from .sizes_page import to_text as sizes_to_text
from .sizes_written import SizesHeading, SizesLine, SizesPattern
from .whole import write_pattern
from .written import Heading, WrittenPattern, WrittenRound

__all__ = [
    "MOST_SIZES",
    "Heading",
    "Known",
    "SizesHeading",
    "SizesLine",
    "SizesPattern",
    "WrittenPattern",
    "WrittenRound",
    "known_of",
    "pattern_data",
    "sizes_data",
    "sizes_to_markdown",
    "sizes_to_text",
    "to_json",
    "to_markdown",
    "to_text",
    "write_all_sizes",
    "write_pattern",
]
