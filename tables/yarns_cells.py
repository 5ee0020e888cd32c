"""Single cells of a file of yarns: numbers with a point or a comma, lengths, areas.

Each reader promises a number within limits or a CellError that names the column, what was found
and what would be right.
"""

from __future__ import annotations

import re

from .lengths import parse_length

_NUMBER = re.compile(r"[0-9]+(?:[.,][0-9]+)?", re.ASCII)
_SQUARE = re.compile(r"(?P<number>[0-9]+(?:[.,][0-9]+)?)\s*(?P<unit>cm|in)\s*(?:2|\u00b2)")
SQUARE_CM = {"cm": 1.0, "in": 2.54 * 2.54}
RIGHT_AREA = "an area is written 10cm x 10cm, or 100cm2"


class CellError(ValueError):
    """A cell that cannot be read; the text is for the person who wrote it."""


def shown(text: str) -> str:
    """What was found, short and on one line."""
    if not text:
        return "nothing"
    quoted = repr(text)
    return quoted if len(quoted) <= 42 else f"{quoted[:39]}..."


def _number(column: str, text: str, most: float, right: str) -> float:
    if not _NUMBER.fullmatch(text) or len(text) > 20:
        raise CellError(f"{column}: found {shown(text)}; {right}")
    if re.fullmatch(r"[0-9]+,[0-9]{3}", text):
        either = "which could be read two ways; write it with a point"
        raise CellError(f"{column}: found {shown(text)}, {either}")
    number = float(text.replace(",", "."))
    if not 0 < number <= most:
        raise CellError(f"{column}: found {shown(text)}; {right}")
    return number


def count(column: str, text: str) -> float:
    """Stitches or rounds of a gauge."""
    return _number(column, text, 150, "a number such as 18 or 18.5, at most 150, would be right")


def grams(column: str, text: str) -> float:
    """A weight in grams, with or without its g."""
    right = "grams such as 50, at most 10000, would be right"
    return _number(column, re.sub(r"\s*g$", "", text), 10_000, right)


def metres(column: str, text: str) -> float:
    """Metres on a ball, with or without the m."""
    right = "metres such as 120, at most 100000, would be right"
    return _number(column, re.sub(r"\s*m$", "", text), 100_000, right)


def over(text: str) -> float:
    """What a gauge is counted over, in cm: never a bare number."""
    if not text or _NUMBER.fullmatch(text):
        right = "10cm or 4in would be right: labels mix the two up"
        raise CellError(f"over: found {shown(text)}; {right}")
    try:
        cm = parse_length(text, "cm")
    except ValueError:
        raise CellError(f"over: found {shown(text)}; 10cm or 4in would be right") from None
    if not 1 <= cm <= 100:
        raise CellError(f"over: found {shown(text)}; from 1 to 100 cm, best 10cm or 4in")
    return cm


def area(text: str) -> float:
    """A swatch's area in cm2."""
    plain = text.strip().lower()
    if found := _SQUARE.fullmatch(plain):
        value = float(found["number"].replace(",", ".")) * SQUARE_CM[found["unit"]]
    else:
        value = _two_sides(plain, text)
    if not 0 < value <= 1e6:
        raise CellError(f"swatch_area: found {shown(text)}; {RIGHT_AREA}")
    return value


def _two_sides(plain: str, text: str) -> float:
    """``10cm x 12cm``; the first may borrow the second's unit."""
    sides = re.split(r"\s*[x\u00d7*]\s*", plain)
    unit = re.search(r"[a-z\"]+$", sides[-1])
    if len(sides) != 2 or unit is None:
        raise CellError(f"swatch_area: found {shown(text)}; {RIGHT_AREA}")
    first = sides[0] + unit[0] if _NUMBER.fullmatch(sides[0]) else sides[0]
    try:
        return parse_length(first, "cm") * parse_length(sides[1], "cm")
    except ValueError:
        raise CellError(f"swatch_area: found {shown(text)}; {RIGHT_AREA}") from None
