"""The rounds of a worked size put together to sections: crown, even rounds, bands, brim, edging.

A round is *figured* where it is more than one plain stitch over and over (chains, groups, posts,
passed-over places, unlike stitches), *plain* where it only grows, shrinks or stays, *unknown*
where it was not counted.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import gcd

from evenround.solver.tally import Kind
from evenround.tables.audit.rows import Row
from evenround.tables.rounds.counter import Below, CountError, work_round
from evenround.tables.rounds.steps import (
    Bunch,
    Chain,
    EveryNth,
    Into,
    Picot,
    Repeat,
    Several,
    Skip,
    Spread,
    Step,
    Stitch,
    Together,
    Work,
)
from evenround.tables.rounds.stepwise import all_steps

LONE_NUDGE = 8
"""Stitches a lone round that changes the count may add or drop and still be no brim."""


@dataclass(frozen=True, slots=True)
class Segment:
    """Rounds that belong together. ``repeats`` is how many a band has (None: not seen)."""

    kind: Kind
    rows: tuple[Row, ...]
    count_in: int
    counts: tuple[int, ...]
    repeats: int | None = None

    @property
    def changes(self) -> tuple[int, ...]:
        """By how much each round changes the count."""
        before = (self.count_in, *self.counts)
        return tuple(b - a for a, b in zip(before, self.counts, strict=False))


_BY_COUNTS = re.compile(
    r"work the figure of (\d{1,4}) places\b|"
    r"work rnd \d{1,4} of the figure\b.*\beach taking (\d{1,4}) places\b",
    re.IGNORECASE,
)


def by_counts(row: Row) -> int | None:
    """The places a repeat takes where a round is given by its counts alone, as `write` does for
    a figure that nobody wrote out; None for every other round."""
    if row.judged is not None or row.below is None or row.after is None:
        return None
    found = _BY_COUNTS.search(" ".join(row.given.source.text.split()))
    return None if found is None else int(found[1] or found[2]) or None


def is_plain(row: Row) -> bool:
    """Whether a round is one plain stitch, with increases or decreases of it and nothing else."""
    names = set[str]()
    for step in all_steps(row.steps):
        found = _plain_names(step)
        if found is None:
            return False
        names |= found
    return len(names) <= 1


def _plain_names(step: Step) -> set[str] | None:
    match step:
        case Chain() | Picot() | Skip():
            return None
        case Work() | Together():
            return _plain_stitch(step.stitch, step.target if isinstance(step, Work) else "next")
        case Into():
            parts = step.parts
            if step.name or len(parts) != 1 or not isinstance(parts[0], Several):
                return None
            many = parts[0].n <= 4
            return _plain_stitch(parts[0].stitch, step.target) if many else None
        case EveryNth():
            if step.plain is None or not isinstance(step.parts[0], Several):
                return None
            return _plain_stitch(step.plain, "next")
        case Spread():
            return _plain_stitch(step.stitch, "next")
        case _:
            return set()


def _plain_stitch(stitch: Stitch | Bunch, target: str) -> set[str] | None:
    if isinstance(stitch, Bunch) or stitch.post != "none" or target in ("space", "middle"):
        return None
    return set() if stitch.name == "sl st" else {stitch.name}


def repeats_of(row: Row) -> int | None:
    """How many repeats a figured round has; None where that is not seen."""
    if row.below is not None and (takes := by_counts(row)) is not None:
        return row.below.count // takes if row.below.count % takes == 0 else None
    if row.judged is None or row.below is None or (row.wrong and not _only_misprinted(row)):
        return None
    for step in row.steps:
        if isinstance(step, EveryNth):
            return row.below.count // step.nth if row.below.count % step.nth == 0 else None
        if isinstance(step, Repeat):
            try:
                once = work_round(step.steps, Below(()))
            except CountError:
                return None
            if once.uses and row.below.count % once.uses == 0:
                return row.below.count // once.uses
            return None
        if (
            isinstance(step, Into | Work)
            and (step.times if isinstance(step, Into) else step.n) is None
        ):
            return row.below.count  # the same in every place
    return None


def _only_misprinted(row: Row) -> bool:
    """Whether a wrong round comes out even as it is worked, keeps the count and is gone on from as
    it is: only its printed count is off, and its repeat is seen all the same. Where the count
    changes, the figure may as well be read wrong."""
    judged, after = row.judged, row.after
    if judged is None or judged.trouble != "count" or judged.readings or after is None:
        return False
    return after.count == judged.worked.makes == judged.has


def segments(
    rows: Sequence[Row], counts: Sequence[int], *, ring: bool, chain: int
) -> list[Segment]:
    """The sections of one size in order; the rounds before a figure or, without one, before the
    count stays longest are the crown. ``chain`` is the joined chain of a piece without a crown."""
    plain = [by_counts(row) is None and (row.judged is None or is_plain(row)) for row in rows]
    out: list[Segment] = []
    at, count = 0, 0 if ring else chain
    if ring:
        at = _stop(plain, counts) + 1
        if at > 1 and counts[at - 1] < counts[at - 2]:
            at -= 1  # a crown that loses stitches in the end has been nudged
        out.append(Segment("crown", tuple(rows[:at]), 0, tuple(counts[:at])))
        count = counts[at - 1]
    while at < len(rows):
        end = _end(plain, counts, at, count)
        part = Segment(
            _kind(plain, counts, at, end, count), tuple(rows[at:end]), count, tuple(counts[at:end])
        )
        out.append(part if part.kind != "band" else _with_repeats(part))
        at, count = end, counts[end - 1]
    return list(_edged(_merged(_split_bands(out))))


def _stop(plain: Sequence[bool], counts: Sequence[int]) -> int:
    """The crown's last round: where the longest run of one count begins, among the plain rounds
    before the first figure; with no such run the last plain round there."""
    top = next((i for i, each in enumerate(plain) if i and not each), len(plain))
    best, at = (1, top - 1), 0
    while at < top:
        end = at
        while end < top and counts[end] == counts[at]:
            end += 1
        if end - at > 1 and end - at >= best[0]:
            best = (end - at, at)
        at = end
    return best[1]


def _end(plain: Sequence[bool], counts: Sequence[int], at: int, count: int) -> int:
    """Where the section that begins with a round ends: a figure with its next plain round or
    change of nature, even rounds with a change, a brim with a figure."""
    if not plain[at]:
        return next((i for i in range(at, len(plain)) if plain[i]), len(plain))
    if counts[at] == count:
        return next(
            (i for i in range(at, len(plain)) if not plain[i] or counts[i] != count), len(plain)
        )
    end = next((i for i in range(at, len(plain)) if not plain[i]), len(plain))
    if _lone(counts, at, end, count):
        return at + 1
    return end


def _lone(counts: Sequence[int], at: int, end: int, count: int) -> bool:
    """Whether the change at a round is the only one up to the next figure, and a small one that
    something follows on."""
    alone = all(each == counts[at] for each in counts[at:end])
    return alone and abs(counts[at] - count) <= LONE_NUDGE and at + 1 < len(counts)


def _kind(plain: Sequence[bool], counts: Sequence[int], at: int, end: int, count: int) -> Kind:
    if not plain[at]:
        return "band"
    if counts[at] == count:
        return "even"
    return "nudge" if end == at + 1 and _lone(counts, at, at + 1, count) else "brim"


def _with_repeats(part: Segment) -> Segment:
    found = [repeats_of(row) for row in part.rows]
    known = [n for n in found if n]
    if len(known) < len(found):
        return part
    return replace(part, repeats=_shared(known, part.counts))


def _shared(known: Sequence[int], counts: Sequence[int]) -> int | None:
    """The repeats that all rounds of a band have in common, if there are two."""
    found = gcd(*known, *counts)
    return found if found > 1 else None


def _split_bands(parts: Sequence[Segment]) -> Iterator[Segment]:
    """A band whose rounds have no repeats in common is several, one for each run that has."""
    for part in parts:
        if part.kind != "band" or part.repeats is not None:
            yield part
            continue
        start, count, shared = 0, part.count_in, 0
        for at, row in enumerate(part.rows):
            own = repeats_of(row) or 0
            if at > start and (not own or not shared or gcd(own, shared) < 2):
                yield _cut(part, start, at, count, shared)
                start, count, shared = at, part.counts[at - 1], 0
            shared = gcd(own, shared) if at > start else own
        yield _cut(part, start, len(part.rows), count, shared)


def _cut(part: Segment, low: int, high: int, count: int, repeats: int) -> Segment:
    counts = part.counts[low:high]
    seen = _shared([repeats], counts) if repeats else None
    return Segment("band", part.rows[low:high], count, counts, seen)


def _merged(parts: Iterator[Segment]) -> Iterator[Segment]:
    """Figures one after another that all keep the count and of which no repeat was seen are one
    band: nothing is known that would tell them apart."""
    kept: Segment | None = None
    for part in parts:
        unseen = part.kind == "band" and part.repeats is None and not any(part.changes)
        if kept is not None and unseen:
            kept = replace(kept, rows=kept.rows + part.rows, counts=kept.counts + part.counts)
            continue
        if kept is not None:
            yield kept
        kept = part if unseen else None
        if not unseen:
            yield part
    if kept is not None:
        yield kept


def _edged(parts: Iterator[Segment]) -> Iterator[Segment]:
    """A figure that comes last, after a brim, is the edging."""
    found = list(parts)
    for place, part in enumerate(found):
        last = place == len(found) - 1
        after_brim = any(each.kind == "brim" for each in found[:place])
        yield replace(part, kind="edging") if last and after_brim and part.kind == "band" else part
