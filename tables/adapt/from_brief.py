"""A brief's design adapted: its candidate is the original, the search the exact one of ``fit``.

Two lists are searched: with everything kept that can be (start, crown sectors, rounds of bands,
the brim's rhythm) and with the brief's own freedom. Together they are ranked by how much of the
original changes, in mm, and by the brief's score.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from copy import deepcopy
from dataclasses import replace
from typing import Any

from evenround.solver.adapt import UNIT, change_parts, main_sections
from evenround.solver.adapt_design import Design, NewFigure
from evenround.solver.adapt_search import above_brim
from evenround.solver.candidate import Candidate, Fit
from evenround.solver.fit import fit
from evenround.solver.measure import measure
from evenround.solver.piece import Band, Brim, Crown, Piece, Section, side_section
from evenround.solver.suits import Multiple
from evenround.solver.tally import SectionTally, Tally
from evenround.tables.brief import Brief, Flags, plan, validated, with_flags
from evenround.tables.plan import Plan, Unit
from evenround.tables.reasons import breach_words, notice_words
from evenround.tables.rounds.figures import figure
from evenround.tables.words import listed

from .answer import Answer, Option, adapted, change_words, edge_notes, section_widths
from .ask import AskError, Changes, Request, at_repeat, figure_at_repeat, request
from .counting import figure_name, wish_of_figure, wish_of_repeat
from .infer_words import section_lines
from .original import Original

WIDE = 100
"""Designs listed before they are ranked again."""
BandTally = tuple[Band, SectionTally] | None
OF_A_FIGURE = (
    "figure",
    "work",
    "counts",
    "leaves",
    "remainder",
    "repeat",
    "repeat_width",
    "rounds",
    "give",
    "measured_repeat",
    "measured_give",
    "measured_height",
)


def original_of_brief(made: Plan, candidate: Candidate) -> Original:
    """A candidate of a brief as a design to adapt."""
    tally = candidate.tally
    sections = main_sections(tally)
    side = side_section(made.piece)
    gauge, body = side.gauge, made.section_stitches[made.piece.sections.index(side)]
    words = f"{made.gauge_stitches:g} sts over {made.over_cm:g} cm"
    if made.gauge_assumed:
        words += ", assumed"
    around = None if made.piece.around_cm is None else made.piece.around_cm
    return Original(
        title=made.title,
        size=made.size if len(made.sizes) > 1 else None,
        terms=made.terms,
        design=Design(tally, tuple(_want(s) for s in sections)),
        stitches=made.section_stitches,
        gauge=gauge,
        gauge_words=words,
        around_cm=around,
        head_cm=made.head_cm,
        inferred=tuple(section_lines(tally, made.section_stitches, made.terms)),
        unsaid=(),
        unread=(),
        complete=True,
        openwork=made.openwork,
        widths=section_widths(made.piece, tally),
        as_body=tuple(stitch == body for stitch in made.section_stitches),
    )


def _want(section: SectionTally) -> Multiple | None:
    if section.repeat is None or section.repeats is None:
        return None
    return Multiple(section.repeat, section.count_in - section.repeats * section.repeat)


def changed_brief(
    brief: Brief, changes: Changes, size: str | None, made: Plan, band: BandTally
) -> tuple[Brief, list[str]]:
    """The brief with the changes in it and a note for each. ``made`` is its plan, ``band`` the
    original's band as asked and as worked, None without exactly one. BriefError, AskError."""
    notes: list[str] = []
    if changes.figure is not None or changes.repeat is not None:
        brief, notes = _with_repeat(brief, changes, made, band)
    if changes.sectors is not None:
        brief, more = _with_sectors(brief, changes.sectors)
        notes += more
    flags = Flags(head=changes.head, ease=changes.ease, gauge=changes.gauge)
    if flags.given:
        brief, more = with_flags(brief, flags, size)
        notes += more
    if changes.gauge is not None and len(brief.fields.gauge) > 1:
        others = [name for name in brief.fields.gauge if name != brief.fields.stitch]
        notes.append(
            f"{listed(others)} {'keeps its gauge' if len(others) == 1 else 'keep their gauges'}: "
            "in another yarn, measure that too and say it in the brief"
        )
    return brief, notes


def _with_repeat(
    brief: Brief, changes: Changes, made: Plan, band: BandTally
) -> tuple[Brief, list[str]]:
    """The brief's one band in another figure; in its own at the give that has the repeat; or in
    one of which only the repeat is known: that keeps the band's rounds and its height."""
    flag = "--figure" if changes.figure is not None else "--repeat"
    raw: dict[str, Any] = deepcopy(dict(brief.raw))
    bands = [i for i, section in enumerate(raw["sections"]) if section["kind"] == "band"]
    if len(bands) != 1 or band is None:
        raise AskError(f"{flag}: the brief has {len(bands)} bands; change the one meant in it")
    table = raw["sections"][bands[0]]
    was = table.get("figure", table.get("repeat", "its own rounds"))
    if changes.figure is None and (own := _own_repeat(made, band[0], str(changes.repeat))):
        note = _at_give(table, made, band[0], own, f"--repeat {changes.repeat}", str(was))
        where: dict[tuple[str | int, ...], str] = {("sections", bands[0], "give"): flag}
        return validated(raw, brief.source, where, brief.notes), [note]
    gone = [key for key in OF_A_FIGURE if table.pop(key, None) is not None]
    spec, worked = band
    more = ""
    if changes.figure is not None:
        name = table["figure"] = _spelt(changes.figure)
        once = len(figure(name).once)
        table["rounds"] = max(1, round(worked.rounds / once)) * once
        more = _with_give(table, changes)
    else:
        name = table["repeat"] = str(changes.repeat)
        table["rounds"] = worked.rounds
        if spec.measured_height_cm is not None:
            table["measured_height"] = f"{spec.measured_height_cm / spec.figure.rounds:.4f}cm"
        more = f"; its {worked.rounds} rounds and their height stay"
    gone = [key for key in gone if key not in table]
    lost = f"; with it go {', '.join(gone)}" if gone else ""
    key = flag.removeprefix("--")
    named: dict[tuple[str | int, ...], str] = {("sections", bands[0], key): flag}
    other = validated(raw, brief.source, named, brief.notes)
    return other, [f"{flag} {name} replaces {was}{more}{lost}"]


def _own_repeat(made: Plan, spec: Band, said: str) -> Multiple | None:
    """What a band's own figure wants where it has the repeat said, at some give; else None."""
    try:
        wish = wish_of_repeat(said).multiple
    except ValueError:  # told of its field when the brief is checked
        return None
    # with more plain stitches than the figure has it is hardly the figure any more
    own = _multiple(spec, (0, spec.figure.counts[0]))
    over = 0 if made.joined else wish.remainder  # in joined rounds a flat pattern's falls away
    return at_repeat(own, wish) if over == own.remainder else None


def _multiple(spec: Band, gives: tuple[int, int]) -> Multiple:
    counts, give = spec.figure.counts, spec.figure.give
    return Multiple(counts[0], spec.remainder, give[0], gives, pairs=spec.even_repeats)


def _at_give(
    table: dict[str, Any], made: Plan, spec: Band, own: Multiple, flag: str, was: str
) -> str:
    """The band's own figure with just the give asked for, and words on it. A wished width that
    such a repeat cannot have goes."""
    low, high = own.gives
    if not own.give or low != high:
        return f"{flag} is what {was} has: nothing of it changes"
    table["give"] = [low, high]
    words = f"{flag}: {was} has it at t = {low}, and stays"
    if spec.repeat_wish_cm is None or spec.wish_width_cm is None:
        return words
    off = abs(own.at(low) * spec.wish_width_cm / spec.repeat_wish_cm - 1)
    if off > made.piece.limits.repeat_share:
        del table["repeat_width"]
        words += f"; its repeat_width goes, {100 * off:.0f} % off"
    return words


def _with_give(table: dict[str, Any], changes: Changes) -> str:
    """The give at which a new figure has the repeat said beside it, and words on it."""
    if changes.repeat is None:
        return ""
    try:
        said = wish_of_repeat(changes.repeat)
    except ValueError as error:
        raise AskError(f"--repeat: found {changes.repeat[:40]!r}; {error}") from None
    found = figure_at_repeat(wish_of_figure(table["figure"]), said)
    if not found.give or found.gives[0] != found.gives[1]:
        return ""
    table["give"] = list(found.gives)
    return f" at t = {found.gives[0]}"


def _with_sectors(brief: Brief, said: str) -> tuple[Brief, list[str]]:
    """The brief's crown with just so many sectors, whatever it allowed before."""
    if not said.strip().isdecimal() or not 4 <= int(said) <= 24:
        raise AskError(f"--sectors: found {said[:20]!r}; a number from 4 to 24 would be right")
    raw: dict[str, Any] = deepcopy(dict(brief.raw))
    crowns = [i for i, section in enumerate(raw["sections"]) if section["kind"] == "crown"]
    if not crowns:
        raise AskError("--sectors: the brief has no crown")
    sectors = int(said)
    table = raw["sections"][crowns[0]]
    was = table.get("sectors", "what was open")
    table |= {"sectors": sectors, "sector_range": [sectors, sectors]}
    gone = "" if table.pop("start_range", None) is None else "; its start_range goes"
    named: dict[tuple[str | int, ...], str] = {("sections", crowns[0], "sectors"): "--sectors"}
    made = validated(raw, brief.source, named, brief.notes)
    return made, [f"--sectors {sectors} replaces {was}, with no other number allowed{gone}"]


def _spelt(name: str) -> str:
    try:
        return figure_name(name)
    except ValueError as error:
        raise AskError(f"--figure: {error}") from None


def _band_of(made: Plan, tally: Tally) -> BandTally:
    """The one band of a design as asked and as worked."""
    pairs = zip(made.piece.sections, main_sections(tally), strict=True)
    found = [(spec, worked) for spec, worked in pairs if isinstance(spec, Band)]
    return found[0] if len(found) == 1 else None


def adapted_brief(
    brief: Brief,
    changes: Changes,
    size: str | None,
    pick: int,
    best: int,
    time_limit: float,
    unit: Unit | None = None,
) -> Answer | tuple[Plan, Fit]:
    """The nearest designs to a brief's candidate ``pick``; or, where the brief or the changed
    brief has none, that plan and its empty Fit. Lengths are told in ``unit`` (the brief's own).
    BriefError, AskError for bad input."""
    made = plan(brief, size)
    found = fit(made.piece, best=pick, time_limit=time_limit, near=True)
    if not found.candidates:
        return made, found
    if len(found.candidates) < pick:
        raise AskError(f"--pick: there is no candidate {pick}; there are {len(found.candidates)}")
    original = original_of_brief(made, found.candidates[pick - 1])
    band = _band_of(made, original.design.tally)
    other, notes = changed_brief(brief, changes, size, made, band)
    goal = plan(other, size)
    if changes.band_only:
        return _band_only(original, changes, goal, notes, best, unit)
    kept = fit(_keeping(goal.piece, original.design.tally, changes), WIDE, time_limit, near=False)
    free = fit(goal.piece, WIDE, time_limit)
    options = _ranked(original, goal, [*kept.candidates, *free.candidates], best)
    if not options:
        return goal, free
    asked = _request(original, changes, goal, notes, unit)
    unproven = "unproven" in (kept.status, free.status)
    return Answer(original, asked, tuple(options), (), goal, unproven)


def _band_only(
    original: Original,
    changes: Changes,
    goal: Plan,
    notes: Sequence[str],
    best: int,
    unit: Unit | None,
) -> Answer:
    """Only from the band's nudge on: the near designs, each measured against the changed brief."""
    band = _band_of(goal, original.design.tally)
    new = None
    if band is not None:
        spec, old = band
        low, high = spec.rounds
        figure = NewFigure(spec.figure, min(max(old.rounds, low), high))
        new = _multiple(spec, spec.give_range), figure
    answer = adapted(original, changes, unit or goal.unit, best, goal.unit, new)
    options = []
    for option in answer.options:
        measures = measure(goal.piece, option.tally)
        broken = tuple(
            f"breaks the brief: {breach_words(b, unit or goal.unit)}" for b in measures.breaches
        )
        options.append(
            replace(
                option,
                score_mm=measures.score_mm,
                measures=measures,
                notes=(*option.notes, *broken),
            )
        )
    asked = replace(answer.request, notes=(*notes, *answer.request.notes))
    return replace(answer, options=tuple(options), plan=goal, request=asked)


def _request(
    original: Original, changes: Changes, goal: Plan, notes: Sequence[str], unit: Unit | None
) -> Request:
    """The words of what is asked; the numbers are the brief's."""
    said = request(original, replace(changes, gauge=None), unit or goal.unit, goal.unit)
    words = [*said.words, *([f"gauge {changes.gauge}"] if changes.gauge is not None else [])]
    found = side_section(goal.piece).gauge
    return replace(
        said,
        gauge=found,
        around_cm=goal.piece.around_cm,
        words=tuple(words),
        notes=(*notes, *(n for n in goal.notes if n not in notes)),
    )


def _keeping(piece: Piece, tally: Tally, changes: Changes) -> Piece:
    """The piece with the freedom to be otherwise taken from what can be kept."""
    sections = main_sections(tally)
    return replace(
        piece,
        sections=tuple(
            _kept(spec, old, changes) for spec, old in zip(piece.sections, sections, strict=True)
        ),
    )


def _kept(spec: Section, old: SectionTally, changes: Changes) -> Section:
    match spec:
        case Crown() if changes.sectors is None and old.sectors is not None:
            start = old.changes[0]
            return replace(
                spec, start_range=(start, start), sector_range=(old.sectors, old.sectors)
            )
        case Band() if spec.rounds[0] <= old.rounds <= spec.rounds[1]:
            whole = old.rounds % spec.figure.rounds == 0
            return replace(spec, rounds=(old.rounds, old.rounds)) if whole else spec
        case Brim() if old.rhythm is not None:
            return replace(spec, rhythms=(old.rhythm,))
        case _:
            return spec


def _ranked(original: Original, goal: Plan, found: Sequence[Candidate], best: int) -> list[Option]:
    before = original.design.tally
    width = side_section(goal.piece).gauge.width_cm
    target = _target(original, goal, width)
    every: dict[Tally, tuple[int, Candidate]] = {}
    for candidate in found:
        parts = change_parts(before, candidate.tally, target=target)
        every[candidate.tally] = (sum(parts.values()), candidate)

    def order(item: tuple[int, Candidate]) -> tuple[int, tuple[int, ...]]:
        changed = round(item[0] * width * 10 * 1_000_000 / UNIT)
        return changed + item[1].measures.cost_nm, item[1].tally.round_counts

    shown: dict[tuple[SectionTally, ...], tuple[int, Candidate]] = {}
    for each in sorted(every.values(), key=order):
        shown.setdefault(above_brim(each[1].tally), each)
    return list(_options(before, list(shown.values())[:best], width))


def _target(original: Original, goal: Plan, width: float) -> float | None:
    """The side count the circumference now comes to, where head or gauge changed it."""
    around, gauge = goal.piece.around_cm, original.gauge
    if around is None or gauge is None:
        return None
    same = original.around_cm is not None and abs(around - original.around_cm) < 1e-9
    if same and abs(width - gauge.width_cm) < 1e-12:
        return None
    return around / width


def _options(
    before: Tally, ranked: Sequence[tuple[int, Candidate]], width: float
) -> Iterator[Option]:
    for rank, (cost, candidate) in enumerate(ranked, 1):
        stitches = cost / UNIT
        yield Option(
            rank,
            candidate.tally,
            stitches,
            stitches * width * 10,
            candidate.measures.score_mm,
            tuple(change_words(before, candidate.tally)),
            (
                *(notice_words(n) for n in candidate.measures.notices),
                *edge_notes(before, candidate.tally),
            ),
            candidate.measures,
        )
