"""Small questions about steps: what a stitch leaves, which slips only lead on, which steps go all
round, what "every k-th" and "repeat N times" are.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from .steps import (
    Bunch,
    Chain,
    EveryNth,
    Into,
    Part,
    Repeat,
    Several,
    Skip,
    Spread,
    StartChain,
    Step,
    Stitch,
    Together,
    Work,
)


def opening_moves(steps: Sequence[Step]) -> Sequence[Work]:
    """The slip stitches that only lead to where the round's opening chain stands."""
    at = 0
    while at < len(steps) and _slips(steps[at]):
        at += 1
    opened = at < len(steps) and isinstance(steps[at], StartChain)
    return [s for s in steps[:at] if isinstance(s, Work)] if opened else []


def _slips(step: Step) -> bool:
    return isinstance(step, Work) and place_name(step.stitch) == "sl st" and step.target != "ring"


def all_steps(steps: Sequence[Step]) -> Iterator[Step]:
    """Every step, those inside repeats as well."""
    for step in steps:
        yield step
        if isinstance(step, Repeat):
            yield from all_steps(step.steps)


def every_nth(step: EveryNth) -> Repeat:
    """ "Every k-th place" as the repeat to the end that it is. ValueError for every 0th."""
    if step.nth < 1:
        raise ValueError(f"every {step.nth}th place")
    between: list[Step] = []
    if step.nth > 1:
        between = [Skip(step.nth - 1) if step.plain is None else Work(step.plain, step.nth - 1)]
    return Repeat((*between, Into(step.parts)))


def goes_round(step: Step) -> bool:
    """Whether a step repeats, so that what it stands in is written as a whole round."""
    return isinstance(step, Repeat) or endless(step)


def endless(step: Step) -> bool:
    """Whether a step goes on to the end of the round."""
    match step:
        case Work(n=None) | Into(times=None) | Together(times=None) | EveryNth() | Spread():
            return True
        case Repeat(times=None):
            return True
        case _:
            return False


def place_name(stitch: Stitch | Bunch) -> str:
    """What the place a stitch leaves is called: its US abbreviation, or the kind of bunch."""
    return stitch.name if isinstance(stitch, Stitch) else stitch.kind


def main_stitch(steps: Sequence[Step]) -> str:
    """The stitch a left-over is worked plain in: the first one the repeat works."""
    for step in steps:
        match step:
            case Work() | Together() | Spread():
                return place_name(step.stitch)
            case Into():
                for part in step.parts:
                    if isinstance(part, Several):
                        return place_name(part.stitch)
            case Repeat():
                return main_stitch(step.steps)
            case _:
                continue
    return "st"


def spread_out(step: Spread, places: int) -> tuple[Step, ...]:
    """The increases or decreases spread over so many places, plain stitches between: what is over
    lies in the first gaps. More of them than places: several increases in one place; decreases
    ask for more places than there are."""
    n = abs(step.changes)
    legs = 1 if step.changes > 0 else 2
    if n == 0:
        return (Work(step.stitch, places),)
    if step.changes > places > 0:
        each, over = divmod(n, places)
        more = Into((Several(step.stitch, each + 2),), over)
        return (more, Into((Several(step.stitch, each + 1),), places - over))
    plain, over = divmod(max(0, places - legs * n), n)
    change: Step = Together(step.stitch)
    if step.changes > 0:
        change = Into((Several(step.stitch, 2),))
    out: list[Step] = []
    for at in range(n):
        gap = plain + (at < over)
        out += [Work(step.stitch, gap), change] if gap else [change]
    return tuple(out)


def with_more(steps: Sequence[Step], more: bool) -> tuple[Step, ...]:
    """The steps with every "repeat N times" that was left open read as N more or N in all."""

    def settle(step: Step) -> Step:
        if not isinstance(step, Repeat):
            return step
        inner = tuple(settle(s) for s in step.steps)
        settled = more if step.more is None and step.times is not None else step.more
        return replace(step, steps=inner, more=settled)

    return tuple(settle(step) for step in steps)


FIGURE = 3
"""Places in one place from which they are a figure, named or not."""


def stands_out(parts: Sequence[Part]) -> bool:
    """Whether stitches in one place are a figure that a later round can speak of."""
    return sum(part.n for part in parts if isinstance(part, Several | Chain)) >= FIGURE
