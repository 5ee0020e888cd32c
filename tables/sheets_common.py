"""What every workbook has besides its own tables: the rounds, and the brief with what is said."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from evenround.solver.candidate import Candidate

from .cautions import cautions
from .detail import single_rounds
from .plan import Plan, Unit
from .sheets import ANY, Column, Sheet, Value, column, text_column
from .words import clean, in_unit, over_words, own_stitch

ROUNDS, BRIEF = "Rounds", "Brief"
PLACES = {"cm": 2, "in": 3}


def length(cm: float | None, unit: Unit) -> float | None:
    """A length as a number of the unit, at the places a maker can use."""
    return None if cm is None else round(in_unit(cm, unit), PLACES[unit]) + 0.0


def rounds_sheet(lead: Sequence[Column], rows: Iterable[tuple[Value, ...]], unit: Unit) -> Sheet:
    """The rounds; ``lead`` are the columns that say whose rounds they are."""
    own = (
        column("round"),
        text_column("section"),
        text_column("what it does"),
        column("count"),
        column("change"),
        column(f"around_{unit}"),
        column(f"across_{unit}"),
    )
    return Sheet(ROUNDS, (*lead, *own), tuple(rows), len(lead) + 1)


def round_rows(
    lead: tuple[Value, ...], plan: Plan, candidate: Candidate, unit: Unit
) -> Iterator[tuple[Value, ...]]:
    """A row a round: its number, section, what it does, count, change, widths. Inside a figure
    places are no measure of width, and only a crown is a disc."""
    changes = [change for section in candidate.tally.sections for change in section.changes]
    for line, change in zip(single_rounds(plan.piece, candidate), changes, strict=True):
        yield (
            *(*lead, line.first, clean(line.section), line.words, line.count, change),
            *(length(line.around_cm, unit), length(line.across_cm, unit)),
        )


def brief_sheet(
    plans: Sequence[Plan], said: Iterable[tuple[str, str]], unit: Unit, title: str | None = None
) -> Sheet:
    """The brief's facts by size, then what has to be said of it: (kind, sentence) each."""
    facts: list[tuple[Value, ...]] = []
    if title is not None or plans:
        facts.append(("title", None, None, clean(title or plans[0].title)))
    for plan in plans:
        facts += [
            (what, clean(plan.size), value, words) for what, value, words in _facts(plan, unit)
        ]
    facts += [(kind, None, None, " ".join(words.split())) for kind, words in said]
    columns = (Column("what"), Column("size"), Column("value", ANY), Column("words"))
    return Sheet(BRIEF, columns, tuple(facts))


def _facts(plan: Plan, unit: Unit) -> Iterator[tuple[str, Value, str | None]]:
    """What was asked for in one size: its name, the number, and words where there are some."""
    piece = plan.piece
    lengths = {
        "head": plan.head_cm,
        "ease": plan.ease_cm,
        "circumference": piece.around_cm,
        "give or take": piece.limits.around_cm,
        "depth": piece.depth_cm,
    }
    for name, cm in lengths.items():
        if cm is not None:
            yield f"{name}, {unit}", length(cm, unit), None
    for place, section in enumerate(piece.sections):
        gauge, over = section.gauge, over_words(plan)
        stitch = f"{clean(section.name)}, {own_stitch(plan, place)}"
        note = f"{stitch} (assumed)" if gauge.assumed else stitch
        yield f"sts / {over}", round(plan.over_cm / gauge.width_cm, 3), note
        yield f"rounds / {over}", round(plan.over_cm / gauge.height_cm, 3), note


def plan_sentences(plan: Plan) -> Iterator[tuple[str, str]]:
    """What is assumed and noted of one size, and the cautions."""
    yield from (("assumed", clean(words)) for words in plan.assumptions)
    yield from (("note", clean(words)) for words in plan.notes)
    yield from (("caution", words) for words in cautions(plan))
