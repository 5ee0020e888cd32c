"""Where nothing fits: the conflict, how it was confirmed, and the ways out as a table."""

from __future__ import annotations

from evenround.tables.plan import Unit
from evenround.tables.why.changes import changes_words
from evenround.tables.why.conflicts import confirmed_words, conflicts_words, contradicted_words
from evenround.tables.why.explained import Explained
from evenround.tables.why.hats import NONE, hat_words
from evenround.tables.words import number

from .views import Cell, Line, Stuck, Table


def stuck(explained: Explained | None, unit: Unit, seconds: float) -> Stuck:
    """Why one size cannot be made; without an explanation, that time ran out."""
    if explained is None:
        words = f"Nothing found within {seconds:g} s, and nothing proven impossible."
        return Stuck((words,), None)
    if explained.contradicted:
        return Stuck(tuple(contradicted_words(explained.why)), None)
    sentences = conflicts_words(explained.plan, explained.why, explained.near_misses, unit)
    sentences.append(confirmed_words(explained.why, seconds))
    if not explained.ways:
        return Stuck((*sentences, NONE), None)
    if len(explained.plan.sizes) > 1:
        sentences.append("A change holds for every size.")
    return Stuck(tuple(sentences), _ways(explained, unit))


def _ways(explained: Explained, unit: Unit) -> Table:
    """Cheapest first; a price is what that hat scores by the brief as it stands."""
    lines = tuple(
        Line(
            str(way.number),
            tuple(
                Cell((text,))
                for text in (
                    changes_words(explained.plan, way.changes, unit, way.plan.piece),
                    hat_words(way.plan, way.candidate, unit),
                    number(way.price_mm, 1),
                )
            ),
        )
        for way in explained.ways
    )
    heads = ("change", "the hat it gives", "price mm")
    return Table("Ways out, cheapest first", "way", heads, lines)
