"""What stands before the rounds: materials, gauge, notes, finished measurements, how to begin."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from evenround.solver.candidate import BandMeasure, Candidate, Nudge, Yarn
from evenround.solver.piece import Crown, Gauge
from evenround.tables.facts import table
from evenround.tables.plan import Plan, Unit
from evenround.tables.rounds.steps import Into, Repeat, StartChain, Turn
from evenround.tables.rounds.stepwise import all_steps
from evenround.tables.rounds.writer import names
from evenround.tables.underneath import unweighed_words
from evenround.tables.words import (
    clean,
    length,
    listed,
    over_words,
    plural,
    signed,
)

from .known import Known, figure_of
from .working import Worked, first_stitch
from .written import WrittenRound

RINGS = ((8, 4), (12, 5), (16, 6))
"""Stitches that a ring of so many chains holds: four hold eight, five or six a dozen or more
(a crochet question-and-answer handbook, chapter on working in rounds)."""
TOLD_CM = 0.5
"""A band that is so much wider or narrower than the hat elsewhere is measured apart."""


def materials(plan: Plan, known: Known) -> Iterator[str]:
    """Yarn, hook, marker, needle."""
    tension = "gauge" if plan.terms == "us" else "tension"
    if known.yarn_class is not None:
        rows = table("yarn_weights")
        row = next((r for r in rows if r["class"] == str(known.yarn_class)), None)
        name = "" if row is None else f" ({row['name']})"
        yield f"Yarn of class {known.yarn_class}{name} that gives this {tension}"
    else:
        yield f"Yarn that gives this {tension}"
    yield f"Hook in the size that gives this {tension}"
    yield f"Stitch marker for the {'start' if plan.joined else 'first stitch'} of the round"
    yield "Needle to weave in the ends"


def gauge_lines(plan: Plan) -> Iterator[str]:
    """Every stitch's gauge once, over what the brief stated its own; estimates marked."""
    seen: set[str] = set()
    for us, section in zip(plan.section_stitches, plan.piece.sections, strict=True):
        if us in seen:
            continue
        seen.add(us)
        yield _gauge_line(plan, us, _own_gauge(plan, us) or section.gauge)


def _own_gauge(plan: Plan, us: str) -> Gauge | None:
    """The stitch's gauge from a section worked plain, where there is one: a band's may be marked
    assumed only because its figure's height is."""
    pairs = zip(plan.section_stitches, plan.piece.sections, strict=True)
    return next((s.gauge for name, s in pairs if name == us and not s.gauge.assumed), None)


def _gauge_line(plan: Plan, us: str, gauge: Gauge) -> str:
    stitches, rounds = plan.over_cm / gauge.width_cm, plan.over_cm / gauge.height_cm
    mark = " (assumed, not measured)" if gauge.assumed else ""
    name = names(plan.terms).get(us, us)
    return f"{_plain(stitches)} {name} and {_plain(rounds)} rnds = {over_words(plan)}{mark}"


def _plain(value: float) -> str:
    return f"{round(value, 1):g}"


def notes(
    plan: Plan,
    sections: Sequence[Worked],
    written: Sequence[WrittenRound],
    *,
    shift: bool,
) -> Iterator[str]:
    """How to read and work the rounds; only what this pattern needs."""
    rounds = [r for r in written if r.steps is not None]
    yield from _joining(plan, rounds)
    turned = any(turns(plan, w) for w in sections)
    if not turned and not any(
        isinstance(s, Turn) for r in rounds for s in all_steps(r.steps or ())
    ):
        yield "Worked with the same side facing throughout: do not turn."
    yield from _over_in_a_spiral(plan, sections)
    yield from _signs(rounds)
    yield "The number at the end of a round is what the round leaves to work into."
    if any(r.unit == "place" or "place" in r.words for r in written):
        yield (
            "A place is whatever the next round can be worked into: the top of a stitch or one "
            "chain."
        )
    if shift and any(w.tally.section in ("crown", "brim") and _shifts(w) for w in sections):
        yield (
            "The increases are shifted by half a sector in every other increase round, so that "
            "they do not stand in lines and no polygon shows."
        )


def _over_in_a_spiral(plan: Plan, sections: Sequence[Worked]) -> Iterator[str]:
    """A figure that wants another count in a spiral than the piece gives it."""
    for worked in sections:
        tally, figure = worked.tally, figure_of(plan, worked.index)
        if plan.joined or figure is None or not figure.spiral or not tally.repeat:
            continue
        if tally.count_in - (tally.repeats or 0) * tally.repeat != figure.spiral:
            yield (
                f"{_upper(clean(figure.name))} in a spiral wants whole repeats and "
                f"{figure.spiral} more; here are whole repeats (remainder in the brief)."
            )


def turns(plan: Plan, worked: Worked) -> bool:
    """Whether the rounds of a section are those of a figure that wants the work turned."""
    figure = figure_of(plan, worked.index)
    written = bool(worked.rounds) and worked.rounds[0].steps is not None
    return figure is not None and figure.turned and written and worked.tally.section != "nudge"


def _signs(rounds: Sequence[WrittenRound]) -> Iterator[str]:
    """How repeats and groups are written, as far as there are any."""
    steps = [step for r in rounds for step in all_steps(r.steps or ())]
    if any(isinstance(s, Repeat) and (s.times is None or s.more is not False) for s in steps):
        yield (
            "*...; rep from *: work what stands between the * and the semicolon, then the same "
            "again as far as is said."
        )
    if any(isinstance(s, Repeat) and s.times is not None and s.more is False for s in steps):
        yield "[...] 3 times: work what stands in the brackets three times in all."
    if any(isinstance(s, Into) and len(s.parts) > 1 for s in steps):
        yield "(...) in one st, place or sp: all of it goes into the same one."


def _joining(plan: Plan, rounds: Sequence[WrittenRound]) -> Iterator[str]:
    sl_st = names(plan.terms)["sl st"]
    if not plan.joined:
        yield (
            "Worked in a spiral: do not join the rounds; put the marker in the first stitch of "
            "each round and move it up."
        )
        return
    yield f"Joined rounds: join with a {sl_st} in the first stitch of the round."
    if heights := _heights(plan, rounds):
        # each on a line of its own, so that nobody reads half of it
        yield "The ch at the start of a round does not count as a stitch."
        yield f"How high: {heights}."
        yield "The first stitch goes into the place of the join."


def _heights(plan: Plan, rounds: Sequence[WrittenRound]) -> str:
    """``ch 1 for sc and hdc, ch 2 for dc``: the opening chains that there are."""
    opened = {
        (step.n, first.name)
        for r in rounds
        for step in r.steps or ()
        if isinstance(step, StartChain) and (first := first_stitch(r.steps or ())) is not None
    }
    by_height: dict[int, list[str]] = {}
    for n, us in sorted(opened, key=lambda pair: (pair[0], list(names("us")).index(pair[1]))):
        by_height.setdefault(n, []).append(names(plan.terms)[us])
    return ", ".join(f"ch {n} for {listed(own)}" for n, own in by_height.items())


def _shifts(worked: Worked) -> bool:
    changes = worked.tally.changes
    return sum(change > 0 for change in changes) > 2 or worked.tally.section == "brim"


def start_words(plan: Plan, candidate: Candidate) -> str:
    """How the piece is begun: a ring to suit the start count, or the joined chain."""
    n, sl_st = candidate.tally.start, names(plan.terms)["sl st"]
    if candidate.tally.crown is None:
        return f"Ch {n}, join with a {sl_st} to form a ring. Take care that it is not twisted."
    crown = next((s for s in plan.piece.sections if isinstance(s, Crown)), None)
    if crown is not None and crown.hole_cm > 0:
        across = length(crown.hole_cm, plan.unit)
        return (
            f"Make a ring of chains that is {across} {plan.unit} across inside, joined with a "
            f"{sl_st}."
        )
    chains = next((chains for holds, chains in RINGS if n <= holds), None)
    if chains is None:
        return "Make an adjustable ring."
    return f"Make an adjustable ring, or ch {chains} and join into a ring with a {sl_st}."


def measurements(plan: Plan, candidate: Candidate, unit: Unit) -> Iterator[str]:
    """What the finished piece measures, and how that sits on the head."""
    around = f"Around: {length(candidate.measures.around_cm, unit)} {unit}"
    if plan.head_cm is not None:
        around += (
            f" for a head of {length(plan.head_cm, unit)} {unit} (ease "
            f"{_ease(plan, candidate, plan.head_cm, unit)})"
        )
    yield around
    yield from _other_measurements(plan, candidate, unit)


def sized_measurements(plan: Plan, candidate: Candidate, unit: Unit) -> Iterator[str]:
    """The same in short lines, one measure each, to be laid beside those of other sizes."""
    if plan.head_cm is not None:
        yield f"Head: {length(plan.head_cm, unit)} {unit}"
    yield f"Around: {length(candidate.measures.around_cm, unit)} {unit}"
    if plan.head_cm is not None:
        yield f"Ease: {_ease(plan, candidate, plan.head_cm, unit)}"
    yield from _other_measurements(plan, candidate, unit)


def _ease(plan: Plan, candidate: Candidate, head_cm: float, unit: Unit) -> str:
    ease = f"{signed(candidate.measures.around_cm - head_cm, unit)} {unit}"
    return ease if plan.ease_cm is None else f"{ease}, wished {signed(plan.ease_cm, unit)}"


def _other_measurements(plan: Plan, candidate: Candidate, unit: Unit) -> Iterator[str]:
    m = candidate.measures
    for band in m.bands:
        if plan.piece.around_cm is not None and abs(band.around_cm - m.around_cm) < TOLD_CM:
            continue
        yield f"{_upper(clean(band.name))}: {length(band.around_cm, unit)} {unit} around"
    where = "to where the brim turns" if candidate.tally.brim else "to the edge"
    begin = "from the middle of the crown " if candidate.tally.crown else ""
    yield f"Depth along the fabric, {begin}{where}: {length(m.depth_cm, unit)} {unit}"
    if m.brim_cm is not None:
        yield _brim(candidate, unit)
    if m.edge_cm is not None:
        # the edging's own round may be longer or shorter, and lies as its figure has it
        last = candidate.tally.sections[-1]
        where = f" before the {clean(last.name)}" if last.section == "edging" else ""
        yield f"Edge: {length(m.edge_cm, unit)} {unit} along the last round{where}"


def _brim(candidate: Candidate, unit: Unit) -> str:
    m = candidate.measures
    words = f"Brim: {length(m.brim_cm or 0.0, unit)} {unit} wide"
    if m.over_flat:
        return f"{words}, fuller than flat"
    if m.flare_deg is None:
        return words
    return f"{words}, {m.flare_deg:.0f} degrees from straight down"


def yarn_lines(yarn: Yarn, plan: Plan | None = None) -> Iterator[str]:
    """Yarn where it was weighed, its margin apart; never a guess. The plan says what was weighed
    and not measured."""
    known = [part for part in yarn.parts if part.grams is not None]
    names_ = [p.section for p in yarn.parts if p.grams is None]
    unknown = f"not weighed: {listed(list(dict.fromkeys(map(clean, names_))))}"
    if plan is not None:
        unknown = unweighed_words(plan, names_)
    if not known:
        yield _upper(f"{unknown}.") if "weighed, but" in unknown else "Not weighed."
        return
    if yarn.grams is not None:
        metres = "" if yarn.metres is None else f" ({yarn.metres:.0f} m)"
        extra = "" if yarn.metres is None else f" ({yarn.metres * yarn.margin:.0f} m)"
        yield f"{yarn.grams:.0f} g{metres}, as weighed, without a margin."
        yield f"Margin: {yarn.margin:.0%} more, {yarn.grams * yarn.margin:.0f} g{extra}."
        return
    grams = sum(part.grams or 0.0 for part in known)
    have = listed(list(dict.fromkeys(clean(p.section) for p in known)))
    yield f"{_upper(have)}: {grams:.0f} g, without a margin (add {yarn.margin:.0%})."
    yield _upper(f"{unknown}, so no total.")


def band_words(band: BandMeasure, unit: Unit) -> str:
    """``11 repeats of 10 places, each 5.26 cm.``"""
    over = f" and {band.remainder} more" if band.remainder else ""
    width = length(band.repeat_cm, unit, 2)
    return f"{band.repeats} repeats of {band.repeat} places{over}, each {width} {unit}."


def nudge_sentence(nudge: Nudge) -> str:
    """What a nudge is for."""
    way = "adds" if nudge.change > 0 else "drops"
    return (
        f"This round {way} {plural(abs(nudge.change), 'st')} so that what follows "
        f"({clean(nudge.before)}) comes out even."
    )


def disc_words(candidate: Candidate, unit: Unit) -> str | None:
    """The disc to measure at the stop round."""
    across, stop = candidate.measures.crown_across_cm, candidate.tally.stop_round
    if across is None or stop is None:
        return None
    return f"Measure: after Rnd {stop} the disc is {length(across, unit)} {unit} across."


def _upper(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}"


def size_words(plan: Plan) -> str | None:
    """The size's name where the brief has several."""
    return clean(plan.size) if len(plan.sizes) > 1 else None
