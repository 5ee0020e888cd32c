"""A worked size as a piece with a crown, a body and a brim, and what is said of its gauge.

The body is where the count stays the longest; a brim is what stands under that heading, or what
grows again behind the body. Lengths are centimetres.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

from evenround.tables.gauges import FOUR_INCHES
from evenround.tables.lengths import format_length
from evenround.tables.plan import Unit
from evenround.tables.rounds.pattern import GaugeText, Pattern
from evenround.tables.rounds.steps import Chain
from evenround.tables.rounds.stepwise import all_steps
from evenround.tables.rounds.writer import stitch_name

from .rows import Row, Sized
from .settle import figure_of, main_stitch, works_ring
from .units import over_words, unit_of

_EDGING = re.compile(r"\b(?:edg(?:e|ing)|border|trim(?:ming)?|picots?|scallops?)\b")
_BODY = re.compile(r"\b(?:body|sides?|even rounds)\b")

NOTED_CM = 0.5
"""A difference smaller than this between counts and a stated size is not worth a word."""


@dataclass(frozen=True, slots=True)
class Piece:
    """One piece of one size. ``counts`` are the counts after each round (what the next was
    judged on); the body is ``counts[body]``."""

    name: str
    size: str | None
    rows: tuple[Row, ...]
    counts: tuple[int, ...]
    body: range
    from_ring: bool

    @property
    def body_count(self) -> int:
        """Stitches of the body."""
        return self.counts[self.body.start]

    @property
    def only_crown(self) -> bool:
        """Whether the rounds end while the crown still grows, so that no size is made yet."""
        last = len(self.rows) - 1
        if not self.from_ring or self.body != range(last, last + 1) or last < 2:
            return False
        return self.counts[last] > self.counts[last - 1]

    @property
    def brim(self) -> range:
        """The rounds of the brim (empty: none): what stands under that heading, or stitches
        that grow again behind the body, without chains between. An edging with a heading of its
        own is none of it."""
        behind = range(self.body.stop, _edging(self.rows, self.body.stop))
        rows = [self.rows[at] for at in behind]
        if any("brim" in row.given.source.section.lower() for row in rows):
            return behind
        plain = all(not row.wrong and not _chains(row) for row in rows)
        return behind if plain else range(0)

    @property
    def most_after_body(self) -> int:
        """The most places any round from the body on makes."""
        rows = self.rows[self.body.start :]
        return max(row.judged.worked.makes if row.judged else 0 for row in rows)

    def added(self, rounds: range) -> list[int]:
        """What each of some rounds adds where it was counted, right, on a round that was known."""
        judged = [self.rows[i].judged for i in rounds if not figure_of(self.rows[i].steps)]
        return [j.worked.makes - j.has for j in judged if j and j.sound and j.has is not None]

    def changes(self, rounds: range) -> list[int]:
        """What each of some rounds adds, figures among them."""
        return [self.counts[i] - (self.counts[i - 1] if i else 0) for i in rounds]

    def stitch(self, at: int) -> str:
        """US abbreviation of the stitch a round is mostly worked in ("" not known)."""
        found = main_stitch(self.rows[at].steps)
        return found.name if found is not None else ""

    @property
    def steady(self) -> tuple[int, ...]:
        """The counts that stay for two rounds or more, in order."""
        runs = [(count, len(list(run))) for count, run in groupby(self.counts)]
        return tuple(count for count, length in runs if length > 1)

    @property
    def body_stitch(self) -> str:
        """The stitch most rounds of the body are worked in."""
        return self.most_usual(self.body)

    @property
    def crown_stop(self) -> int:
        """The last increase round of the crown: a nudge or an even round behind it aside."""
        at = self.body.start
        while at > 2 and self._is_no_increase(at):
            at -= 1
        return at

    def _is_no_increase(self, at: int) -> bool:
        """Whether a round before the body is even, drops stitches, or adds a few that are no
        whole part of the count (a nudge)."""
        below = self.counts[at - 1]
        added = self.counts[at] - below
        return added <= 0 or (below % added != 0 and self.counts[at] % added != 0)

    @property
    def body_section(self) -> str:
        """The heading the body's first round stands under."""
        return self.rows[self.body.start].given.source.section

    def most_usual(self, rounds: range) -> str:
        """The stitch most of some rounds are worked in ("" not known); the first of equals."""
        found = Counter(name for at in rounds if (name := self.stitch(at)))
        return found.most_common(1)[0][0] if found else ""


def _edging(rows: Sequence[Row], start: int) -> int:
    """Where the edging begins behind ``start``: under a heading that says so and not "brim"."""
    for at in range(start, len(rows)):
        section = rows[at].given.source.section.lower()
        if _EDGING.search(section) and "brim" not in section:
            return at
    return len(rows)


def _chains(row: Row) -> bool:
    return any(isinstance(step, Chain) for step in all_steps(row.steps))


def pieces(sized: Sequence[Sized]) -> list[Piece]:
    """Every piece of every size: a round into a ring begins another."""
    found = []
    for one in sized:
        groups = list(_split(one.rows))
        for rows in groups:
            piece = _piece(one, rows, several=len(groups) > 1)
            if piece is not None:
                found.append(piece)
    return found


def _split(rows: Sequence[Row]) -> Iterator[tuple[Row, ...]]:
    group: list[Row] = []
    for row in rows:
        if group and works_ring(row.steps):
            yield tuple(group)
            group = []
        group.append(row)
    if group:
        yield tuple(group)


def _piece(one: Sized, rows: tuple[Row, ...], *, several: bool) -> Piece | None:
    whole = [row for row in rows if row.after is not None and row.given.over is None]
    if not whole:
        return None
    counts = tuple(row.after.count for row in whole if row.after is not None)
    name = rows[0].given.source.section if several else (one.size or "")
    from_ring = works_ring(whole[0].steps)
    body = _body(whole, counts, 0 if from_ring else one.course.start)
    return Piece(name, one.size, tuple(whole), counts, body, from_ring)


def _body(rows: Sequence[Row], counts: Sequence[int], start: int | None) -> range:
    """The longest run of one count before the brim's heading, of those under a heading such as
    "Sides" if there are any; of equals the last. A foundation chain of ``start`` is one of the
    first run."""
    end = next(
        (i for i, row in enumerate(rows) if i and "brim" in row.given.source.section.lower()),
        len(rows),
    )
    best, at, best_said = range(end - 1, end), 0, False
    for _, run in groupby(counts[:end]):
        length = len(list(run))
        founded = at == 0 and counts[0] == start and len(best) == 1
        said = any(_says_body(row) for row in rows[at + 1 : at + length])
        if (length > 1 or founded) and (said, length) >= (best_said, len(best)):
            best, best_said = range(at, at + length), said
        at += length
    if end < len(rows):
        return range(best.start, end)  # all that stands above the brim's heading
    return best


def _says_body(row: Row) -> bool:
    return _BODY.search(row.given.source.section.lower()) is not None


# --- gauge -----------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Stated:
    """A stated gauge made whole: ``width`` and ``height`` of a stitch in cm (height None where
    no rounds are stated); ``taken`` says what had to be assumed."""

    width: float
    height: float | None
    stitch: str
    words: str
    taken: str = ""


def stated_gauges(pattern: Pattern, unit: Unit | None = None) -> list[Stated]:
    """The gauges a pattern states; stitches and rounds that stand apart are put together. What
    is not said to be over a length is over 4 in or 10 cm, as the ``unit`` is (None: told from
    the lengths)."""
    unit = unit or unit_of(pattern)
    merged: list[GaugeText] = []
    for gauge in pattern.gauges:
        if merged and merged[-1].rounds is None and gauge.stitches is None:
            last = merged.pop()
            gauge = GaugeText(
                last.stitches,
                _scaled(gauge, last.over_cm),
                last.over_cm or gauge.over_cm,
                last.stitch or gauge.stitch,
                last.where,
            )
        merged.append(gauge)
    return [_stated(pattern, gauge, unit) for gauge in merged if gauge.stitches]


def _scaled(gauge: GaugeText, over: float | None) -> float | None:
    """Rounds over the length the stitches are stated over."""
    if gauge.rounds is None or gauge.over_cm is None or over is None:
        return gauge.rounds
    return gauge.rounds * over / gauge.over_cm


def _stated(pattern: Pattern, gauge: GaugeText, unit: Unit) -> Stated:
    over = gauge.over_cm or (FOUR_INCHES if unit == "in" else 10.0)
    assert gauge.stitches is not None
    words = f"{gauge.stitches:g}"
    stitch = gauge.stitch.name if gauge.stitch is not None else ""
    words += f" {stitch_name(gauge.stitch, pattern.terms)}" if gauge.stitch is not None else " sts"
    if gauge.rounds:
        words += f" x {gauge.rounds:g} rounds"
    width = over_words(over, unit)
    taken = "" if gauge.over_cm else f"{words} is taken as over {width}, which is not said"
    height = over / gauge.rounds if gauge.rounds else None
    return Stated(over / gauge.stitches, height, stitch, f"{words} over {width}", taken)


def gauges_of(gauges: Sequence[Stated], stitch: str) -> list[Stated]:
    """The gauges that hold for a stitch: those stated of it, else those of no stitch named, else
    (a stitch nobody stated one for) all there are."""
    own = [gauge for gauge in gauges if stitch and gauge.stitch == stitch]
    return own or [gauge for gauge in gauges if not gauge.stitch] or list(gauges)


def shown(cm: float, unit: Unit) -> str:
    """A length with its unit: one place in cm, two in inches."""
    return format_length(cm, unit, 1 if unit == "cm" else 2)
