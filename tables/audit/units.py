"""Centimetres or inches: the unit a pattern's lengths are shown in.

Taken from the words where the text is at hand, else from which unit the lengths are round in.
"""

from __future__ import annotations

import re

from evenround.tables.gauges import FOUR_INCHES
from evenround.tables.plan import Unit
from evenround.tables.rounds.pattern import Pattern

_INCHES = re.compile(
    r"[\d)]\s*(?:\"|\u201d|\u2033|''|in\b(?!\s+(?:the|an?|each|next|every|ring|same)\b)|inch)"
)
_CENTIMETRES = re.compile(r"[\d)]\s*(?:cms?\b|mm\b|centimet)")


def unit_of(pattern: Pattern, text: str = "") -> Unit:
    """The unit most of the lengths stated have, each line that states some counted by its words;
    of as many in both the gauge decides. Without words: inches where more lengths are round in
    inches alone than in centimetres alone."""
    lines = text.splitlines()
    where = [gauge.where.line for gauge in pattern.gauges]
    where += [measure.where.line for measure in pattern.measures]
    said = [lines[at - 1].lower() for at in sorted(set(where)) if 0 < at <= len(lines)]
    inches = sum(len(_INCHES.findall(line)) for line in said)
    cm = sum(len(_CENTIMETRES.findall(line)) for line in said)
    if inches != cm:
        return "in" if inches > cm else "cm"
    overs = [gauge.over_cm for gauge in pattern.gauges if gauge.over_cm]
    lengths = overs + [value for measure in pattern.measures for value in measure.values_cm]
    by_gauge = _more_inches(overs)
    return "in" if (by_gauge if inches and by_gauge else _more_inches(lengths)) > 0 else "cm"


def _more_inches(lengths: list[float]) -> int:
    """How many more lengths are round in inches alone than in centimetres alone."""
    kinds = [(_in_inches(cm), _is_round(cm, 10)) for cm in lengths]
    return sum(inches and not cm for inches, cm in kinds) - sum(
        cm and not inches for inches, cm in kinds
    )


def _in_inches(cm: float) -> bool:
    """Eighths, tenths or hundredths of an inch."""
    return _is_round(cm / 2.54, 8) or _is_round(cm / 2.54, 100)


def over_words(over: float, unit: Unit) -> str:
    """What a gauge is stated over, as it was said: 10 cm never as 4 in."""
    if abs(over - FOUR_INCHES) < 0.01:
        return "4 in"
    if _is_round(over, 2):
        return f"{over:g} cm"
    if _is_round(over / 2.54, 8):
        return f"{over / 2.54:g} in"
    return f"{over:g} cm" if unit == "cm" else f"{over / 2.54:g} in"


def _is_round(value: float, parts: int) -> bool:
    return abs(value * parts - round(value * parts)) < 1e-6
