"""Bands whose figure does not close at the join although every count is right.

A repeat of unlike stitches (post against plain, say) is worked once about and its stitches laid
in a ring: the figure closes where the ring looks the same one repeat further on. What stands
together at the join is told from that ring, and the counts that would close are tried, not
assumed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from itertools import groupby

from evenround.tables.rounds.counter import Below, CountError, plain_round, work_round
from evenround.tables.rounds.pattern import Pattern, Terms
from evenround.tables.rounds.steps import (
    Bunch,
    Into,
    Part,
    Repeat,
    Several,
    StartChain,
    Step,
    Stitch,
    Together,
    Work,
)
from evenround.tables.rounds.writer import stitch_name

from .findings import Fault, Finding
from .names import size_words
from .rows import Row, Sized
from .wording import several

Order = tuple[int, int]
OPENING = "opening chain"


@dataclass(slots=True)
class Bands:
    """Faults with their place in the text, and what is said about each band."""

    faults: list[tuple[Order, Fault]] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class Seam:
    """How a figure of ``period`` stitches meets itself at the join of a round of ``count``."""

    count: int
    period: int
    closes: bool
    figure: str
    at_join: str
    near: tuple[int, ...]


def band_faults(pattern: Pattern, sized: Sequence[Sized]) -> Bands:
    """Every band of every size that does not close; the rounds after its first only inherit."""
    bands = Bands()
    seams: dict[Order, dict[str | None, tuple[Row, Seam]]] = {}
    known: dict[tuple[tuple[Step, ...], int], Seam | None] = {}
    for one in sized:
        for row in one.rows:
            if not _figured(row, one) or row.below is None or row.judged is None:
                continue
            same = (row.steps, row.below.count)
            if same not in known:
                known[same] = seam(row.steps, row.below, pattern.terms)
            found = known[same]
            if found is not None and found.count == row.judged.worked.makes:
                seams.setdefault(row.given.instruction, {})[one.size] = (row, found)
    told: dict[tuple[str | None, int, int], int] = {}
    for order in sorted(seams):
        # where no count near closes, it is how the round starts that shows, not the count
        open_sizes = {
            size: pair for size, pair in seams[order].items() if not pair[1].closes and pair[1].near
        }
        fresh = False
        for size, (row, found) in open_sizes.items():
            key = (size, found.period, found.count)
            if key in told:
                inherit(bands, told[key], row)
                continue
            told[key] = len(bands.faults)
            bands.faults.append((row.given.order, _fault(size, row, found)))
            fresh = True
        if fresh:
            bands.findings.append(_finding(seams[order]))
    return bands


def inherit(bands: Bands, at: int, row: Row) -> None:
    """A round that only inherits the fault at ``at``."""
    order, fault = bands.faults[at]
    labels = tuple(dict.fromkeys((*fault.inherits, row.given.label)))
    bands.faults[at] = (order, replace(fault, inherits=labels))


def _fault(size: str | None, row: Row, found: Seam) -> Fault:
    near = several([str(n) for n in found.near], "or")
    return Fault(
        row.given.label,
        size,
        row.given.source.section,
        row.given.source.where.line,
        f"its counts are right, but {found.figure} does not close on {found.count}: "
        f"{found.at_join} at the join",
        (f"{near} sts, which close",) if near else (),
    )


def _finding(sizes: dict[str | None, tuple[Row, Seam]]) -> Finding:
    """The band in one paragraph: its multiple, every size, and a family that fits."""
    first = next(iter(sizes.values()))[1]
    parts = [
        (size, found.count, "closes" if found.closes else f"{found.at_join} at the join")
        for size, (_, found) in sizes.items()
    ]
    label = label_for([row for row, _ in sizes.values()])
    text = f"{label}: {first.figure} wants a multiple of {first.period}. {by_size(parts)}. "
    near = sorted({n for _, found in sizes.values() for n in found.near})
    text += f"Counts that close: {several([str(n) for n in near])}"
    if len(sizes) > 1:
        text += f"; {family(sorted(found.count for _, found in sizes.values()), first.period)}"
    return Finding("band", text, wrong=True)


def label_for(rows: Sequence[Row]) -> str:
    """The label of one instruction in several sizes: as it is written where each numbers its own
    rounds."""
    labels = {row.given.label for row in rows}
    return labels.pop() if len(labels) == 1 else rows[0].given.source.label


def by_size(parts: Sequence[tuple[str | None, int, str]]) -> str:
    """``S, 60: closes; M, 62: 2 over``: what is said of each size's count."""
    told: list[str] = []
    for size, count, what in parts:
        name = "" if size is None else f"{size_words((size,), first=not told)}, "
        told.append(f"{name}{count}: {what}")
    return "; ".join(told)


def family(counts: Sequence[int], period: int) -> str:
    """As many counts a repeat apart as there are sizes: from the smallest size's nearest up, and
    down from the largest size's."""
    up = [_nearest(counts[0], period) + i * period for i in range(len(counts))]
    top = _nearest(counts[-1], period)
    down = [top - (len(counts) - 1 - i) * period for i in range(len(counts))]
    text = f"{len(counts)} sizes of one family: {', '.join(map(str, up))}"
    return text if down == up or down[0] < 1 else f"{text}, or {', '.join(map(str, down))}"


def _nearest(count: int, period: int) -> int:
    """The nearest multiple; of two as near the larger."""
    return max(period, (count + period // 2) // period * period)


# --- the ring of one round -------------------------------------------------------------------


def _figured(row: Row, one: Sized) -> bool:
    """Whether a round is right, joined, and a repeat to the end without shaping."""
    if row.judged is None or row.wrong or row.judged.has is None or row.given.over is not None:
        return False
    if one.course.ways(row.given).spiral or row.judged.worked.makes != row.judged.has:
        return False
    return any(isinstance(s, Repeat) and s.times is None for s in row.steps)


def seam(steps: Sequence[Step], below: Below, terms: Terms) -> Seam | None:
    """How the figure of a round meets itself; None where there is no figure all about it."""
    names: dict[str, str] = {}
    marked = tuple(_marked(step, names, terms) for step in steps)
    body = next(s for s in marked if isinstance(s, Repeat) and s.times is None)
    try:
        once = work_round(body.steps, Below(()))
        ring = _ring(marked, below)
        outside = work_round([s for s in marked if s is not body], Below(())).makes
    except CountError:
        return None
    unit = tuple(place.name for place in once.made.places)
    if len(set(unit)) < 2 or once.uses != once.makes or not ring or outside > len(unit):
        return None
    if any(place.group for place in once.made.places):
        return None
    period = _shortest(unit)
    if period < 2:
        return None
    chain = _chain_name(steps)
    shown = [chain if name == OPENING else name for name in ring]
    closes = _closes(ring, period)
    return Seam(
        len(ring),
        period,
        closes,
        _figure_words(unit[:period], names),
        "" if closes else _join_words(shown, unit[:period], names),
        _near(marked, len(ring), period),
    )


def _chain_name(steps: Sequence[Step]) -> str:
    """The stitch the opening chain stands for."""
    for step in steps:
        if isinstance(step, StartChain) and step.stands_for is not None:
            return step.stands_for.name
    return ""


def _ring(steps: Sequence[Step], below: Below) -> tuple[str, ...]:
    return tuple(place.name for place in work_round(steps, below, reading="part").made.places)


def _closes(ring: Sequence[str], period: int) -> bool:
    """Whether the ring is the same one repeat further on; the opening chain, which cannot go
    about a post, may stand for any stitch of the figure."""
    kinds = sorted(set(ring) - {OPENING})
    if OPENING in ring:
        return any(_closes([kind if r == OPENING else r for r in ring], period) for kind in kinds)
    count = len(ring)
    return all(ring[i] == ring[(i + period) % count] for i in range(count))


def _shortest(unit: Sequence[str]) -> int:
    """The shortest part of a repeat that is the repeat over again."""
    for period in range(1, len(unit) + 1):
        if len(unit) % period == 0 and _closes(unit, period):
            return period
    return len(unit)


def _near(steps: Sequence[Step], count: int, period: int) -> tuple[int, ...]:
    """The nearest counts below and above (itself, if it closes) on which the round closes."""
    found = []
    for way in (range(count, max(0, count - 3 * period), -1), range(count, count + 3 * period)):
        for n in way:
            ring = _ring(steps, plain_round(n))
            if len(ring) == n and _closes(ring, period):
                found.append(n)
                break
    return tuple(dict.fromkeys(found))


def _runs(ring: Sequence[str]) -> list[tuple[str, int]]:
    """Runs of like stitches about a ring, the one over the join counted once."""
    runs = [(name, len(list(like))) for name, like in groupby(ring)]
    if len(runs) > 1 and runs[0][0] == runs[-1][0]:
        return [(runs[0][0], runs[0][1] + runs[-1][1]), *runs[1:-1]]
    return runs


def _figure_words(unit: Sequence[str], names: dict[str, str]) -> str:
    runs = _runs(unit)
    if len(runs) == 2:
        kinds = " and ".join(names[name] for name, _ in runs)
        what = "rib" if any(name.startswith(("front", "back")) for name, _ in runs) else "figure"
        return f"a {what} of {runs[0][1]} + {runs[1][1]} ({kinds})"
    return f"a figure of {len(unit)} stitches"


def _join_words(ring: Sequence[str], unit: Sequence[str], names: dict[str, str]) -> str:
    """What stands at the join and nowhere else."""
    ordinary = set(_runs(unit))
    odd = [run for run in _runs(ring) if run not in ordinary]
    words = [f"{n} {names[name]}" for name, n in odd]
    if len(words) == 1 and odd[0][1] == 1:
        return f"{words[0]} stands alone"
    if len(words) == 1:
        return f"{words[0]} stand together"
    if len(words) == 2:
        return f"{words[0]} stand next to {words[1]}"
    return "the figure is broken"


def _marked(step: Step, names: dict[str, str], terms: Terms) -> Step:
    """The step with stitches renamed so that post and loop make a kind of their own."""
    match step:
        case Work() if isinstance(step.stitch, Stitch):
            return replace(step, stitch=_kind(step.stitch, names, terms))
        case Work(stitch=Bunch(kind=kind)):
            names.setdefault(kind, kind)
            return step
        case Together():
            return replace(step, stitch=_kind(step.stitch, names, terms))
        case Into():
            parts: tuple[Part, ...] = tuple(
                replace(p, stitch=_kind(p.stitch, names, terms))
                if isinstance(p, Several) and isinstance(p.stitch, Stitch)
                else p
                for p in step.parts
            )
            return replace(step, parts=parts)
        case Repeat():
            return replace(step, steps=tuple(_marked(s, names, terms) for s in step.steps))
        case StartChain() if step.stands_for is not None:
            names.setdefault(step.stands_for.name, stitch_name(step.stands_for, terms))
            return replace(step, stands_for=Stitch(OPENING))
        case _:
            names.setdefault("ch", "ch")
            return step


def _kind(stitch: Stitch, names: dict[str, str], terms: Terms) -> Stitch:
    marks = "".join(m for m in (stitch.post, stitch.loop) if m not in ("none", "both"))
    name = f"{marks}{stitch.name}"
    names.setdefault(name, stitch_name(stitch, terms))
    return Stitch(name)
