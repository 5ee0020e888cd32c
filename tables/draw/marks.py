"""The stitches of a round one by one, as the counter works them: feet below, tops made.

The counter itself works the round; this only takes down what it does, so that a chart cannot
show another stitch than the one that was counted.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

from evenround.tables.rounds.counter import Below, Worked, Worker
from evenround.tables.rounds.figures_stitches import stitches_used
from evenround.tables.rounds.places import Snapshot
from evenround.tables.rounds.steps import (
    Bunch,
    Chain,
    Part,
    Picot,
    Several,
    StartChain,
    Step,
    Stitch,
    Target,
    Together,
    Work,
)

Kind = Literal["stitch", "bunch", "chain", "picot"]


@dataclass(frozen=True, slots=True)
class Mark:
    """One symbol of a chart.

    ``symbol`` is its name in US terms ("hdc", "FPdc", "dc7tog", "3-hdc puff", "ch", "picot").
    ``feet`` are the places of the round below it goes into (none for a chain or in the ring),
    ``top`` the place it makes (of a picot: the place it sits on). ``legs`` are a bunch's.
    ``shared``: others stand in the same place.
    """

    kind: Kind
    symbol: str
    stitch: Stitch
    feet: tuple[int, ...]
    top: int
    legs: int = 1
    shared: bool = False


CHAIN = Stitch("ch")


def marks_of(steps: Sequence[Step], below: Below) -> tuple[tuple[Mark, ...], Worked]:
    """Every symbol of a round worked on ``below``, in order, and how the round came out.

    Opening chains that do not count, joins and turns have none. CountError as the counter.
    """
    taker = _Taker(below)
    taker.run(steps, 0)
    return _with_shared(taker.marks), taker.result()


def _with_shared(marks: Sequence[Mark]) -> tuple[Mark, ...]:
    many: dict[tuple[int, ...], int] = {}
    for mark in marks:
        many[mark.feet] = many.get(mark.feet, 0) + 1
    return tuple(replace(m, shared=bool(m.feet) and many[m.feet] > 1) for m in marks)


class _Taker(Worker):
    """The counter, taking down a mark for everything it makes."""

    def __init__(self, below: Below) -> None:
        super().__init__(below, "whole")
        self.marks: list[Mark] = []
        self.feet: tuple[int, ...] = ()
        self.in_group = False
        self._lengths: dict[int, tuple[Snapshot, int]] = {}

    # --- what is taken down ---------------------------------------------------------------

    def mark(self, stitch: Stitch | Bunch, top: int, feet: tuple[int, ...]) -> None:
        plain = stitch if isinstance(stitch, Stitch) else stitch.stitch
        legs = stitch.legs if isinstance(stitch, Bunch) else len(feet) or 1
        name = stitches_used([Work(stitch)])[0]
        kind: Kind = "bunch" if isinstance(stitch, Bunch) else "stitch"
        self.marks.append(Mark(kind, name, plain, feet, top, legs))

    def step(self, step: Step, depth: int) -> None:
        if isinstance(step, Picot):
            self.picot()
        else:
            super().step(step, depth)

    def picot(self) -> None:
        self.marks.append(Mark("picot", "picot", CHAIN, (), max(0, len(self.made) - 1)))

    # --- where the counter works ----------------------------------------------------------

    def start_chain(self, step: StartChain) -> None:
        made = len(self.made)
        super().start_chain(step)
        if step.stands_for is not None and len(self.made) > made:
            self.mark(step.stands_for, made, self.feet)

    def work(self, step: Work) -> None:
        if step.target == "next":
            made, at = len(self.made), self.at
            super().work(step)
            for place in range(len(self.made) - made):
                self.feet = (at + place,)
                self.mark(step.stitch, made + place, self.feet)
            return
        # all at once where they share a place: the counter may make a figure of them
        once = step.target in ("same", "ring")
        for _ in range(1 if once else self.times(step.n, step.target)):
            made = len(self.made)
            super().work(step if once else replace(step, n=1))
            for top in range(made, len(self.made)):
                self.mark(step.stitch, top, self.feet)

    def reach(self, target: Target) -> None:
        before = self.at
        super().reach(target)
        if target == "space":
            start = before
            while start < self.at and not self.below[start].opens:
                start += 1
            self.feet = tuple(range(start, self.at))
        elif target in ("next", "middle"):
            self.feet = (self.at - 1,)
        elif target == "ring":
            self.feet = ()

    def parts(self, parts: Sequence[Part], name: str | None) -> None:
        top = len(self.made)
        outer, self.in_group = self.in_group, True
        super().parts(parts, name)
        self.in_group = outer
        for part in parts:
            match part:
                case Several():
                    for _ in range(part.n):
                        self.mark(part.stitch, top, self.feet)
                        top += 1
                case Chain():
                    for _ in range(part.n):
                        self.chain_mark(top)
                        top += 1
                case Picot():
                    self.marks.append(Mark("picot", "picot", CHAIN, (), max(0, top - 1)))

    def chain_mark(self, top: int) -> None:
        self.marks.append(Mark("chain", "ch", CHAIN, (), top))

    def chain(self, n: int, group: int = 0) -> None:
        made = len(self.made)
        super().chain(n, group)
        if not self.in_group:
            for top in range(made, len(self.made)):
                self.chain_mark(top)

    def together(self, step: Together) -> None:
        times = self.left // step.legs if step.times is None else step.times
        name = stitches_used([step])[0]
        for _ in range(times):
            at, made = self.at, len(self.made)
            super().together(replace(step, times=1))
            feet = tuple(range(at, at + step.legs))
            self.marks.append(Mark("stitch", name, step.stitch, feet, made, step.legs))

    # --- going back -----------------------------------------------------------------------

    def snapshot(self) -> Snapshot:
        snap = super().snapshot()
        self._lengths[id(snap)] = (snap, len(self.marks))
        return snap

    def restore(self, snap: Snapshot) -> None:
        super().restore(snap)
        del self.marks[self._lengths[id(snap)][1] :]
