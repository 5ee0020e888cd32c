"""The same instruction for several sizes as one sentence: "hdc in next 9 (9, 10) sts".

Sizes can share a sentence when their steps differ in nothing but numbers (``form``). What stays
as it is: the stitches, the group worked into one place, chains, the kind of every repeat.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from .pattern import Terms
from .steps import Into, Repeat, Skip, Step, Together, Work
from .writer import Unit, write_steps

Form = tuple[object, ...]
"""What steps are but for their numbers."""


def by_size(values: Sequence[str]) -> str:
    """``9 (9, 10)``, one a size, smallest size first; a lone ``9`` where all are alike."""
    if len(set(values)) == 1:
        return values[0]
    return f"{values[0]} ({', '.join(values[1:])})"


class BySize(int):
    """A number that differs between sizes: written as its list, else taken for its largest."""

    values: tuple[int, ...]

    def __new__(cls, values: Sequence[int]) -> BySize:
        """One value a size."""
        made = super().__new__(cls, max(values))
        made.values = tuple(values)
        return made

    def __str__(self) -> str:
        return by_size([str(value) for value in self.values])

    def __format__(self, spec: str) -> str:
        return str(self) if not spec else super().__format__(spec)


def form(steps: Sequence[Step]) -> Form:
    """What steps are but for their numbers; sizes whose steps have the same form can be written
    as one sentence."""
    return tuple(part for step in steps for part in _form(step))


def _form(step: Step) -> Iterator[object]:
    match step:
        case Work(n=int()):
            yield replace(step, n=0)
        case Into(times=int()):
            yield replace(step, times=0)
        case Together(times=int()):
            yield replace(step, times=0)
        case Skip():
            yield Skip(0)
        case Repeat():
            # that a repeat stops short, and how many times it is worked, is said in words
            yield (Repeat, step.times is None, step.left > 0, step.more, form(step.steps))
        case _:
            yield step


def in_sizes(every: Sequence[Sequence[Step]]) -> tuple[Step, ...]:
    """Steps of the same form as one, numbers that differ as BySize. ValueError if they are not
    of the same form."""
    if len({form(steps) for steps in every}) != 1:
        raise ValueError("sizes work other steps here, not only other numbers")
    return tuple(_in_sizes(steps) for steps in zip(*every, strict=True))


def _in_sizes(steps: Sequence[Step]) -> Step:
    first = steps[0]
    match first:
        case Work(n=int()):
            return replace(first, n=_number([s.n for s in steps if isinstance(s, Work)]))
        case Into(times=int()):
            return replace(first, times=_number([s.times for s in steps if isinstance(s, Into)]))
        case Together(times=int()):
            found = [s.times for s in steps if isinstance(s, Together)]
            return replace(first, times=_number(found))
        case Skip():
            return Skip(_number([s.n for s in steps if isinstance(s, Skip)]))
        case Repeat():
            repeats = [s for s in steps if isinstance(s, Repeat)]
            times = None if first.times is None else _number([r.times for r in repeats])
            inner = in_sizes([r.steps for r in repeats])
            return replace(first, steps=inner, times=times, left=_number([r.left for r in repeats]))
        case _:
            return first


def _number(values: Sequence[int | None]) -> int:
    known = [value for value in values if value is not None]
    return known[0] if len(set(known)) == 1 else BySize(known)


def write_for_sizes(
    every: Sequence[Sequence[Step]],
    terms: Terms = "us",
    *,
    unit: Unit = "st",
    space: int | None = None,
    said: bool = False,
) -> str:
    """One sentence for the steps of several sizes, smallest size first: as ``write_steps``, each
    number that differs as a list ``9 (9, 10)``. ValueError where the steps differ in more than
    numbers."""
    return write_steps(in_sizes(every), terms, unit=unit, space=space, said=said)
