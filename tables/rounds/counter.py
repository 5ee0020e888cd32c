"""Works a round stitch by stitch on the round below: what was used, made, left over, missing.

The counter never decides what a maker meant: it works exactly the steps it is given and says how
they came out. A repeat "to the end" that does not come out even is worked three ways; the audit
weighs the readings. Time and memory are linear in the places worked; counts past ``MOST_PLACES``
are refused, not tried.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import Literal

from .steps import (
    Bunch,
    Chain,
    EveryNth,
    Into,
    Join,
    Part,
    Picot,
    Repeat,
    Several,
    Skip,
    StartChain,
    Step,
    Stitch,
    Target,
    Together,
    Turn,
    Work,
)

MOST_PLACES = 100_000
DEEPEST = 20

Reading = Literal["whole", "part", "plain"]
"""What becomes of the places a repeat to the end leaves over: left unworked (whole repeats only),
the repeat stopped inside, or one stitch in each."""


@dataclass(frozen=True, slots=True)
class Place:
    """A place of a finished round. ``name`` is the stitch's US abbreviation, "ch" for a chain;
    ``opens`` marks the first chain of a space; ``group`` numbers the figure it belongs to."""

    name: str
    opens: bool = False
    group: int = 0


@dataclass(frozen=True, slots=True)
class Below:
    """The round below: its places in order, None where nothing is known but the count."""

    places: tuple[Place, ...]

    @property
    def count(self) -> int:
        """How many places there are."""
        return len(self.places)


@lru_cache(maxsize=256)
def _plain_place(name: str) -> Place:
    return Place(name)


def plain_round(count: int, name: str = "st") -> Below:
    """A round of which only the count is known."""
    if count > MOST_PLACES:
        raise CountError(f"{count:,} stitches are more than {MOST_PLACES:,}")
    return Below((_plain_place(name),) * count)


class CountError(ValueError):
    """A round that cannot be worked at all: endless, too deep, too large, or meaningless."""


@dataclass(frozen=True, slots=True)
class Worked:
    """How a round came out.

    ``uses`` is how many places of the round below its steps need, ``has`` how many there are;
    ``made`` are the places it leaves. ``over`` places were left unworked at the end (0 where it
    came out), ``short`` were missing. ``over_in_repeat`` is what a repeat to the end left over
    on its last try (before any reading was applied). ``implied`` are places passed over to reach
    a chain space or a figure's middle without the pattern saying so. ``groups`` counts the
    figures made, by name.
    """

    uses: int
    has: int
    made: Below
    over: int
    short: int
    over_in_repeat: int
    implied: int
    groups: Counter[str] = field(default_factory=Counter)

    @property
    def makes(self) -> int:
        """The places made, every chain one."""
        return self.made.count

    @property
    def even(self) -> bool:
        """Whether it came out: nothing over, nothing missing."""
        return self.over == 0 and self.short == 0

    def stitches(self) -> Counter[str]:
        """Places by the stitch's name, chains under "ch"."""
        return Counter(place.name for place in self.made.places)

    def spaces(self) -> int:
        """How many chain spaces were made."""
        return sum(place.opens for place in self.made.places)


class _RanOutError(Exception):
    """The round below has no more places; ``rest`` is the stitch that what is left can take (a
    run that was too long), None where it is merely passed over (a skip, a way to a space)."""

    def __init__(self, rest: str | None) -> None:
        super().__init__()
        self.rest = rest


def work_round(
    steps: Sequence[Step], below: Below, *, reading: Reading = "whole", around: bool = True
) -> Worked:
    """Work the steps on the round below.

    ``reading`` is what happens where a repeat to the end does not come out even. ``around``:
    the round is joined or spiral, so that what follows such a repeat is still worked after the
    left-over. Raises CountError for what cannot be worked.
    """
    worker = _Worker(below, reading)
    worker.run(steps, 0)
    return worker.result()


class _Worker:
    def __init__(self, below: Below, reading: Reading) -> None:
        self.below, self.reading = below.places, reading
        self.at = 0  # next place of the round below
        self.needed = 0  # places asked for past the end
        self.made: list[Place] = []
        self.over_in_repeat = 0
        self.implied = 0
        self.groups: Counter[str] = Counter()
        self.group = 0
        self.stop_at_end = False

    # --- bookkeeping ----------------------------------------------------------------------

    @property
    def left(self) -> int:
        return len(self.below) - self.at

    def result(self) -> Worked:
        return Worked(
            uses=self.at + self.needed,
            has=len(self.below),
            made=Below(tuple(self.made)),
            over=max(0, self.left) if not self.needed else 0,
            short=self.needed,
            over_in_repeat=self.over_in_repeat,
            implied=self.implied,
            groups=self.groups,
        )

    def take(self, n: int, rest: str | None = None) -> None:
        """Use the next n places; past the end they are counted as missing. ``rest`` is what a
        part of them could still be worked in."""
        if self.stop_at_end and n > self.left:
            raise _RanOutError(rest)
        used = min(n, self.left)
        self.at += used
        self.needed += n - used
        if self.needed > MOST_PLACES:
            raise CountError(f"a round that needs more than {MOST_PLACES:,} places")

    def put(self, place: Place, n: int = 1) -> None:
        if len(self.made) + n > MOST_PLACES:
            raise CountError(f"a round of more than {MOST_PLACES:,} places")
        self.made.extend([place] * n)

    # --- steps ----------------------------------------------------------------------------

    def run(self, steps: Sequence[Step], depth: int) -> None:
        if depth > DEEPEST:
            raise CountError(f"repeats more than {DEEPEST} deep")
        for step in steps:
            self.step(step, depth)

    def step(self, step: Step, depth: int) -> None:
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
                self.every_nth(step)
            case Repeat():
                self.repeat(step, depth)
            case StartChain():
                self.start_chain(step)
            case Join() | Turn() | Picot():
                pass

    def start_chain(self, step: StartChain) -> None:
        """A chain that counts is the first stitch, worked over the first place; one higher than
        its stitch leaves the rest as a chain space."""
        if step.stands_for is None:
            return
        self.take(1)
        self.put(_plain_place(step.stands_for.name))

    def work(self, step: Work) -> None:
        name = _name(step.stitch)
        if name == "sl st" and step.target == "space":
            self.reach("space")  # slipping along to a space makes nothing to work into
            return
        times = self.times(step.n, step.target)
        if step.target == "next":
            self.take(times, name)
            self.put(_plain_place(name), times)
            return
        for _ in range(times):
            self.reach(step.target)
            self.put(_plain_place(name))

    def into(self, step: Into) -> None:
        for _ in range(self.times(step.times, step.target)):
            self.reach(step.target)
            self.parts(step.parts, step.name)

    def parts(self, parts: Sequence[Part], name: str | None) -> None:
        if name is not None:
            self.group += 1
            self.groups[name] += 1
        for part in parts:
            match part:
                case Several():
                    self.put(self.place(_name(part.stitch), name), part.n)
                case Chain():
                    self.chain(part.n, name)
                case Picot():
                    pass

    def place(self, stitch: str, name: str | None) -> Place:
        return _plain_place(stitch) if name is None else Place(stitch, group=self.group)

    def chain(self, n: int, name: str | None = None) -> None:
        if n < 1:
            return
        group = self.group if name is not None else 0
        self.put(Place("ch", opens=True, group=group))
        self.put(Place("ch", group=group), n - 1)

    def together(self, step: Together) -> None:
        times = self.left // step.legs if step.times is None else step.times
        for _ in range(times):
            self.take(step.legs, step.stitch.name)
            self.put(_plain_place(step.stitch.name))

    def every_nth(self, step: EveryNth) -> None:
        if step.nth < 1:
            raise CountError("every 0th stitch")
        while self.left >= step.nth:
            self.take(step.nth - 1)
            if step.plain is not None:
                self.put(_plain_place(step.plain.name), step.nth - 1)
            self.take(1)
            self.parts(step.parts, None)

    def times(self, n: int | None, target: Target) -> int:
        """How often: as said, or once into every place that is left."""
        if n is not None:
            return n
        if target == "space":
            return sum(place.opens for place in self.below[self.at :])
        return self.left

    def reach(self, target: Target) -> None:
        """Go to where the next step is worked and use it."""
        match target:
            case "next":
                self.take(1)
            case "space":
                self.seek_space()
            case "middle":
                self.seek_middle()
            case "same" | "ring":
                pass

    def seek_space(self) -> None:
        """The next chain space: whatever stands before it is passed over, all of it is used."""
        at = self.at
        while at < len(self.below) and not self.below[at].opens:
            at += 1
        if at == len(self.below):
            self.take(self.left + 1)
            return
        self.implied += at - self.at
        self.at = at + 1
        while self.at < len(self.below) and self._continues_space():
            self.at += 1

    def _continues_space(self) -> bool:
        place = self.below[self.at]
        return place.name == "ch" and not place.opens

    def seek_middle(self) -> None:
        """The middle place of the next figure; what stands before it in the figure is passed
        over as well."""
        at = self.at
        while at < len(self.below):
            group, start, end = self.below[at].group, at, at
            while end < len(self.below) and self.below[end].group == group:
                end += 1
            while group and start > 0 and self.below[start - 1].group == group:
                start -= 1
            middle = start + (end - start) // 2
            if group and middle >= self.at:
                self.implied += middle - self.at
                self.at = middle + 1
                return
            at = end
        self.take(self.left + 1)

    # --- repeats --------------------------------------------------------------------------

    def repeat(self, step: Repeat, depth: int) -> None:
        if step.times is not None:
            if step.times > MOST_PLACES:
                raise CountError(f"a repeat of more than {MOST_PLACES:,} times")
            for _ in range(step.times + (1 if step.more else 0)):
                self.run(step.steps, depth + 1)
            return
        self.repeat_to_end(step, depth)

    def repeat_to_end(self, step: Repeat, depth: int) -> None:
        while self.left > step.left:
            before = self.snapshot()
            outer, self.stop_at_end = self.stop_at_end, True
            hidden, self.below = self.below, self.below[: len(self.below) - step.left]
            ran_out: _RanOutError | None
            try:
                self.run(step.steps, depth + 1)
                ran_out = None
            except _RanOutError as end:
                ran_out = end
            finally:
                self.below, self.stop_at_end = hidden, outer
            if ran_out is not None:
                self.left_over(step, before, ran_out.rest)
                return
            if self.at == before.at:
                raise CountError("a repeat to the end that uses no stitch never ends")

    def left_over(self, step: Repeat, before: _Snapshot, rest: str | None) -> None:
        """The repeat does not come out even: the reading says what happens."""
        self.over_in_repeat = len(self.below) - before.at - step.left
        if self.reading == "part":
            self.finish_part(step, rest)
            return
        self.restore(before)
        if self.reading == "plain":
            self.put(_plain_place(_main_stitch(step.steps)), self.over_in_repeat)
            self.at += self.over_in_repeat

    def finish_part(self, step: Repeat, rest: str | None) -> None:
        """Stopped inside: a run of plain stitches that was too long is worked as far as it
        goes, a skip passes what is left; a decrease that lacks a leg is one plain stitch."""
        left = max(0, self.left - step.left)
        self.at += left
        if rest is not None:
            self.put(_plain_place(rest), left)

    def snapshot(self) -> _Snapshot:
        return _Snapshot(self.at, self.needed, len(self.made), self.implied, Counter(self.groups))

    def restore(self, snap: _Snapshot) -> None:
        self.at, self.needed, self.implied = snap.at, snap.needed, snap.implied
        del self.made[snap.made :]
        self.groups = Counter(snap.groups)


@dataclass(frozen=True, slots=True)
class _Snapshot:
    at: int
    needed: int
    made: int
    implied: int
    groups: Counter[str]


def _name(stitch: Stitch | Bunch) -> str:
    return stitch.name if isinstance(stitch, Stitch) else stitch.kind


def _main_stitch(steps: Sequence[Step]) -> str:
    """The stitch a left-over is worked plain in: the first one the repeat works."""
    for step in steps:
        match step:
            case Work() | Together():
                return _name(step.stitch)
            case Into():
                for part in step.parts:
                    if isinstance(part, Several):
                        return _name(part.stitch)
            case Repeat():
                return _main_stitch(step.steps)
            case _:
                continue
    return "st"


def readings(steps: Sequence[Step], below: Below) -> dict[Reading, Worked]:
    """The round worked with each reading of a left-over; all alike where there is none."""
    ways: tuple[Reading, ...] = ("whole", "part", "plain")
    return {way: work_round(steps, below, reading=way) for way in ways}


def with_more(steps: Sequence[Step], more: bool) -> tuple[Step, ...]:
    """The steps with every "repeat N times" that was left open read as N more or N in all."""

    def settle(step: Step) -> Step:
        if not isinstance(step, Repeat):
            return step
        inner = tuple(settle(s) for s in step.steps)
        settled = more if step.more is None and step.times is not None else step.more
        return replace(step, steps=inner, more=settled)

    return tuple(settle(step) for step in steps)
