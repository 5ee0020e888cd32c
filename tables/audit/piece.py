"""A worked size as a piece with a crown, a body and a brim, and what is said of its gauge.

The body is where the count stays the longest; a brim is what stands under that heading, or what
grows again behind the body. Lengths are centimetres.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

from evenround.tables.lengths import format_length
from evenround.tables.plan import Unit
from evenround.tables.rounds.pattern import GaugeText, Pattern
from evenround.tables.rounds.steps import Chain
from evenround.tables.rounds.writer import stitch_name

from .rows import Row, Sized
from .settle import all_steps, figure_of, main_stitch, works_ring

FOUR_INCHES = 10.16


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
        that grow again behind the body, without chains between."""
        behind = range(self.body.stop, len(self.rows))
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
    """The longest run of one count before the brim's heading; of equals the last. A foundation
    chain of ``start`` is one of the first run."""
    end = next(
        (i for i, row in enumerate(rows) if i and "brim" in row.given.source.section.lower()),
        len(rows),
    )
    best, at = range(end - 1, end), 0
    for _, run in groupby(counts[:end]):
        length = len(list(run))
        founded = at == 0 and counts[0] == start and len(best) == 1
        if (length > 1 or founded) and length >= len(best):
            best = range(at, at + length)
        at += length
    if end < len(rows):
        return range(best.start, end)  # all that stands above the brim's heading
    return best


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


def stated_gauges(pattern: Pattern) -> list[Stated]:
    """The gauges a pattern states; stitches and rounds that stand apart are put together."""
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
    return [_stated(pattern, gauge) for gauge in merged if gauge.stitches]


def _scaled(gauge: GaugeText, over: float | None) -> float | None:
    """Rounds over the length the stitches are stated over."""
    if gauge.rounds is None or gauge.over_cm is None or over is None:
        return gauge.rounds
    return gauge.rounds * over / gauge.over_cm


def _stated(pattern: Pattern, gauge: GaugeText) -> Stated:
    inches = unit_of(pattern) == "in"
    over = gauge.over_cm or (FOUR_INCHES if inches else 10.0)
    assert gauge.stitches is not None
    words = f"{gauge.stitches:g}"
    stitch = gauge.stitch.name if gauge.stitch is not None else ""
    words += f" {stitch_name(gauge.stitch, pattern.terms)}" if gauge.stitch is not None else " sts"
    if gauge.rounds:
        words += f" x {gauge.rounds:g} rounds"
    width = _over_words(over, pattern)
    taken = "" if gauge.over_cm else f"{words} is taken as over {width}, which is not said"
    height = over / gauge.rounds if gauge.rounds else None
    return Stated(over / gauge.stitches, height, stitch, f"{words} over {width}", taken)


def _over_words(over: float, pattern: Pattern) -> str:
    """What a gauge is stated over, as it was said: 10 cm never as 4 in."""
    if abs(over - FOUR_INCHES) < 0.01:
        return "4 in"
    return f"{over:g} cm" if _is_round(over, 2) else format_length(over, unit_of(pattern), 0)


def unit_of(pattern: Pattern) -> Unit:
    """Inches where the lengths stated are round in inches and not in centimetres."""
    lengths = [gauge.over_cm for gauge in pattern.gauges if gauge.over_cm]
    lengths += [value for measure in pattern.measures for value in measure.values_cm]
    inches = sum(_is_round(cm / 2.54, 8) and not _is_round(cm, 2) for cm in lengths)
    return "in" if inches * 2 > len(lengths) else "cm"


def _is_round(value: float, parts: int) -> bool:
    return abs(value * parts - round(value * parts)) < 1e-6


def shown(cm: float, unit: Unit) -> str:
    """A length with its unit: one place in cm, two in inches."""
    return format_length(cm, unit, 1 if unit == "cm" else 2)
