"""The fields' types, each with its limits and its words, and the base of every table.

A limit here is where a number stops making sense, not where a hat stops being a good one.
"""

from __future__ import annotations

from typing import Annotated, Any, ClassVar

from pydantic import BaseModel, ConfigDict, Field, PlainValidator, ValidationInfo

from evenround.solver.piece import Rhythm

from .brief_values import Run, around, length, number, one_of, share, whole, whole_range
from .facts import stitches
from .rounds.figures import figure_names

Head = Annotated[
    float,
    length(
        25,
        80,
        "a head is between 25 and 80 cm (10 and 31 in) around; other things have a circumference",
    ),
]
Ease = Annotated[float, length(-20, 30, "ease is between -20 and 30 cm")]
Depth = Annotated[float, length(0.5, 200, "a depth is more than 0 and at most 200 cm")]
BrimWidth = Annotated[float, length(0.2, 60, "a brim's width is more than 0 and at most 60 cm")]
Small = Annotated[float, length(0.1, 100, "a length here is more than 0 and at most 100 cm")]
Hole = Annotated[float, length(0, 30, "a hole is from 0 to 30 cm across")]
Around = Annotated[float | Run, around()]
OwnAround = Annotated[float, length(5, 500, "a circumference is between 5 and 500 cm")]
Tolerance = Annotated[float, length(0, 50, "a tolerance is from 0 to 50 cm")]
Flare = Annotated[float, number(0, 90, "a flare is from 0 (straight down) to 90 degrees (flat)")]
Degrees = Annotated[float, number(0, 90, "a tolerance of flare is from 0 to 90 degrees")]
Fullness = Annotated[float, number(1, 2, "a brim's fullness is from 1 (flat) to 2")]
FirmRounds = Annotated[int, whole(0, 40, "firm rounds are a whole number from 0 to 40")]
Sectors = Annotated[int, whole(2, 60, "sectors are a whole number from 2 to 60")]
SectorRange = Annotated[tuple[int, int], whole_range(2, 60, "a range of sectors")]
Rounds = Annotated[tuple[int, int], whole_range(0, 400, "a number of rounds")]
Remainder = Annotated[int, whole(0, 199, "a remainder is a whole number from 0 to 199")]


def terms_of(info: ValidationInfo) -> str:
    """The terms a brief names its stitches in: "us" or "uk"."""
    context: dict[str, Any] = info.context or {}
    return str(context.get("terms", "us"))


def other_terms(name: str, terms: str) -> str | None:
    """What to say of a stitch that only the other terms have; None for every other word."""
    other = "uk" if terms == "us" else "us"
    us = stitches(other).get(name.strip().lower())
    if us is None or name.strip().lower() in stitches(terms):
        return None
    own = next(mine for mine, each in stitches(terms).items() if each == us)
    return (
        f"{name.strip().lower()} is a {other.upper()} word: write {own}, or "
        f'terms = "{other}" for the whole brief'
    )


def _read_stitch(value: object, info: ValidationInfo) -> str:
    terms = terms_of(info)
    known = stitches(terms)
    if not isinstance(value, str) or value.strip().lower() not in known:
        hint = other_terms(value, terms) if isinstance(value, str) else None
        right = f"a stitch is one of {', '.join(known)} ({terms.upper()} terms)"
        raise ValueError(hint or right)
    return known[value.strip().lower()]


Stitch = Annotated[str, PlainValidator(_read_stitch)]
FigureName = Annotated[str, one_of(lambda _: list(figure_names()), "a figure")]

RHYTHMS = {
    "every round": Rhythm(1, 1),
    "every second": Rhythm(1, 2),
    "every third": Rhythm(1, 3),
    "every fourth": Rhythm(1, 4),
    "every fifth": Rhythm(1, 5),
    "two of three": Rhythm(2, 3),
}


def read_rhythms(value: object) -> tuple[Rhythm, ...]:
    """The rhythms a brim may have, each once, by their words."""
    right = f"rhythms are a list of: {', '.join(RHYTHMS)}"
    if not isinstance(value, list) or not value:
        raise ValueError(right)
    if any(not isinstance(each, str) or each.strip() not in RHYTHMS for each in value):
        raise ValueError(right)
    return tuple(dict.fromkeys(RHYTHMS[each.strip()] for each in value))


Flag = Annotated[bool, Field(strict=True)]
Stretch = Annotated[float, share("a stretch")]
NudgeShare = Annotated[float, share("a nudge")]
RepeatShare = Annotated[float, share("a tolerance of repeat width")]


class Fields(BaseModel):
    """Base of every table: unknown keys are faults, nothing changes afterwards.

    ``inner`` names the tables inside this one, so that a fault can list their keys.
    """

    model_config = ConfigDict(  # built once, as parts of the whole
        defer_build=True, extra="forbid", frozen=True, arbitrary_types_allowed=True
    )
    inner: ClassVar[dict[str, Any]] = {}
