"""Two repeats of a band or an edging as a stitch chart, from the rounds the pattern writes."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from evenround.solver.candidate import Candidate
from evenround.solver.tally import SectionTally
from evenround.tables.plan import Plan, Unit
from evenround.tables.rounds.counter import Below, plain_round
from evenround.tables.rounds.figures import FigureRound, FigureRounds
from evenround.tables.rounds.figures_stitches import in_terms
from evenround.tables.rounds.steps import Step
from evenround.tables.words import length, listed, plural

from .chart import Onto, draw_row, key, used_in
from .lettering import SMALL, shortened, wide
from .listing import LINE, MARGIN, handed, heading, paragraph, piece_words, way_words
from .rows import Row, Spot, first_row, next_row
from .sheet import WIDTH, NotDrawnError, Sheet
from .spans import Span, spans

LEFT, RIGHT = 14.0, 46.0
ROUNDS_DRAWN = 6
"""Rounds drawn at most, where the figure has no more of its own."""
NARROWEST, WIDEST = 9.0, 24.0
"""Units from one place to the next."""
ORDINALS = {"first": 0, "second": 1, "third": 2, "fourth": 3, "fifth": 4}


@dataclass(frozen=True, slots=True)
class BandChart:
    """A band laid out: its rows above the one it stands on, ``repeats`` of it side by side and
    the ``over`` places outside the repeats. ``closes``: a closing round is not among the drawn."""

    span: Span
    repeats: int
    over: int
    rows: tuple[Row, ...]
    rounds: tuple[FigureRound, ...]
    closes: bool

    @property
    def repeat(self) -> int:
        """Places one repeat takes."""
        return (len(self.rows[0].tops) - self.over) // self.repeats

    @property
    def reach(self) -> tuple[float, float]:
        """From where to where its places lie, in places of the round below."""
        along = [u for row in self.rows for u, _ in row.tops]
        return min(0.0, min(along) - 0.5), max(float(len(self.rows[0].tops)), max(along) + 0.5)

    @property
    def gap(self) -> float:
        """Units of the sheet from one place of the round below to the next."""
        low, high = self.reach
        return min(WIDEST, max(NARROWEST, (WIDTH - LEFT - RIGHT) / (high - low)))


def charted_sections(plan: Plan, candidate: Candidate) -> tuple[int, ...]:
    """Places among the piece's sections of the bands and edgings whose rounds are known."""
    return tuple(span.index for span in spans(plan, candidate) if _written(plan, span) is not None)


def band_chart(
    plan: Plan,
    candidate: Candidate,
    section: int,
    unit: Unit | None = None,
    *,
    left_handed: bool = False,
    styled: bool = True,
) -> str:
    """Two repeats of the band at ``section`` (its place among the piece's sections) as a chart.

    ``left_handed``: read from left to right. NotDrawnError where that is no band or edging whose
    rounds are known.
    """
    if section not in charted_sections(plan, candidate):
        raise NotDrawnError("the rounds of this section are not known, only its counts")
    return _charts(plan, candidate, (section,), unit, left_handed=left_handed, styled=styled)


def bands_chart(
    plan: Plan,
    candidate: Candidate,
    unit: Unit | None = None,
    *,
    left_handed: bool = False,
    styled: bool = True,
) -> str:
    """The charts of all bands and the edging, one below the other; ``left_handed`` as there.

    NotDrawnError where there is none, or none of them has rounds.
    """
    sections = charted_sections(plan, candidate)
    return _charts(plan, candidate, sections, unit, left_handed=left_handed, styled=styled)


def _charts(
    plan: Plan,
    candidate: Candidate,
    sections: Sequence[int],
    unit: Unit | None,
    *,
    left_handed: bool,
    styled: bool,
) -> str:
    charts = [laid_out(plan, span) for span in spans(plan, candidate) if _is_of(span, sections)]
    if not charts:
        raise NotDrawnError(
            'there is no band or edging with rounds to draw; a figure by name or "work" in the '
            "brief would give it some"
        )
    names = listed([chart.span.name for chart in charts])
    title = f"{piece_words(plan)}: stitch chart of {names}{handed(left_handed)}"
    desc = " ".join(_said(chart, plan) for chart in charts)
    sheet = Sheet(title, desc, what="band", width=max(WIDTH, *map(_width, charts)))
    y = heading(sheet, plan, f"stitch chart, from below, {way_words(left_handed)}")
    for chart in charts:
        y = _draw(sheet, chart, candidate, unit or plan.unit, y, left_handed=left_handed)
    used = used_in(mark for chart in charts for row in chart.rows for mark in row.marks)
    y = key(sheet, plan, used, y + 14)
    for chart in charts:
        for sentence in _beginnings(chart):
            y = paragraph(sheet, sentence, y, "soft")
    if left_handed:
        y = paragraph(sheet, "Left-handed: each round is read left to right.", y, "soft")
    if plan.joined:
        words = "The chains that open a round and its join are not drawn; they count as nothing."
        y = paragraph(sheet, words, y, "soft")
    return sheet.svg(y + 2, styled=styled)


def _is_of(span: Span, sections: Sequence[int]) -> bool:
    return span.index in sections and span.tally.section in ("band", "edging")


# --- laying out ---------------------------------------------------------------------------


def _written(plan: Plan, span: Span) -> FigureRounds | None:
    """The figure of a band or edging, where its rounds bear its counts out."""
    if span.tally.section not in ("band", "edging") or not span.tally.repeats:
        return None
    rounds = plan.section_rounds
    figure = rounds[span.index] if span.index < len(rounds) else None
    return figure if figure is not None and _bears_out(figure, span.tally) else None


@lru_cache(maxsize=256)
def _bears_out(figure: FigureRounds, tally: SectionTally) -> bool:
    """Whether a figure's rounds, worked on a section's count, give its counts."""
    # here, not above: it brings the reader of patterns along, which a side view does not need
    from evenround.tables.pattern.figure_rounds import band_rounds

    return band_rounds(figure, tally, plain_round(tally.count_in)) is not None


def laid_out(plan: Plan, span: Span) -> BandChart:
    """A band's first rounds on two repeats (one where two would be too wide)."""
    figure = _written(plan, span)
    assert figure is not None and span.tally.repeat is not None
    repeat, give = span.tally.repeat, span.tally.give or 0
    repeats = 2 if repeat * 2 * NARROWEST <= WIDTH - LEFT - RIGHT or figure.even else 1
    worked = figure.worked(span.tally.rounds)[: _rounds_drawn(figure, span)]
    over = span.tally.count_in - repeat * (span.tally.repeats or 0)
    said = tuple((each.around(give, over), each.begin, each.how) for each in worked)
    closes = bool(figure.closing) and len(worked) < span.tally.rounds
    return BandChart(span, repeats, over, _rows(said, repeat, repeats, over), worked, closes)


@lru_cache(maxsize=64)
def _rows(
    said: tuple[tuple[tuple[Step, ...], str, str], ...], repeat: int, repeats: int, over: int
) -> tuple[Row, ...]:
    """The rows of steps, where they begin and how; many candidates have the same band."""
    count = repeat * repeats + over
    rows = [first_row(count, float(count))]
    for place, (steps, begin, how) in enumerate(said):
        shift = begins_at(begin, rows[-1].places) if place else 0
        row = next_row(steps, rows[-1], float(count), shift=shift, repeat=float(repeat))
        rows.append(_crossed(row) if how.startswith("cross each pair") else row)
    return tuple(rows)


def _rounds_drawn(figure: FigureRounds, span: Span) -> int:
    return min(span.tally.rounds, max(ROUNDS_DRAWN, len(figure.once)))


def begins_at(words: str, below: Below) -> int:
    """How many places on a round begins: the middle, or the third stitch, of the first figure
    below; 0 where nothing is said of it."""
    groups = [place.group for place in below.places]
    first = next((at for at, group in enumerate(groups) if group), None)
    if not words or first is None:
        return 0
    long = groups.count(groups[first])
    named = re.search(r"\b(first|second|third|fourth|fifth) stitch\b", words)
    if named:
        return first + min(ORDINALS[named[1]], long - 1)
    return first + long // 2 if "middle" in words else 0


def _crossed(row: Row) -> Row:
    """Neighbours that change feet, pair by pair."""
    marks = list(row.marks)
    for place in range(0, len(marks) - 1, 2):
        one, two = marks[place], marks[place + 1]
        marks[place] = replace(one, feet=two.feet)
        marks[place + 1] = replace(two, feet=one.feet)
    return replace(row, marks=tuple(marks))


# --- drawing ------------------------------------------------------------------------------


def _width(chart: BandChart) -> float:
    low, high = chart.reach
    return LEFT + RIGHT + chart.gap * (high - low)


def _draw(
    sheet: Sheet,
    chart: BandChart,
    candidate: Candidate,
    unit: Unit,
    y: float,
    *,
    left_handed: bool,
) -> float:
    """One band: its name, its rows from below, its repeat marked; the y below it."""
    span, gap = chart.span, chart.gap
    most = max(len(row.tops) for row in chart.rows)
    tight = gap * len(chart.rows[0].tops) / most
    size = min(5.5, max(2.6, tight * 0.42))
    rise = min(20.0, max(15.0, gap * 1.1))
    right = sheet.width - RIGHT - (sheet.width - _width(chart)) / 2
    begin = right + chart.reach[0] * gap
    sheet.text(12, y + 10, _name(chart, candidate, unit), "ink strong", size=SMALL)
    top = max(v for row in chart.rows for _, v in row.tops)
    foot = y + 26 + top * rise
    if any(mark.kind == "picot" for mark in chart.rows[-1].marks):
        foot += 12

    def across(x: float) -> float:
        return sheet.width - x if left_handed else x

    def onto(spot: Spot) -> tuple[float, float]:
        return across(begin - spot[0] * gap), foot - spot[1] * rise

    anchor = "end" if left_handed else "start"
    with sheet.group(section=span.tally.section, name=span.name, repeats=chart.repeats):
        _ground(sheet, chart, onto)
        for place, row in enumerate(chart.rows[1:]):
            _row(sheet, chart, place, row, onto, size)
            y = onto((0.0, row.base + row.rise / 2))[1] + 4
            number = str(span.first + place)
            sheet.text(across(right + 12), y, number, anchor=anchor, size=SMALL)
    return _brackets(sheet, chart, foot, across(begin), -gap if left_handed else gap)


def _name(chart: BandChart, candidate: Candidate, unit: Unit) -> str:
    """``open fan: 11 repeats of 10 places, 5.26 cm each``."""
    tally = chart.span.tally
    words = f": {plural(tally.repeats or 0, 'repeat')} of {tally.repeat} places"
    band = next((b for b in candidate.measures.bands if b.name == tally.name), None)
    if band is not None and tally.section == "band":
        words += f", {length(band.repeat_cm, unit, 2)} {unit} each"
    room = WIDTH - 2 * MARGIN - wide(words, SMALL, bold=True)
    return f"{shortened(chart.span.name, room, bold=True)}{words}"


def _ground(sheet: Sheet, chart: BandChart, onto: Onto) -> None:
    """The places of the round below, as short strokes."""
    strokes = ""
    for spot in chart.rows[0].tops:
        x, y = onto(spot)
        strokes += f"M{x - 3:.1f} {y:.1f}h6"
    sheet.path(strokes, "thin")


def _row(sheet: Sheet, chart: BandChart, place: int, row: Row, onto: Onto, size: float) -> None:
    span = chart.span
    number, look = span.first + place, "odd" if place % 2 == 0 else "even"
    count = span.tally.counts[place]
    made = (len(row.tops) - chart.over) // chart.repeats
    with sheet.group(look, round=number, count=count, per_repeat=made):
        draw_row(sheet, row, onto, size, row.marks)


def _brackets(sheet: Sheet, chart: BandChart, foot: float, begin: float, gap: float) -> float:
    """Below the chart: each repeat's width as a bracket, with its places; ``gap`` below 0 runs to
    the right."""
    y = foot + 10
    for place in range(chart.repeats):
        ends = (begin - each * chart.repeat * gap for each in (place, place + 1))
        x1, x2 = sorted(ends)
        x1, x2 = x1 + 2, x2 - 2
        sheet.path(f"M{x1:.1f} {y}v5H{x2:.1f}v-5", "thin")
        words = f"1 repeat: {chart.repeat}" if x2 - x1 > 66 else str(chart.repeat)
        sheet.text((x1 + x2) / 2, y + 17, words, "soft", anchor="middle", size=SMALL)
    return y + 17 + LINE


def _said(chart: BandChart, plan: Plan) -> str:
    """The chart in words, for whoever does not see it."""
    span = chart.span
    rounds = "; ".join(
        f"round {span.first + place}: {_made_words(row, chart.repeats, plan)}"
        for place, row in enumerate(chart.rows[1:])
    )
    return (
        f"{span.name}, {plural(span.tally.repeats or 0, 'repeat')} of {span.tally.repeat} places, "
        f"rounds {span.rounds_words}. A repeat of {rounds}."
    )


def _made_words(row: Row, repeats: int, plan: Plan) -> str:
    counts: dict[str, int] = {}
    for mark in row.marks:
        counts[mark.symbol] = counts.get(mark.symbol, 0) + 1
    return listed(
        [f"{many // repeats} {in_terms(name, plan.terms)}" for name, many in counts.items()]
    )


def _beginnings(chart: BandChart) -> Iterator[str]:
    """What symbols cannot say: where a round begins, how it is worked, what goes on."""
    span, seen = chart.span, set[str]()
    for place, each in enumerate(chart.rounds):
        words = []
        if place and each.begin:
            words.append(f"begins at {each.begin}")
        if each.how:
            words.append(each.how)
        sentence = "; ".join(words)
        if sentence and sentence not in seen:
            seen.add(sentence)
            yield f"Round {span.first + place}: {sentence}."
    drawn = span.first + len(chart.rounds) - 1
    if drawn < span.last:
        closing = "; the last closes the figure, as the pattern says" if chart.closes else ""
        yield f"{span.name}: rounds {drawn + 1} to {span.last} go on in the same way{closing}."
    if chart.over:
        yield f"{span.name}: {chart.over} more at the end of a round, outside the repeats."
