"""Text from a brief or a pattern stays text: in a spreadsheet, in Markdown, in HTML.

Every CSV of the project is written here, so that no writer can forget it: what a spreadsheet
would take for a formula gets an apostrophe in front, which is how spreadsheets mark text.
Numbers that are numbers (a miss of -0.4) stay so.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pandas import DataFrame

FORMULA_SIGNS = ("=", "+", "-", "@", "\t", "\r", "\n", "\uff1d", "\uff0b", "\uff0d", "\uff20")
"""What a cell must not begin with; the last four are the wide forms of the first four."""
_MARKS = re.compile(
    r"[\\*`\[\]<>|]|~(?=\S)|(?<=\S)~|(?<![^\W_])_|_(?![^\W_])|&(?=#?\w+;)|^#(?=#*\s)", re.MULTILINE
)  # _ inside a word, a lone & or ~ and # within a line are nothing to Markdown
_TICKS = re.compile(r"`{3,}")


def looks_like_formula(text: str) -> bool:
    """Whether a spreadsheet might calculate with the text; spaces before the sign do not help."""
    return text.lstrip(" ").startswith(FORMULA_SIGNS)


def safe_text(text: str) -> str:
    """The text as a cell of a CSV. A carriage return, which would not be put into quotes and so
    could begin a line of its own, becomes a line end."""
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    return f"'{text}" if looks_like_formula(text) else text


def csv_text(columns: Sequence[str], rows: Iterable[Iterable[object]]) -> str:
    """A whole CSV: a heading, then the rows; None is an empty cell."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(map(safe_text, columns))
    for row in rows:
        writer.writerow([safe_text(cell) if isinstance(cell, str) else cell for cell in row])
    return out.getvalue()


def records_csv(records: Sequence[Mapping[str, object]]) -> str:
    """A CSV of records that all have the same keys; nothing where there are none."""
    if not records:
        return ""
    return csv_text(list(records[0]), (record.values() for record in records))


def frame_csv(frame: DataFrame) -> str:
    """A frame as CSV without its index; missing values are empty cells."""
    frame = frame.copy()
    for name in frame.columns:
        if str(frame[name].dtype) in ("string", "str", "object"):
            cells = [safe_text(c) if isinstance(c, str) else c for c in frame[name]]
            frame[name] = type(frame[name])(cells, dtype=frame[name].dtype, index=frame.index)
    text: str = frame.to_csv(index=False, lineterminator="\n")
    return text


def in_markdown(text: str) -> str:
    """Text that Markdown shows as it is: stars, brackets, angle brackets and the like escaped."""
    return _MARKS.sub(r"\\\g<0>", text)


def fenced(text: str) -> str:
    """Lines that Markdown shows as they are, in a fence longer than any run of ticks in them."""
    longest = max((len(run) for run in _TICKS.findall(text)), default=2)
    fence = "`" * (longest + 1)
    return f"{fence}text\n{text.rstrip()}\n{fence}"
