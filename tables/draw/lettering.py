"""How much room a text takes: widths of letters in a wide typeface, cutting and breaking lines.

Nobody knows which typeface a reader has; these are somewhat wider than most (DejaVu Sans,
measured), so that what fits here fits.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache

TEXT = 12.0
SMALL = 11.0
"""Sizes of lettering."""

BOLD = 1.12
NARROW = frozenset("iljtfr.,:;'()| ")


@cache
def letter(mark: str) -> float:
    """How wide a letter is, its size being 1."""
    if mark in NARROW:
        return 0.36
    if mark in "mwMW":
        return 0.97
    if ord(mark) >= 0x1100:  # scripts written in squares, signs, the dots of a cut text
        return 1.0
    return 0.72 if mark.isupper() else 0.63


def wide(text: str, size: float = TEXT, *, bold: bool = False) -> float:
    """About the width of a line of text."""
    return sum(map(letter, text)) * size * (BOLD if bold else 1.0)


def shortened(text: str, room: float, size: float = SMALL, *, bold: bool = False) -> str:
    """The text, cut where it would take more than ``room``."""
    if wide(text, size, bold=bold) <= room:
        return text
    while text and wide(f"{text}…", size, bold=bold) > room:
        text = text[:-1]
    return f"{text.rstrip()}…"


def broken(text: str, room: float, size: float = SMALL) -> Iterator[str]:
    """The text in lines that fit ``room``, broken between words; a word too long is cut."""
    line = ""
    for word in text.split():
        longer = f"{line} {word}" if line else word
        if line and wide(longer, size) > room:
            yield shortened(line, room, size)
            longer = word
        line = longer
    if line:
        yield shortened(line, room, size)
