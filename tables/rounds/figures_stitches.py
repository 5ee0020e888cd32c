"""What steps are made of: the stitches used, the main one, whether they leave chain spaces."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence

from evenround.tables.facts import table

from .pattern import Terms
from .steps import (
    Bunch,
    Chain,
    EveryNth,
    Into,
    Part,
    Picot,
    Repeat,
    Several,
    Spread,
    Step,
    Stitch,
    Together,
    Work,
)

_POSTS = {"none": "", "front": "FP", "back": "BP"}


def stitches_used(steps: Iterable[Step]) -> tuple[str, ...]:
    """Names in US terms, each once, in order of appearance: sc, FPdc, dc7tog, puff, ch."""
    return tuple(dict.fromkeys(name for step in steps for name in _names(step)))


def _names(step: Step) -> Iterator[str]:
    match step:
        case Work() | Spread():
            yield _name(step.stitch)
        case Into() | EveryNth():
            for part in step.parts:
                yield _part(part)
            if isinstance(step, EveryNth) and step.plain is not None:
                yield _name(step.plain)
        case Together():
            yield f"{_name(step.stitch)}{step.legs}tog"
        case Chain():
            yield "ch"
        case Picot():
            yield "picot"
        case Repeat():
            for inner in step.steps:
                yield from _names(inner)
        case _:
            return


def _part(part: Part) -> str:
    match part:
        case Several():
            return _name(part.stitch)
        case Chain():
            return "ch"
        case Picot():
            return "picot"


def _name(stitch: Stitch | Bunch) -> str:
    if isinstance(stitch, Bunch):
        return f"{stitch.legs}-{_name(stitch.stitch)} {stitch.kind}"
    return _POSTS[stitch.post] + stitch.name


def main_stitch(steps: Sequence[Step]) -> Stitch | None:
    """The first stitch the steps work, without loops and posts; None if they work none."""
    for step in steps:
        found: Stitch | Bunch | None = None
        match step:
            case Work() | Together() | Spread():
                found = step.stitch
            case Into() | EveryNth():
                found = next((p.stitch for p in step.parts if isinstance(p, Several)), None)
            case Repeat():
                found = main_stitch(step.steps)
            case _:
                continue
        if found is not None:
            return Stitch(found.name if isinstance(found, Stitch) else found.stitch.name)
    return None


def makes_spaces(steps: Sequence[Step]) -> bool:
    """Whether the steps leave a chain space."""
    return any(
        isinstance(step, Chain)
        or (isinstance(step, Into) and any(isinstance(p, Chain) for p in step.parts))
        or (isinstance(step, Repeat) and makes_spaces(step.steps))
        for step in steps
    )


def in_terms(name: str, terms: Terms) -> str:
    """A name of ``stitches_used`` in ``terms``: FPdc is FPtr, dc7tog tr7tog in UK terms."""
    found = re.fullmatch(r"([0-9]+-)?(FP|BP)?([a-z]+(?: st)?)(\d+tog)?( \w+)?", name)
    if found is None:
        return name
    legs, post, stitch, together, kind = (part or "" for part in found.groups())
    own = next((r[f"{terms}_abbr"] for r in table("terms") if r["us_abbr"] == stitch), stitch)
    return f"{legs}{post}{own}{together}{kind}"
