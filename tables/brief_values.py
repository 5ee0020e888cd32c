"""The kinds of value a brief is made of, each with what would be right in its own words.

Lengths become centimetres (bare numbers in the brief's own unit, which pydantic's context
carries), shares fractions, ranges pairs. Infinities, NaN and truth values are refused
wherever a number is wanted.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from math import isfinite
from typing import Annotated, Any

from pydantic import PlainValidator, ValidationInfo

from .brief_faults import Fault, FaultsError, fault, nearest
from .lengths import parse_length
from .plan import Unit


@dataclass(frozen=True, slots=True)
class Run:
    """A circumference that runs evenly from one width to another, in cm."""

    first_cm: float
    last_cm: float


@dataclass(frozen=True, slots=True)
class Term:
    """A repeat or a count: ``stitches``, plus t where ``give``, plus the + 1 of flat patterns."""

    stitches: int
    give: bool = False
    over: int = 0

    def __str__(self) -> str:
        return f"{self.stitches}{'+t' if self.give else ''}{f'+{self.over}' if self.over else ''}"


def _unit(info: ValidationInfo) -> Unit:
    context: dict[str, Any] = info.context or {}
    unit: Unit = context.get("unit", "cm")
    return unit


def _read_length(value: object, unit: Unit, low: float, high: float, right: str) -> float:
    cm = parse_length(value, unit)
    if not low <= cm <= high:
        raise ValueError(right)
    return cm


def length(low: float, high: float, right: str) -> PlainValidator:
    """A length from ``low`` to ``high`` cm, both included."""

    def read(value: object, info: ValidationInfo) -> float:
        return _read_length(value, _unit(info), low, high, right)

    return PlainValidator(read)


def _read_number(value: object, low: float, high: float, right: str) -> float:
    if isinstance(value, str) and re.fullmatch(r"\s*-?[0-9]{1,20}([.,][0-9]{1,20})?\s*", value):
        value = float(value.replace(",", "."))
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise ValueError(right)
    if not low <= value <= high:  # false for NaN as well
        raise ValueError(right)
    return float(value)


def number(low: float, high: float, right: str) -> PlainValidator:
    """A number from ``low`` to ``high``, both included; a flag's text is read too."""
    return PlainValidator(lambda value: _read_number(value, low, high, right))


def read_whole(value: object, low: int, high: int, right: str) -> int:
    """A whole number from ``low`` to ``high``; digits in a text are read, 8.0 is not."""
    if isinstance(value, str) and re.fullmatch(r"\s*-?[0-9]{1,9}\s*", value):
        value = int(value)
    if isinstance(value, bool) or not isinstance(value, int) or not low <= value <= high:
        raise ValueError(right)
    return value


def whole(low: int, high: int, right: str) -> PlainValidator:
    """A whole number from ``low`` to ``high``, both included."""
    return PlainValidator(lambda value: read_whole(value, low, high, right))


def whole_range(low: int, high: int, what: str) -> PlainValidator:
    """One whole number, or [least, most]; becomes a pair."""
    right = f"{what} is a whole number from {low} to {high}, or [least, most] of them"

    def read(value: object) -> tuple[int, int]:
        ends = value if isinstance(value, list | tuple) else [value, value]
        if len(ends) != 2:
            raise ValueError(right)
        first, last = (read_whole(end, low, high, right) for end in ends)
        if first > last:
            raise ValueError(f"{right}, the least first")
        return first, last

    return PlainValidator(read)


def _read_share(value: object, right: str) -> float:
    if isinstance(value, str) and value.strip().endswith("%"):
        return _read_number(value.strip()[:-1], 0, 100, right) / 100
    if isinstance(value, str):
        raise ValueError(right)
    return _read_number(value, 0, 1, right)


def share(what: str) -> PlainValidator:
    """A share as ``"10%"`` or 0.10."""
    right = f'{what} is a share from "0%" to "100%", or from 0 to 1'
    return PlainValidator(lambda value: _read_share(value, right))


def around() -> PlainValidator:
    """A circumference, or { from = ..., to = ... }; becomes cm or a Run."""
    right = "a circumference is between 5 and 500 cm, or { from = ..., to = ... }"

    def read(value: object, info: ValidationInfo) -> float | Run:
        if not isinstance(value, dict):
            return _read_length(value, _unit(info), 5, 500, right)
        ends, faults = [], []
        for key in ("from", "to"):
            if key not in value:
                faults.append(Fault((key,), "missing"))
                continue
            try:
                ends.append(_read_length(value[key], _unit(info), 5, 500, right))
            except ValueError as error:
                faults.append(fault((key,), value[key], str(error)))
        extra = [key for key in value if key not in {"from", "to"}]
        faults += [Fault((key,), "unknown key; the keys here are: from, to") for key in extra]
        if faults:
            raise FaultsError(faults)
        return Run(*ends)

    return PlainValidator(read)


_TERM = re.compile(r"([0-9]{1,6})\s*(\+\s*t)?\s*(?:\+\s*([0-9]{1,6}))?\s*(\+\s*t)?")


def read_term(value: object, right: str) -> Term:
    """``6``, ``"8+t"``, ``"6 + 1"`` or ``"8 + t + 1"``; ValueError(right) on anything else."""
    if isinstance(value, int) and not isinstance(value, bool):
        if not 0 <= value <= 1_000_000:
            raise ValueError(right)
        return Term(value)
    found = _TERM.fullmatch(value.strip().lower()) if isinstance(value, str) else None
    if found is None or (found[2] and found[4]):
        raise ValueError(right)
    return Term(int(found[1]), bool(found[2] or found[4]), int(found[3] or 0))


REPEAT_RIGHT = (
    'a repeat is a whole number from 1 to 200, with give "8+t", or "6 + 1" of a flat pattern'
)


def read_repeat(value: object) -> Term:
    """A band's or edging's repeat."""
    term = read_term(value, REPEAT_RIGHT)
    if not 1 <= term.stitches <= 200:
        raise ValueError("a repeat is a whole number from 1 to 200")
    if term.over > term.stitches:
        raise ValueError("what comes after the + of a repeat is less than the repeat")
    return term


def read_counts(value: object) -> tuple[Term, ...]:
    """A figure's counts per repeat: before it, then after each of its rounds."""
    right = 'counts are a list like ["8+t", "10+t", "8+t"]: before, then after each round'
    if not isinstance(value, list) or not 2 <= len(value) <= 60:
        raise ValueError(right)
    terms = tuple(read_term(each, right) for each in value)
    if any(not 1 <= term.stitches <= 400 or term.over for term in terms):
        raise ValueError(f"{right}; each from 1 to 400")
    return terms


def read_leaves(value: object) -> Term:
    """What a repeat leaves after its rounds."""
    right = 'leaves is the count a repeat leaves, a whole number from 1 to 400 or "8+t"'
    term = read_term(value, right)
    if not 1 <= term.stitches <= 400 or term.over:
        raise ValueError(right)
    return term


def read_area(value: object, info: ValidationInfo) -> float:
    """A swatch's area in cm2: ``"10cm x 10cm"``, or a plain number of the brief's own square
    unit."""
    right = 'an area is written "10cm x 10cm", or as a number of square cm (or in, with that unit)'
    if isinstance(value, str) and (sides := re.split(r"\s*[x\u00d7]\s*", value.strip().lower())):
        if len(sides) != 2:
            raise ValueError(right)
        try:
            one, other = (parse_length(side, _unit(info)) for side in sides)
        except ValueError as error:
            raise ValueError(right) from error
        value = one * other
    else:
        value = _read_number(value, 0, 1e6, right) * (6.4516 if _unit(info) == "in" else 1)
    area = _read_number(value, 0, 1e6, right)
    if not isfinite(area) or area <= 0:
        raise ValueError(right)
    return area


def read_name(value: object) -> str:
    """A name or title: one line of printable text, not empty, at most 60 characters."""
    right = "a name is one line of text, from 1 to 60 characters"
    if not isinstance(value, str):
        raise ValueError(right)
    text = value.strip()
    if not 1 <= len(text) <= 60 or not text.isprintable():
        raise ValueError(right)
    return text


def one_of(names: Callable[[ValidationInfo], list[str]], what: str) -> PlainValidator:
    """A text that is one of ``names`` (which may depend on the brief's terms)."""

    def read(value: object, info: ValidationInfo) -> str:
        known = names(info)
        if not isinstance(value, str) or value.strip() not in known:
            close = isinstance(value, str) and nearest(value.strip(), known, "")
            if close and close.startswith("did you mean"):
                raise ValueError(close)
            raise ValueError(f"{what} is one of {', '.join(known)}")
        return value.strip()

    return PlainValidator(read)


Name = Annotated[str, PlainValidator(read_name)]
Repeat = Annotated[Term, PlainValidator(read_repeat)]
Counts = Annotated[tuple[Term, ...], PlainValidator(read_counts)]
Leaves = Annotated[Term, PlainValidator(read_leaves)]
Area = Annotated[float, PlainValidator(read_area)]
