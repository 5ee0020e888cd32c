"""The audit itself: a pattern settled, every size run, faults told from what only inherits them.

The front door is ``audit_pattern``; what is found about bands, gauge and sizes comes from the
modules of those names.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from itertools import takewhile

from evenround.tables.plan import Unit
from evenround.tables.rounds.counter import Below, CountError
from evenround.tables.rounds.pattern import Pattern, Unread

from .bands import band_faults
from .compare import in_terms
from .expand import MOST_ROUNDS, Given, rounds_of, sizes_of
from .findings import Audit, Fault, Kind, RoundAudit, Standing
from .judge import judge
from .measures import cautions_for, measure_findings
from .missing import missing_notes
from .remarks import fault_words, notes_for, round_note
from .rows import Row, Sized, course_of
from .run import run
from .settling import Asked, Settled, settle
from .unclosed import unclosed
from .units import unit_of
from .unprinted import unprinted_choice
from .wording import factors

MOST_NAMED = 40
"""Rounds named one by one as inheriting a fault."""


def audit_pattern(
    pattern: Pattern,
    chain_counts: Asked = "auto",
    *,
    text: str = "",
    unit: Unit | None = None,
) -> Audit:
    """Judge a pattern as read.

    ``chain_counts``: whether opening chains count as stitches, "auto" to settle it by the
    pattern. ``text`` is the pattern's own text, looked at only for words that ask for a caution
    and for the unit of lengths; ``unit`` those are shown in (None: the pattern's own).
    """
    unit = unit or unit_of(pattern, text)
    given = {size: rounds_of(pattern, size) for size in sizes_of(pattern)}
    settled = settle(pattern, list(given.values()), chain_counts)
    sized = [_worked(pattern, size, rounds, settled) for size, rounds in given.items()]
    unprinted = unprinted_choice(pattern, sized, unit)
    sized = list(unprinted.sized)
    bands = band_faults(pattern, sized)
    opened = unclosed(sized, bands)
    unread = _unread(pattern)
    faulty = [(order, fault) for one in sized for order, fault in _faults(one, unread)]
    inherits = {(f.size, f.section, label) for _, f in faulty for label in f.inherits}
    faulty += [*bands.faults, *opened.faults]
    left_open = {(f.size, f.section, n) for _, f in opened.faults for n in (f.label, *f.inherits)}
    left_open |= {(f.size, f.section, n) for _, f in bands.faults for n in (f.label, *f.inherits)}
    places = {size: at for at, size in enumerate(given)}
    faulty.sort(key=lambda pair: (pair[0], places[pair[1].size]))
    return Audit(
        terms=pattern.terms,
        terms_why=pattern.terms_why,
        chain_counts=settled.chain,
        chain_why=settled.chain_why,
        repeat_means=settled.repeat,
        repeat_why=settled.repeat_why,
        sizes=pattern.sizes,
        rounds=_in_order(sized, inherits, left_open),
        faults=tuple(fault for _, fault in faulty),
        notes=(*pattern.notes, *missing_notes(sized), *notes_for(sized, left_open)),
        findings=(
            *unprinted.findings,
            *bands.findings,
            *opened.findings,
            *measure_findings(pattern, sized, unit, text),
        ),
        cautions=cautions_for(pattern, sized, text),
        unread=(*unread, *_uncounted(sized), *_too_many(given.values())),
    )


def _worked(pattern: Pattern, size: str | None, rounds: Sequence[Given], settled: Settled) -> Sized:
    at = pattern.sizes.index(size) if size is not None else 0
    course = course_of(pattern, rounds, settled.settings, at)
    return Sized(size, course, tuple(run(course)))


def _too_many(sizes: Iterable[Sequence[Given]]) -> tuple[Unread, ...]:
    """What stands past the most rounds that are counted."""
    last = next((rounds[-1] for rounds in sizes if len(rounds) == MOST_ROUNDS), None)
    if last is None:
        return ()
    why = f"rounds past the first {MOST_ROUNDS:,} of a size are not counted"
    return (Unread(last.source.where, last.source.label, why),)


def _unread(pattern: Pattern) -> tuple[Unread, ...]:
    """Everything unread once, in the order of the text."""
    every = list(pattern.unread)
    for round_text in pattern.rounds:
        if round_text.unread is not None and round_text.unread not in every:
            every.append(round_text.unread)
    return tuple(sorted(every, key=lambda u: (u.where.line, u.where.column)))


def _uncounted(sized: Sequence[Sized]) -> tuple[Unread, ...]:
    """Rounds that were read but cannot be counted, once each; those after a line that was not
    read aside."""
    found: dict[tuple[int, int], Unread] = {}
    for one in sized:
        lost = False
        for row in one.rows:
            source = row.given.source
            lost = (lost and row.judged is None) or source.unread is not None
            if row.judged is None and not lost:
                found.setdefault(row.given.order, Unread(source.where, source.text, row.why))
                lost = True
    return tuple(found[order] for order in sorted(found))


Names = set[tuple[str | None, str, str]]
"""Rounds by size, section and label."""


def _in_order(sized: Sequence[Sized], inherits: Names, left_open: Names) -> tuple[RoundAudit, ...]:
    """Every round of every size in the order of the text, sizes side by side."""
    every = []
    for place, one in enumerate(sized):
        for row in one.rows:
            given = row.given
            name = (one.size, given.source.section, given.label)
            done = _round_audit(one, row, inherited=name in inherits)
            if name in left_open and done.standing in ("ok", "note"):
                done = replace(done, standing="open")
            every.append(((given.order, place), done))
    every.sort(key=lambda pair: pair[0])
    return tuple(round_audit for _, round_audit in every)


def _round_audit(one: Sized, row: Row, *, inherited: bool) -> RoundAudit:
    given, judged, size = row.given, row.judged, one.size
    went_on = row.after.count if row.marked and row.after is not None else None
    if judged is None:
        return RoundAudit(
            given.label,
            size,
            given.source.section,
            given.source.where.line,
            uses=None,
            has=None if row.below is None else row.below.count,
            makes=None,
            places=None,
            kinds=tuple(
                Kind(in_terms(p, one.course.terms), p.number, None, None) for p in given.printed
            ),
            agrees=None,
            standing="not counted",
            note=f"not counted: {row.why}",
            went_on_from=went_on,
        )
    standing: Standing = "ok"
    if row.carried:
        standing = "inherits"
    elif row.wrong:
        standing = "wrong"
    elif inherited:
        standing = "inherits"
    elif judged.remarks:
        standing = "note"
    return RoundAudit(
        given.label,
        size,
        given.source.section,
        given.source.where.line,
        uses=judged.uses,
        has=judged.has,
        makes=judged.kinds[0].made if judged.kinds else judged.worked.makes,
        places=judged.worked.makes,
        kinds=judged.kinds,
        agrees=judged.sound,
        standing=standing,
        readings=tuple((way, worked.makes) for way, worked in judged.readings),
        fits=judged.fits,
        note=round_note(row, inherited=inherited),
        went_on_from=went_on,
    )


# --- faults and what inherits them -----------------------------------------------------------


def _faults(one: Sized, unread: Sequence[Unread]) -> list[tuple[tuple[int, int], Fault]]:
    found = []
    before = 0
    for at, row in enumerate(one.rows):
        given = row.given
        line, before = before, given.source.where.line
        if not row.wrong or row.judged is None or row.carried:
            continue
        lost = next((u.where.line for u in unread if line < u.where.line < before), None)
        labels, later = _inheriting(one, at)
        fault = Fault(
            given.label,
            one.size,
            given.source.section,
            given.source.where.line,
            fault_words(row, later, one.course.terms)
            + (f"; line {lost} before it was not read" if lost else ""),
            tuple(mend.words for mend in row.mends),
            labels,
        )
        found.append((given.order, fault))
    return found


def _carried(one: Sized, at: int) -> tuple[str, ...]:
    """The rounds after a wrong count that were only counted on from it."""
    behind = takewhile(lambda row: row.carried, one.rows[at + 1 :])
    return tuple(row.given.label for row in behind)[:MOST_NAMED]


def _inheriting(one: Sized, at: int) -> tuple[tuple[str, ...], str]:
    """The rounds after a wrong one that are right on the count they were judged on but not on
    what the wrong one makes; and in words what the first of them would make then."""
    judged = one.rows[at].judged
    assert judged is not None
    if carried := _carried(one, at):
        return carried, ""
    actual: Below = judged.likely.made
    labels: list[str] = []
    first = ""
    for row in one.rows[at + 1 :]:
        if row.wrong or row.judged is None or row.below is None:
            break
        if row.below.count == actual.count or len(labels) == MOST_NAMED:
            break
        try:
            other = judge(row.steps, actual, row.given.printed, one.course.ways(row.given))
        except CountError:
            break
        if other is None or row.judged.has is None:
            break
        makes = other.likely.makes
        if not labels:
            shared = factors(makes) if makes != actual.count else ""
            as_product = f" ({shared})" if shared else ""
            if makes != actual.count and not shared:
                as_product = " (a prime: no repeat divides it)"
            ends = f"makes {makes}{as_product}, not {row.judged.worked.makes}"
            if other.worked.short:
                ends = f"needs {other.uses}"
            elif other.worked.over or other.readings:
                over = other.worked.over or other.readings[0][1].over_in_repeat
                ends = f"leaves {over} over"
            first = f"on {actual.count} {row.given.label} {ends}"
        labels.append(row.given.label)
        actual = other.likely.made
    return tuple(labels), first
