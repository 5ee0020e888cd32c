"""Works a round stitch by stitch on the round below: what was used, made, left over, missing.

The counter never decides what a maker meant: it works exactly the steps it is given and says how
they came out. A repeat "to the end" that does not come out even is worked three ways; the audit
weighs the readings. Time and memory are linear in the places worked; counts past ``MOST_PLACES``
are refused, not tried.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from typing import Literal

from .places import (
    MOST_PLACES,
    Below,
    CountError,
    Place,
    RanOutError,
    Snapshot,
    Worked,
    plain_place,
    plain_round,
)
from .steps import (
    Chain,
    EveryNth,
    Into,
    Join,
    Leave,
    Part,
    Picot,
    Repeat,
    Several,
    Skip,
    Spread,
    StartChain,
    Step,
    Together,
    Turn,
    Work,
)
from .stepwise import (
    FIGURE,
    every_nth,
    main_stitch,
    opening_moves,
    place_name,
    spread_out,
    stands_out,
)
from .walker import Walker

__all__ = [
    "DEEPEST",
    "MOST_PLACES",
    "Below",
    "CountError",
    "Place",
    "Reading",
    "Worked",
    "Worker",
    "plain_round",
    "work_round",
]

DEEPEST = 20
MOST_STEPS = 4 * MOST_PLACES
"""Steps worked in one round, those that use and make nothing among them."""

Reading = Literal["whole", "part", "plain"]
"""What becomes of the places a repeat to the end leaves over: left unworked (whole repeats only),
the repeat stopped inside, or one stitch in each."""


def work_round(
    steps: Sequence[Step],
    below: Below,
    *,
    reading: Reading = "whole",
    past: bool = False,
) -> Worked:
    """Work the steps on the round below.

    ``reading`` is what happens where a repeat to the end does not come out even; what
    follows such a repeat is still worked, after the left-over. ``past``: after a figure's middle
    the next stitch goes past the rest of the figure.
    Raises CountError for what cannot be worked.
    """
    moves = opening_moves(steps)
    worker = Worker(below, reading, past=past)
    for move in moves:
        worker.move(move)
    worker.run(steps[len(moves) :], 0)
    return worker.result()


class Worker(Walker):
    """One round being worked on ``below``; ``result`` says how it came out."""

    def __init__(self, below: Below, reading: Reading, *, past: bool = False) -> None:
        super().__init__(below, past=past)
        self.reading = reading
        self.over_in_repeat = 0
        self.groups: Counter[str] = Counter()
        self.group = 0
        self.worked = 0  # steps so far

    def result(self) -> Worked:
        """How the round came out."""
        return Worked(
            uses=self.at + self.needed + self.passed,
            has=len(self.below),
            made=Below(tuple(self.made)),
            over=max(0, self.left) if not self.needed else 0,
            short=self.needed,
            over_in_repeat=self.over_in_repeat,
            implied=self.implied + self.passed,
            groups=self.groups,
        )

    # --- steps ----------------------------------------------------------------------------

    def run(self, steps: Sequence[Step], depth: int) -> None:
        """Work steps in order, inside so many repeats."""
        if depth > DEEPEST:
            raise CountError(f"repeats more than {DEEPEST} deep")
        for step in steps:
            self.worked += 1
            if self.worked > MOST_STEPS:
                raise CountError(f"a round of more than {MOST_STEPS:,} steps")
            self.step(step, depth)

    def step(self, step: Step, depth: int) -> None:
        """Work one step."""
        match step:
            case Work():
                self.work(step)
            case Into():
                self.into(step)
            case Together():
                self.together(step)
            case Chain():
                self.chain(step.n)
            case Skip():
                self.take(step.n)
            case EveryNth():
                self.every_nth(step, depth)
            case Spread():
                self.run(spread_out(step, self.left), depth)
            case Repeat():
                self.repeat(step, depth)
            case StartChain():
                self.start_chain(step)
            case Join() | Turn() | Leave() | Picot():
                pass

    def start_chain(self, step: StartChain) -> None:
        """A chain that counts is the first stitch, worked over the first place."""
        if step.stands_for is None:
            return
        self.reach("same" if self.moved else "next")
        self.put(plain_place(step.stands_for.name))

    def work(self, step: Work) -> None:
        """One stitch into each place; three or more into the same one are a figure."""
        name = place_name(step.stitch)
        if name == "sl st" and step.target == "space":
            self.reach("space")  # slipping along to a space makes nothing to work into
            return
        times = self.times(step.n, step.target)
        if step.target == "next":
            self.take(times, name)
            self.put(plain_place(name), times)
            return
        if step.target == "same" and times >= FIGURE and self.at:
            self.group += 1
            self.put(Place(name, group=self.group), times)
            return
        for _ in range(times):
            self.reach(step.target)
            self.put(plain_place(name))

    def into(self, step: Into) -> None:
        """All parts into one place, as often as said."""
        for _ in range(self.times(step.times, step.target)):
            self.reach(step.target)
            self.parts(step.parts, step.name)

    def parts(self, parts: Sequence[Part], name: str | None) -> None:
        """Make what goes into a place that is used already."""
        figure = name is not None or stands_out(parts)
        if figure:
            self.group += 1
        if name is not None:
            self.groups[name] += 1
        group = self.group if figure else 0
        for part in parts:
            match part:
                case Several():
                    place = place_name(part.stitch)
                    self.put(Place(place, group=group) if group else plain_place(place), part.n)
                case Chain():
                    self.chain(part.n, group)
                case Picot():
                    pass

    def chain(self, n: int, group: int = 0) -> None:
        """One chain space."""
        if n < 1:
            return
        self.put(Place("ch", opens=True, group=group))
        self.put(Place("ch", group=group), n - 1)

    def together(self, step: Together) -> None:
        """Draw places together."""
        times = self.left // step.legs if step.times is None else step.times
        for _ in range(times):
            self.take(step.legs, step.stitch.name)
            self.put(plain_place(step.stitch.name))

    def every_nth(self, step: EveryNth, depth: int) -> None:
        """Work every k-th place as long as k are left."""
        if step.nth < 1:
            raise CountError("every 0th stitch")
        self.repeat(replace(every_nth(step), times=self.left // step.nth), depth)

    # --- repeats --------------------------------------------------------------------------

    def repeat(self, step: Repeat, depth: int) -> None:
        """Work a repeat: as often as said, or to the end."""
        if step.times is not None:
            if step.times > MOST_PLACES:
                raise CountError(f"a repeat of more than {MOST_PLACES:,} times")
            for _ in range(step.times + (1 if step.more else 0)):
                self.run(step.steps, depth + 1)
            return
        self.repeat_to_end(step, depth)

    def repeat_to_end(self, step: Repeat, depth: int) -> None:
        """Repeat until the places run out, or the last space is worked."""
        while self.left > step.left:
            before = self.snapshot()
            outer, self.stop_at_end = self.stop_at_end, True
            outer_end, self.end = self.end, self.end - step.left
            ran_out: RanOutError | None
            try:
                self.run(step.steps, depth + 1)
                ran_out = None
            except RanOutError as end:
                ran_out = end
            finally:
                self.end, self.stop_at_end = outer_end, outer
            if ran_out is not None and ran_out.seeking and self.at == before.at:
                self.restore(before)  # every space has been worked: the repeat is done
                return
            if ran_out is not None:
                self.left_over(step, before, ran_out.rest)
                return
            if self.at == before.at:
                raise CountError("a repeat to the end that uses no stitch never ends")

    def left_over(self, step: Repeat, before: Snapshot, rest: str | None) -> None:
        """The repeat does not come out even: the reading says what happens."""
        self.over_in_repeat = self.end - before.at - step.left
        if self.reading == "part":
            self.finish_part(step, rest)
            return
        self.restore(before)
        if self.reading == "plain":
            self.put(plain_place(main_stitch(step.steps)), self.over_in_repeat)
            self.at += self.over_in_repeat

    def finish_part(self, step: Repeat, rest: str | None) -> None:
        """Stopped inside: a run of plain stitches that was too long is worked as far as it
        goes, a skip passes what is left; a decrease that lacks a leg is one plain stitch."""
        left = max(0, self.left - step.left)
        self.at += left
        if rest is not None:
            self.put(plain_place(rest), left)

    def snapshot(self) -> Snapshot:
        """How far the round has come."""
        groups = Counter(self.groups)
        return Snapshot(self.at, self.needed, len(self.made), self.implied, self.rest, groups)

    def restore(self, snap: Snapshot) -> None:
        """Go back to where the round was."""
        self.at, self.needed, self.implied = snap.at, snap.needed, snap.implied
        self.rest = snap.rest
        del self.made[snap.made :]
        self.groups = Counter(snap.groups)
