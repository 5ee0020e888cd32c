"""Lengths as people write them, in and out: 56cm, 560 mm, 22 1/2", 1 ft 10 in.

Promises a finite number of centimetres or a ValueError whose text says what a length looks
like. An inch is 2.54 cm exactly, so 4 in is 10.16 cm. Nothing here judges whether a length is
a sensible one.
"""

from __future__ import annotations

import re
import unicodedata
from functools import cache
from math import isfinite

from .plan import Unit

CM_PER = {"mm": 0.1, "cm": 1.0, "m": 100.0, "in": 2.54, "ft": 30.48}
"""Centimetres in one of each unit."""

RIGHT = "a length is a number with mm, cm, m, in or ft, such as 56cm, 22 1/2 in or 1 ft 10 in"

_NUMBER = r"(?:[0-9]+(?:\s+|-)[0-9]+/[0-9]+|[0-9]+/[0-9]+|[0-9]+(?:[.,][0-9]+)?|[.,][0-9]+)"
_UNITS = (
    ("mm", r"mm|millimet(?:re|er)s?"),
    ("cm", r"cms?|centimet(?:re|er)s?"),
    ("m", r"m|met(?:re|er)s?"),
    ("in", r"in\.?|inch|inches|\"|''"),
)
_UNIT = "|".join(words for _, words in _UNITS)
_LONGEST = 60
# curly and true primes, the minus sign, the dash, the slash of vulgar fractions
_MARKS = str.maketrans("\u2033\u201d\u201c\u2032\u2019\u2212\u2013\u2044", '"""\'\'--/')


def parse_length(value: object, unit: Unit) -> float:
    """Centimetres of a number or a text; bare numbers are in ``unit``.

    Raises ValueError (text: what would be right) on anything else, infinities and NaN too.
    """
    if isinstance(value, bool) or not isinstance(value, int | float | str):
        raise ValueError(RIGHT)
    if isinstance(value, str):
        return _from_text(value, unit)
    try:
        number = float(value) * CM_PER[unit]
    except OverflowError:
        number = float("inf")
    if not isfinite(number):
        raise ValueError("a length is a finite number")
    return number


def format_length(cm: float, unit: Unit, places: int = 1) -> str:
    """``56.8 cm`` or ``22.4 in``; never a minus before zero."""
    return f"{round(cm / CM_PER[unit], places) + 0.0:.{places}f} {unit}"


@cache
def _whole() -> re.Pattern[str]:
    """The whole grammar, compiled when the first text is read: plain numbers need none of it."""
    return re.compile(
        rf"(?P<sign>[+-]?)\s*(?:(?P<feet>{_NUMBER})\s*(?:ft\.?|feet|foot|'(?!')))?"
        rf"\s*(?:(?P<rest>{_NUMBER})\s*(?P<unit>{_UNIT})?)?"
    )


def _from_text(text: str, unit: Unit) -> float:
    found = None
    if len(text) <= _LONGEST:
        found = _whole().fullmatch(_plain(text))
    if found is None or (found["feet"] is None and found["rest"] is None):
        raise ValueError(RIGHT)
    if found["feet"] is not None and found["rest"] is not None and _unit_of(found) != "in":
        raise ValueError("after feet come inches, such as 1 ft 10 in")
    cm = 0.0
    if found["feet"] is not None:
        cm += _number(found["feet"]) * CM_PER["ft"]
    if found["rest"] is not None:
        cm += _number(found["rest"]) * CM_PER[_unit_of(found) or unit]
    if not isfinite(cm):
        raise ValueError("a length is a finite number")
    return -cm if found["sign"] == "-" else cm


def _plain(text: str) -> str:
    """Lower case, typewriter quotes, and vulgar fractions spelled out with a space before them."""
    out = []
    for mark in text:
        spelled = unicodedata.normalize("NFKC", mark)
        out.append(f" {spelled}" if "\u2044" in spelled else mark)
    return "".join(out).translate(_MARKS).strip().lower()


def _unit_of(found: re.Match[str]) -> str | None:
    word = found["unit"]
    if word is None:
        return None
    return next(name for name, words in _UNITS if re.fullmatch(words, word))


def _number(text: str) -> float:
    """A decimal (point or comma), a fraction, or a whole with a fraction."""
    if "/" not in text:
        if re.fullmatch(r"[0-9]+,[0-9]{3}", text):
            raise ValueError(f"{text} could be read two ways; write it with a point or without one")
        return float(text.replace(",", "."))
    *whole, fraction = re.split(r"[\s-]+", text)
    above, below = (int(part) for part in fraction.split("/"))
    if below == 0:
        raise ValueError("a fraction has something other than 0 below the line")
    return float(whole[0] if whole else 0) + above / below
