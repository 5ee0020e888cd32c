"""What a written pattern does, read by the audit: its sections, repeats, gauge and sizes.

Nothing is guessed: rounds that were not read stay as they are where the counts around them are
known, and where they are not the design ends before them; both are said.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import pairwise

from evenround.solver.adapt_design import Design
from evenround.solver.piece import Gauge
from evenround.solver.suits import Multiple
from evenround.solver.tally import SectionTally, Tally
from evenround.tables.audit.expand import rounds_of, sizes_of
from evenround.tables.audit.piece import Stated, stated_gauges
from evenround.tables.audit.rows import Row, Sized, course_of
from evenround.tables.audit.run import run
from evenround.tables.audit.settle import main_stitch, stitches_in, works_ring
from evenround.tables.audit.settling import settle
from evenround.tables.audit.unprinted import unprinted_choice, value_of
from evenround.tables.rounds.pattern import Measured, Pattern
from evenround.tables.rounds.steps import Chain
from evenround.tables.rounds.stepwise import all_steps

from .infer_words import section_lines, span
from .original import Original, Written
from .segments import Segment, by_counts, segments


class NothingReadError(ValueError):
    """No part of a pattern was understood well enough to adapt; the text says why."""


NAMES = {"even": "even rounds"}


def original_of(pattern: Pattern, title: str, size: str | None = None) -> Original:
    """The design of one size of a pattern (the first unless named).

    Raises NothingReadError where no part could be understood, ValueError for a size it has not.
    """
    wanted = _size(pattern, size)
    sized = _sized(pattern, wanted)
    rows, unread, complete = _understood(pattern, sized)
    counts = [row.after.count for row in rows if row.after is not None]
    chain = sized.course.start or 0
    ring = works_ring(rows[0].steps) if rows[0].judged is not None else not chain
    if not ring and not chain:
        raise NothingReadError("no round worked into a ring and no joined chain was read")
    parts = _followed(segments(rows, counts, ring=ring, chain=chain), unread)
    complete = complete and sum(len(part.rows) for part in parts) == len(rows)
    tally, main = _tally(parts, counts[0] if ring else chain)
    stitches = _stitches(main)
    found = stated_gauges(pattern)
    place = _body(main)
    gauge = _gauge(found, stitches[place])
    as_body = tuple(_as_body(part, stitches[place]) for part in main)
    fixed = max((i for i, row in enumerate(main[0].rows, 1) if row.judged is None), default=1)
    wants = tuple(_want(part) for part in main)
    numbers = _numbers(rows)
    measures: dict[Measured, float | None] = {
        m.what: value_of(pattern, m, wanted) for m in reversed(pattern.measures)
    }
    return Original(
        title=title,
        size=wanted,
        terms=pattern.terms,
        design=Design(tally, wants, fixed if ring else 1),
        stitches=stitches,
        gauge=None if gauge is None else Gauge(gauge.width, gauge.height or 0.0),
        gauge_words="" if gauge is None else gauge.words,
        around_cm=measures.get("around"),
        head_cm=measures.get("head"),
        inferred=tuple(section_lines(tally, stitches, pattern.terms, numbers)),
        unsaid=(*_unsaid(pattern, gauge, measures), *_unworked(main)),
        unread=tuple(unread),
        complete=complete,
        openwork=any(_open(part) for part in main),
        widths=tuple(_width(*each, found, gauge) for each in zip(main, as_body, strict=True)),
        as_body=as_body,
        written=Written(tuple(p.rows for p in main), tuple(rows), sized.course.spiral),
        numbers=numbers,
        notes=_taken(pattern, size),
    )


def _numbers(rows: Sequence[Row]) -> tuple[int, ...]:
    """The pattern's own numbers of the rounds, where they rise and are not just 1, 2, 3."""
    own = tuple(row.given.number for row in rows)
    rising = all(a < b for a, b in pairwise(own))
    return own if rising and own != tuple(range(1, len(own) + 1)) else ()


def _taken(pattern: Pattern, size: str | None) -> tuple[str, ...]:
    """Which size is adapted where nobody said."""
    names = sizes_of(pattern)
    if size is not None or len(names) < 2:
        return ()
    return (f"size {names[0]}, the first of {len(names)}; --size picks another",)


def _size(pattern: Pattern, size: str | None) -> str | None:
    names = sizes_of(pattern)
    if size is None:
        return names[0]
    for name in names:
        if name is not None and name.casefold() == size.strip().casefold():
            return name
    known = ", ".join(name for name in names if name is not None) or "one only, without a name"
    raise ValueError(f"found {size[:40]!r}; the pattern's sizes are: {known}")


def _sized(pattern: Pattern, size: str | None) -> Sized:
    """One size worked as the audit works it."""
    given = {each: rounds_of(pattern, each) for each in sizes_of(pattern)}
    settled = settle(pattern, list(given.values()), "auto")
    every = []
    for place, (name, rounds) in enumerate(given.items()):
        course = course_of(pattern, rounds, settled.settings, place)
        every.append(Sized(name, course, tuple(run(course))))
    return next(each for each in unprinted_choice(pattern, every).sized if each.size == size)


def _understood(pattern: Pattern, sized: Sized) -> tuple[list[Row], list[str], bool]:
    """The rounds up to the first that cannot be followed, what was not understood, and whether
    that is all of the pattern."""
    rows: list[Row] = []
    notes: list[str] = []
    for row in sized.rows:
        label = row.given.label
        if rows and works_ring(row.steps) and row.judged is not None:
            notes.append(f"{label} begins another piece; the first is adapted")
            return rows, notes, False
        if row.given.over is not None:
            notes.append(f"{label} is worked over part of a round: left out, and all after it")
            return rows, notes, False
        if row.judged is None and by_counts(row) is None:
            if row.after is None or (rows and _below_crown(rows)):
                notes.append(f"{label} was not understood ({row.why}): left out, and all after it")
                return _checked(rows, notes), notes, False
            notes.append(f"{label} was not understood ({row.why}): kept as it is, its count taken")
        elif row.wrong:
            notes.append(
                f"{label} does not come out as printed; {row.after.count if row.after else '?'} "
                "is taken (see evenround audit)"
            )
        if row.given.source.until:
            notes.append(f"{label} is worked to a length: how many rounds that is was not said")
            if row.given.source.first is None:
                continue
        rows.append(row)
    unknown = any(row.judged is None and by_counts(row) is None for row in rows)
    counted = [row.given.source.unread for row in rows if by_counts(row) is not None]
    unread = [u for u in pattern.unread if u not in counted]
    complete = not unknown and not unread and not any(r.given.source.until for r in sized.rows)
    notes += [f"line {u.where.line} was not read: {u.why}" for u in unread]
    return _checked(rows, notes), notes, complete


def _followed(parts: Sequence[Segment], notes: list[str]) -> list[Segment]:
    """The sections up to the first figure that changes the count and whose repeat was not seen:
    what it would make of another count nobody knows. A crown alone has its count to go on from."""
    out: list[Segment] = []
    for part in parts:
        figured = part.kind in ("band", "edging") and part.repeats is None
        label = part.rows[0].given.label
        if figured and any(part.changes):
            notes.append(
                f"from {label} on a figure changes the count and its repeat was not seen: left "
                "out, and all after it"
            )
            break
        if figured:
            notes.append(
                f"{label}: the repeat of its figure was not seen, only that the count stays"
            )
        out.append(part)
    if not out:
        raise NothingReadError("the first round is a figure whose repeat was not seen")
    if all(part.kind in ("crown", "nudge") for part in out):
        out.append(Segment("even", (), out[-1].counts[-1], ()))
    return out


def _checked(rows: list[Row], notes: Sequence[str]) -> list[Row]:
    if not any(row.judged is not None for row in rows):
        first = f": {notes[0]}" if notes else ""
        raise NothingReadError(f"no round could be followed from the start{first}")
    return rows


def _below_crown(rows: Sequence[Row]) -> bool:
    """Whether the count has stopped growing already: the same twice."""
    counts = [row.after.count for row in rows if row.after is not None]
    return len(counts) > 2 and counts[-1] == counts[-2]


def _tally(parts: Sequence[Segment], start: int) -> tuple[Tally, list[Segment]]:
    """The design as a tally, and its sections without the nudges."""
    sections, main, seen = [], [], dict[str, int]()
    for part in parts:
        if part.kind == "nudge":
            sections.append(SectionTally("nudge", "nudge", part.count_in, part.changes))
            continue
        seen[part.kind] = seen.get(part.kind, 0) + 1
        name = NAMES.get(part.kind, part.kind)
        name += f" {seen[part.kind]}" if seen[part.kind] > 1 else ""
        name = name if part.rows else "what follows"
        sections.append(_section(part, name))
        main.append(part)
    return Tally(start, tuple(sections)), main


def _section(part: Segment, name: str) -> SectionTally:
    changes = part.changes
    grown = [change for change in changes[1 if part.kind == "crown" else 0 :] if change > 0]
    if part.kind in ("crown", "brim"):
        most = max(grown, key=grown.count) if grown else None
        sectors = most if most is not None else (changes[0] if part.kind == "crown" else None)
        return SectionTally(part.kind, name, part.count_in, changes, sectors=sectors)
    if part.kind == "even" or part.repeats is None:
        return SectionTally(part.kind, name, part.count_in, changes)
    each = [n / part.repeats for n in (part.count_in, *part.counts)]
    if any(n != int(n) for n in each):
        return SectionTally(part.kind, name, part.count_in, changes)
    per_repeat = tuple(map(int, each))
    return SectionTally(
        part.kind, name, part.count_in, changes, per_repeat[0], part.repeats, None, per_repeat
    )


def _want(part: Segment) -> Multiple | None:
    if part.kind not in ("band", "edging") or part.repeats is None:
        return None
    if part.count_in % part.repeats:
        return None
    return Multiple(part.count_in // part.repeats)


def _stitches(main: Sequence[Segment]) -> tuple[str, ...]:
    """The stitch each section is mostly worked in; that of the one before where none is seen."""
    out: list[str] = []
    for part in main:
        found = next(
            (s.name for row in reversed(part.rows) if (s := main_stitch(row.steps)) is not None), ""
        )
        out.append(found or (out[-1] if out else "sc"))
    return tuple(out)


def _body(main: Sequence[Segment]) -> int:
    """The place of the body: the first section below the crown."""
    return next((i for i, part in enumerate(main) if part.kind != "crown"), 0)


def _gauge(found: Sequence[Stated], stitch: str) -> Stated | None:
    """The stated gauge of the body's stitch, else the first."""
    return next((g for g in found if g.stitch == stitch), found[0] if found else None)


def _only(part: Segment) -> str | None:
    """The one stitch a section is worked in; "" where there are several (a figure's width nobody
    said), None where no round of it is known."""
    names = set[str]().union(*(stitches_in(row.steps) for row in part.rows))
    return next(iter(names)) if len(names) == 1 else "" if names else None


def _as_body(part: Segment, stitch: str) -> bool:
    """Whether a section is worked in the body's stitch alone, chains and figures of which only
    the counts are known aside."""
    only = _only(part)
    plain = only is None and part.kind not in ("band", "edging")
    return (plain or only == stitch) and not _open(part)


def _width(
    part: Segment, as_body: bool, found: Sequence[Stated], body: Stated | None
) -> float | None:
    """The cm of one stitch of a section: at the gauge stated of its own stitch, at the body's
    where it is worked as the body is."""
    if as_body:
        return None if body is None else body.width
    stitch = None if _open(part) else _only(part)
    return next((each.width for each in found if stitch and each.stitch == stitch), None)


def _unsaid(
    pattern: Pattern, gauge: Stated | None, measures: Mapping[Measured, float | None]
) -> list[str]:
    lines = []
    if gauge is None:
        lines.append("the gauge; changes are in stitches and shares, not in cm")
    else:
        if gauge.height is None:
            lines.append("rounds of the gauge; depths are in rounds, not in cm")
        if gauge.taken:
            lines.append(
                f"what the gauge is over; {gauge.taken.removesuffix(', which is not said')}"
            )
        if not gauge.stitch:
            lines.append("of which stitch the gauge is; it is taken for the body")
    if measures.get("around") is None and measures.get("head") is None:
        lines.append("how large the piece is")
    return lines


def _unworked(main: Sequence[Segment]) -> list[str]:
    """Figures that a pattern gives only by their counts."""
    rows = [part.rows for part in main if part.rows and by_counts(part.rows[0]) is not None]
    labels = [span(each[0].given.number, len(each)).replace("rnd", "Rnd") for each in rows]
    return [f"how the figure of {each} is worked; it is kept by its counts" for each in labels]


def _open(part: Segment) -> bool:
    """Whether a section has chains in it: holes."""
    return any(isinstance(step, Chain) for row in part.rows for step in all_steps(row.steps))
