"""The whole pattern of a candidate, put together and proved before anybody sees it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import groupby

from evenround.solver.candidate import Candidate
from evenround.tables.cautions import cautions
from evenround.tables.plan import Plan, Unit
from evenround.tables.reasons import notice_words
from evenround.tables.rounds.figures_stitches import stitches_used
from evenround.tables.rounds.writer import names
from evenround.tables.words import clean, rhythm_words

from . import front
from .abbreviations import abbreviations
from .known import Known, figure_of
from .lines import round_lines
from .page import rounds_text
from .proof import prove
from .working import Worked, worked_sections
from .written import Heading, WrittenPattern, WrittenRound

NOTHING = Known()


def write_pattern(
    plan: Plan,
    candidate: Candidate,
    known: Known = NOTHING,
    *,
    unit: Unit | None = None,
    shift: bool = True,
) -> WrittenPattern:
    """The pattern of a candidate in the plan's terms, lengths in ``unit`` (default: the plan's).

    ``known`` is what the brief says besides; ``shift`` moves the increases of every other
    increase round by half a sector. Raises InternalCheckError where the pattern, written and
    read back, does not count as the tally does.
    """
    sections = worked_sections(plan, candidate, shift=shift)
    pattern = _put_together(plan, candidate, known, sections, unit or plan.unit, shift=shift)
    tally = candidate.tally
    start = None if tally.crown is not None else tally.start
    prove(pattern, rounds_text(pattern), tally.round_counts, start)
    return pattern


def _put_together(
    plan: Plan,
    candidate: Candidate,
    known: Known,
    sections: Sequence[Worked],
    unit: Unit,
    *,
    shift: bool,
) -> WrittenPattern:
    headings = tuple(_headings(plan, candidate, sections, unit))
    rounds = [r for heading in headings for r in heading.rounds]
    pattern = WrittenPattern(
        title=clean(plan.title),
        size=front.size_words(plan),
        terms=plan.terms,
        joined=plan.joined,
        materials=tuple(front.materials(plan, known)),
        gauge=tuple(front.gauge_lines(plan)),
        abbreviations=(),
        notes=tuple(front.notes(plan, sections, rounds, shift=shift)),
        measurements=tuple(front.measurements(plan, candidate, unit)),
        yarn=tuple(front.yarn_lines(candidate.measures.yarn, plan)),
        start=front.start_words(plan, candidate),
        headings=headings,
        finishing=(_finishing(plan),),
        warnings=tuple(notice_words(n) for n in candidate.measures.notices),
        assumptions=tuple(clean(s) for s in plan.assumptions),
        cautions=cautions(plan),
    )
    texts = [*pattern.gauge, *pattern.notes, pattern.start, *pattern.finishing]
    texts += [line for _, line in round_lines(pattern)]
    return replace(pattern, abbreviations=abbreviations(texts, plan.terms))


def _finishing(plan: Plan) -> str:
    if plan.joined:
        return "Fasten off; weave in the ends with the needle."
    # in words without numbers: after the rounds nothing must look like work
    return (
        "Level the end with two slip stitches, one to a stitch. Fasten off; weave in the ends "
        "with the needle."
    )


def _headings(
    plan: Plan, candidate: Candidate, sections: Sequence[Worked], unit: Unit
) -> Iterator[Heading]:
    """A heading for every section of the piece; a nudge stands under the one it is worked in."""
    kept = [w for w in sections if w.rounds]
    for index, run in groupby(kept, key=lambda w: w.index):
        worked = list(run)
        main = next((w for w in worked if w.tally.section != "nudge"), worked[0])
        rounds = [_said(candidate, w, r, unit) for w in worked for r in w.rounds]
        yield Heading(
            kind=main.tally.section,
            name=plan.piece.sections[index].name,
            stitches=_stitches(main),
            rounds=tuple(_firmly(r) for r in folded(rounds)),
            before=tuple(_before(plan, main, candidate, unit)),
        )


def _stitches(worked: Worked) -> tuple[str, ...]:
    """What a section is worked in: a written figure's own stitches, else the section's."""
    written = [r.steps for r in worked.rounds if r.steps is not None]
    if worked.tally.section not in ("band", "edging") or not written:
        return (worked.stitch,)
    found = dict.fromkeys(name for steps in written for name in stitches_used(steps))
    return tuple(name for name in found if name not in ("ch", "picot")) or (worked.stitch,)


def _said(candidate: Candidate, worked: Worked, written: WrittenRound, unit: Unit) -> WrittenRound:
    """A round with what is said below it: the disc to measure, what a nudge is for."""
    if worked.tally.section == "crown" and written.first == candidate.tally.stop_round:
        return replace(written, after=front.disc_words(candidate, unit) or "")
    if worked.tally.section != "nudge":
        return written
    nudge = next((n for n in candidate.measures.nudges if n.round == written.first), None)
    return replace(
        written, note="nudge", after="" if nudge is None else front.nudge_sentence(nudge)
    )


def _before(plan: Plan, worked: Worked, candidate: Candidate, unit: Unit) -> Iterator[str]:
    """What is said before a section's rounds: a brim's rhythm, a band's repeats, what is not
    written out."""
    tally = worked.tally
    band = next((b for b in candidate.measures.bands if b.name == tally.name), None)
    if band is not None and tally.section == "band":
        yield front.band_words(band, unit)
    rhythm = rhythm_words(tally.rhythm)
    if rhythm is not None and tally.sectors is not None:
        # a reader takes stitches and rounds side by side for a gauge
        pace = rhythm.replace(" of ", " of every ")
        yield f"Grows by {tally.sectors} sts in {pace}."
    if (below := _wants_below(plan, worked)) is not None:
        yield below
    if front.turns(plan, worked):
        yield "Turn the work before every round here, so that its other side faces you."
    if any(r.steps is None for r in worked.rounds):
        yield "Not written out: this figure's rounds are not known; work your own to the counts."


def _wants_below(plan: Plan, worked: Worked) -> str | None:
    """What a figure of post stitches needs under it, where it does not stand on that already."""
    known = figure_of(plan, worked.index)
    if known is None or known.on is None:
        return None
    stitch = names(plan.terms)[known.on]
    if worked.index == 0:
        return (
            f"Its stitches go about the posts of the round below, and chains have none: work one "
            f"round of {stitch} on the chain first, which the counts here do not hold."
        )
    if plan.section_stitches[worked.index - 1] == known.on:
        return None
    return f"Sits best on a round of {stitch}: work the round before it in that."


def _firmly(written: WrittenRound) -> WrittenRound:
    if written.note != "firm":
        return written
    which = "this round" if written.first == written.last else "these rounds"
    return replace(written, after=f"Work {which} firmly, for a firm edge.")


def folded(rounds: Sequence[WrittenRound]) -> Iterator[WrittenRound]:
    """Neighbouring rounds that are worked alike, with the same count, as one instruction."""
    kept: WrittenRound | None = None
    for each in rounds:
        if kept is not None and _alike(kept, each):
            kept = replace(kept, last=each.last)
            continue
        if kept is not None:
            yield kept
        kept = each
    if kept is not None:
        yield kept


def _alike(one: WrittenRound, two: WrittenRound) -> bool:
    return one.steps is not None and replace(one, first=0, last=0) == replace(two, first=0, last=0)
