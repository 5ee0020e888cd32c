"""A round with one thing changed: a number, an increase for a plain stitch, a step left out.

The changes are those a slip of the pen makes. Each says what it changed and by how much, so that
the nearest can be chosen; whether it mends anything is not looked at here.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from evenround.tables.rounds.steps import (
    Chain,
    Into,
    Repeat,
    Several,
    Skip,
    Spread,
    Step,
    Together,
    Work,
)
from evenround.tables.rounds.stepwise import all_steps

Change = Literal["number", "kind", "together", "left out"]
NEAR = 12
"""How far off a number is looked for: the slips of real patterns are one or two."""


@dataclass(frozen=True, slots=True)
class Variant:
    """The changed ``steps``; ``before`` became ``after`` (None: left out). ``position`` counts
    the written steps, ``far`` is how large the change is beside what it changes."""

    steps: tuple[Step, ...]
    change: Change
    before: Step
    after: Step | None
    position: int
    far: float

    @property
    def by(self) -> int:
        """How much a number was changed by."""
        return round(self.far * (_number(self.before) or 1))


def _number(step: Step) -> int | None:
    """The number a step is changed in."""
    match step:
        case Work() | Skip() | Chain():
            return step.n
        case Into():
            part = step.parts[0]
            return part.n if step.times == 1 and isinstance(part, Several) else step.times
        case Together():
            return step.times
        case Spread():
            return abs(step.changes)
        case Repeat():
            return step.times if step.times is not None else step.left
        case _:
            return None


def variants(steps: Sequence[Step]) -> Iterator[Variant]:
    """Every round that differs in one thing, and those whose like numbers move together."""
    yield from _changed(tuple(steps), 0)
    yield from _together(tuple(steps))


def _changed(steps: tuple[Step, ...], base: int) -> Iterator[Variant]:
    for at, step in enumerate(steps):
        position = base + at
        for change, after, far in _one_step(step):
            middle = () if after is None else (after,)
            changed = (*steps[:at], *middle, *steps[at + 1 :])
            yield Variant(changed, change, step, after, position, far)
        if isinstance(step, Into) and step.times is not None and step.times > 1:
            yield from _one_of_several(steps, at, step, position)
        if isinstance(step, Repeat):
            yield from _inside(steps, at, step, position)
            base += sum(1 for _ in all_steps(step.steps))


def _inside(steps: tuple[Step, ...], at: int, step: Repeat, position: int) -> Iterator[Variant]:
    for inner in _changed(step.steps, position + 1):
        if inner.steps:
            changed = (*steps[:at], replace(step, steps=inner.steps), *steps[at + 1 :])
            yield replace(inner, steps=changed)


def _one_of_several(
    steps: tuple[Step, ...], at: int, step: Into, position: int
) -> Iterator[Variant]:
    """One of several increases in a row made plain, the first and the last."""
    plain = _plain(step)
    if plain is None or step.times is None:
        return
    rest = replace(step, times=step.times - 1)
    for pair in ((plain, rest), (rest, plain)):
        changed = (*steps[:at], *pair, *steps[at + 1 :])
        yield Variant(changed, "kind", replace(step, times=1), plain, position, 1.0)


def _one_step(step: Step) -> Iterator[tuple[Change, Step | None, float]]:
    """Everything one step could have been, with how far off it is."""
    match step:
        case Work() if step.n is not None:
            yield from (("number", replace(step, n=n), far) for n, far in _near(step.n))
            if step.n == 1 and step.target in ("next", "same"):
                yield "kind", Into((Several(step.stitch, 2),), 1, step.target), 1.0
            yield "left out", None, float(step.n)
        case Into():
            if step.times is not None:
                yield from (("number", replace(step, times=n), far) for n, far in _near(step.times))
            yield from _other_parts(step)
            if (plain := _plain(step)) is not None and step.times == 1:
                yield "kind", plain, 1.0
            yield "left out", None, 2.0
        case Together():
            if step.times is not None:
                yield from (("number", replace(step, times=n), far) for n, far in _near(step.times))
            yield from (("number", replace(step, legs=n), far) for n, far in _near(step.legs, 2))
        case Spread():
            sign = -1 if step.changes < 0 else 1
            for n, far in _near(abs(step.changes)):
                yield "number", replace(step, changes=sign * n), far
        case Skip():
            yield from (("number", Skip(n), far) for n, far in _near(step.n))
            yield "left out", None, float(step.n)
        case Chain():
            yield from (("number", Chain(n), far) for n, far in _near(step.n))
        case Repeat():
            if step.times is not None:
                yield from (("number", replace(step, times=n), far) for n, far in _near(step.times))
            elif step.left:
                yield from (("number", replace(step, left=n), far) for n, far in _near(step.left))
        case _:
            return


def _near(number: int, least: int = 1) -> Iterator[tuple[int, float]]:
    """Numbers near one, nearest first, with their distance as a share of it."""
    for distance in range(1, NEAR + 1):
        for other in (number - distance, number + distance):
            if other >= least:
                yield other, distance / number


def _other_parts(step: Into) -> Iterator[tuple[Change, Step, float]]:
    """A group of one kind with a stitch more or less in it."""
    if len(step.parts) != 1 or not isinstance(step.parts[0], Several) or step.name is not None:
        return
    part = step.parts[0]
    for n, far in _near(part.n, 2):
        if n <= part.n + 2:
            yield "number", replace(step, parts=(replace(part, n=n),)), far


def _plain(step: Into) -> Work | None:
    """One plain stitch where the group has several of it."""
    if len(step.parts) != 1 or not isinstance(step.parts[0], Several):
        return None
    target = step.target if step.target in ("next", "same", "ring") else "next"
    return Work(step.parts[0].stitch, 1, target)


def _together(steps: tuple[Step, ...]) -> Iterator[Variant]:
    """A number that the opening and the repeat share, changed in both: ``1 i k [i k]``, or
    ``1 (k - 1) i [k i]`` where the opening chain is the first of the k."""
    runs = [s for r in steps if isinstance(r, Repeat) for s in r.steps if isinstance(s, Work)]
    for run in runs:
        number = run.n
        if number is None or run.target != "next":
            continue
        shared = next((n for n in (number, number - 1) if n and _outside(steps, n)), None)
        if shared is None:
            continue
        for other, far in _near(number, 1 + number - shared):
            changed = tuple(
                replace(step, steps=tuple(_swapped(s, number, other) for s in step.steps))
                if isinstance(step, Repeat)
                else _swapped(step, shared, shared + other - number)
                for step in steps
            )
            yield Variant(changed, "together", run, replace(run, n=other), 0, far)


def _outside(steps: tuple[Step, ...], number: int) -> bool:
    return any(_is_run(step, number) for step in steps)


def _is_run(step: Step, number: int) -> bool:
    return isinstance(step, Work) and step.n == number and step.target == "next"


def _swapped(step: Step, number: int, other: int) -> Step:
    if isinstance(step, Work) and _is_run(step, number):
        return replace(step, n=other)
    return step


def shape(steps: Sequence[Step]) -> tuple[object, ...]:
    """The form of a round without its numbers, to see which rounds are made alike."""
    return tuple(_form(step) for step in steps)


def _form(step: Step) -> object:
    if isinstance(step, Repeat):
        return ("repeat", step.times is None, shape(step.steps))
    if isinstance(step, Into):
        part = step.parts[0]
        if len(step.parts) > 1 or not isinstance(part, Several):
            return ("group", step.name, step.target)
        return ("more" if part.n > 1 else "plain", step.target)
    if isinstance(step, Work):
        return ("plain", step.target)
    return type(step).__name__


def keeps_shared(before: Sequence[Step], after: Sequence[Step]) -> bool:
    """Whether a number that the opening shared with the repeat is still shared."""
    return len(_shared(after)) >= len(_shared(before))


def _shared(steps: Sequence[Step]) -> set[int]:
    inside = {s.n for r in steps if isinstance(r, Repeat) for s in r.steps if isinstance(s, Work)}
    outside = {s.n for s in steps if isinstance(s, Work)}
    return {n for n in inside & outside if n is not None}
