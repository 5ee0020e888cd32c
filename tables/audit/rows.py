"""A round of a run, and what it takes to judge one: the course of a size.

A ``Course`` is one size's rounds with everything settled; ``judged_row`` judges one of them on a
given round below, which is all that the run, the mends and the choice of settings need.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from evenround.tables.rounds.counter import Below, CountError, Reading, plain_round
from evenround.tables.rounds.pattern import Pattern, Terms
from evenround.tables.rounds.steps import Join, Step

from .compare import is_everything, stitch_words
from .expand import Given
from .judge import Judged, Ways, judge
from .settle import Settings, settled

MOST_ALIKE = 100
"""Rounds of one instruction behind which the next is looked for."""


@dataclass(frozen=True, slots=True)
class Mend:
    """One way to put a wrong round right: in words, and what the round then makes (None where
    that is not the point)."""

    words: str
    made: Below | None = None


@dataclass(frozen=True, slots=True)
class Row:
    """A round of the run. ``judged`` None: it could not be counted (``why``). ``below`` is what
    it was judged on, ``after`` what the next round is judged on, ``marked`` where that is not
    what was made. ``carried``: wrong only in that its printed count goes on from a wrong one."""

    given: Given
    steps: tuple[Step, ...]
    below: Below | None
    judged: Judged | None
    after: Below | None
    why: str = ""
    marked: bool = False
    mends: tuple[Mend, ...] = ()
    carried: bool = False

    @property
    def wrong(self) -> bool:
        """Whether the round is at fault."""
        return self.judged is not None and not self.judged.sound


@dataclass(frozen=True, slots=True)
class Course:
    """How one size is worked: its rounds and everything that was settled."""

    rounds: tuple[Given, ...]
    settings: Settings
    terms: Terms
    spiral: bool
    start: int | None
    unprinted: Reading = "part"

    def ways(self, given: Given) -> Ways:
        """How a round of it is judged."""
        joined = any(isinstance(step, Join) for step in given.steps or ())
        return Ways(self.terms, self.spiral and not joined, self.unprinted)

    def first_below(self) -> Below | None:
        """What the first round is worked on, where the piece starts on a joined chain."""
        return None if self.start is None else plain_round(self.start, "ch")


def course_of(pattern: Pattern, rounds: Sequence[Given], settings: Settings, at: int = 0) -> Course:
    """The course of the rounds of one size, the ``at``-th of the pattern."""
    spiral = pattern.joined is False
    starts = pattern.starts
    start = (starts[at] if at < len(starts) else starts[0]) if starts else None
    return Course(tuple(rounds), settings, pattern.terms, spiral, start)


def judged_row(course: Course, given: Given, below: Below | None, last: Row | None = None) -> Row:
    """One round judged on ``below``; the work of an identical round before it is reused."""
    if given.steps is None:
        return _uncounted(given, (), below, given.why)
    if last is not None and _alike(last, given, below):
        return replace(last, given=given)
    try:
        steps = settled(given.steps, course.settings)
        known = _over(given, below)
        judged = judge(steps, known, given.printed, course.ways(given))
    except CountError as error:
        return _uncounted(given, (), below, str(error))
    if judged is None:
        return _uncounted(given, steps, known, "nothing is known of the round below")
    made = judged.worked.made
    if given.over is not None and below is not None and below.count > given.over:
        made = Below((*made.places, *below.places[given.over :]))
    return Row(given, steps, known, judged, made)


def _alike(last: Row, given: Given, below: Below | None) -> bool:
    """Whether a round is the one before over again, on the same places."""
    if last.judged is None or last.wrong or below is None or last.below is None:
        return False
    same = last.given.steps == given.steps and last.given.printed == given.printed
    return same and last.given.over == given.over and last.below.places == below.places


def _over(given: Given, below: Below | None) -> Below | None:
    if given.over is None:
        return below
    if below is None:
        return plain_round(given.over)
    return Below(below.places[: given.over])


def _uncounted(given: Given, steps: tuple[Step, ...], below: Below | None, why: str) -> Row:
    after = printed_below(given)
    return Row(given, steps, below, None, after, why, marked=after is not None)


def printed_below(given: Given) -> Below | None:
    """A round of as many places as are printed, where the printed count says all of them."""
    if len(given.printed) != 1:
        return None
    printed = given.printed[0]
    name = stitch_words().get(printed.what.lower().strip())
    if name is None and not is_everything(printed.what):
        return None
    try:
        return plain_round(printed.number, name or "st")
    except CountError:
        return None


def speaks_for(course: Course, following: Given, below: Below) -> int:
    """How well the next round fits on a count: 3 even and as printed, 2 even where nothing is
    printed, 1 as printed with a left-over or past the marker, 0 not."""
    row = judged_row(course, following, below)
    if row.judged is None or row.wrong:
        return 0
    if not row.judged.borne_out or row.judged.worked.short:
        return 1
    return 3 if row.given.printed else 2


def next_told(course: Course, at: int) -> Given | None:
    """The next round that has something of its own to say: those of one "Rnds 6-9" that are
    alike are one instruction with one count."""
    given = course.rounds[at]
    for other in course.rounds[at + 1 : at + 1 + MOST_ALIKE]:
        alike = other.steps == given.steps and other.printed == given.printed
        if other.source is not given.source or not alike:
            return other
    return None


def comes_out(course: Course, following: Given, below: Below) -> bool:
    """Whether the next round comes out even on a count, whatever it prints."""
    judged = judged_row(course, following, below).judged
    return judged is not None and not judged.readings and judged.trouble in ("", "count")


def carries_on(row: Row, before: Row) -> bool:
    """Whether a printed count is off by as much as the wrong one before it, for a round that
    comes out even: it was only counted on from there."""
    judged, last = row.judged, before.judged
    if judged is None or last is None or before.marked or not before.wrong:
        return False
    if judged.trouble != "count" or last.trouble != "count" or judged.readings or last.readings:
        return False
    off = [k.printed - (k.made or 0) for k in judged.kinds]
    return len(off) == 1 and off == [k.printed - (k.made or 0) for k in last.kinds]


@dataclass(frozen=True, slots=True)
class Sized:
    """One size worked."""

    size: str | None
    course: Course
    rows: tuple[Row, ...]
