"""A band's or edging's figure from the brief: a repeat, counts, what it leaves, a name, or rounds.

Promises a solver Figure with the rounds it has, or FigureError naming the field at fault. A named
figure's counts come from its rounds, as the counter works them, and so do those of own rounds.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from evenround.solver.piece import Figure

from .brief_sections import BandFields, EdgingFields
from .brief_values import Term
from .facts import Row
from .rounds.figures import FigureRounds, figure


class FigureError(ValueError):
    """What is wrong with a figure, and in which field of its section."""

    def __init__(self, key: str, found: object, right: str) -> None:
        self.key, self.found, self.right = key, found, right
        super().__init__(right)


@dataclass(frozen=True, slots=True)
class Resolved:
    """A figure, the rounds worked, and its facts (a row as figures.csv has them) if it has a
    name. ``written`` are its rounds, ``over`` the stitches that own rounds have outside their
    repeats."""

    figure: Figure
    rounds: tuple[int, int]
    row: Row | None
    written: FigureRounds | None = None
    over: int = 0


def resolve(section: BandFields | EdgingFields) -> Resolved:
    """The figure of a section; FigureError when its fields contradict one another."""
    written = _written(section)
    terms = _terms(section, written)
    repeat = terms[0]
    said = section.repeat
    if said is not None and (said.stitches, said.give) != (repeat.stitches, repeat.give):
        raise FigureError("repeat", str(said), f"{_owner(section)} takes {repeat}")
    made = Figure(tuple(t.stitches for t in terms), tuple(int(t.give) for t in terms))
    rounds = _rounds(section, made)
    _check_give(section, made)
    row = None if section.figure is None or written is None else _facts(written)
    return Resolved(made, rounds, row, written, _over(section, written))


def _owner(section: BandFields | EdgingFields) -> str:
    """Who says how many stitches the repeat takes."""
    if section.counts is not None:
        return "the first of counts"
    return "the first round" if section.work is not None else f"figure {section.figure}"


def written_rounds(section: object) -> FigureRounds | None:
    """The rounds of a section's figure: its own, or those of the figure it names."""
    if not isinstance(section, BandFields | EdgingFields):
        return None
    own: FigureRounds | None = section.work
    return own if own is not None or section.figure is None else figure(section.figure)


def _written(section: BandFields | EdgingFields) -> FigureRounds | None:
    written = written_rounds(section)
    if written is None:
        return None
    owner = "the section's own rounds have" if section.work else f"figure {section.figure} has"
    for key in ("counts", "leaves"):
        if getattr(section, key) is not None:
            raise FigureError(key, section.figure or "counts", f"leave it out: {owner} its counts")
    if section.work is not None and section.figure is not None:
        raise FigureError("figure", section.figure, "a figure or own rounds (work), not both")
    return written


def _facts(written: FigureRounds) -> Row:
    """What figures.csv says of a figure, also of one that only figure_rounds.toml has."""
    is_open = "yes" if written.open else "no"
    return {"figure": written.name, "height": written.height, "open": is_open}


def _over(section: BandFields | EdgingFields, written: FigureRounds | None) -> int:
    """Stitches that own rounds have outside their repeats: the remainder they want."""
    if section.work is None or written is None:
        return 0
    over = written.fitted(1).over
    if section.remainder is not None and section.remainder != over:
        right = f"the section's own rounds want {over} outside their repeats"
        raise FigureError("remainder", section.remainder, right)
    return over


def _terms(section: BandFields | EdgingFields, written: FigureRounds | None) -> list[Term]:
    if written is not None:
        return _named(section, written)
    if section.counts is not None:
        if section.leaves is not None and section.leaves != section.counts[-1]:
            raise FigureError("leaves", str(section.leaves), f"counts end on {section.counts[-1]}")
        return list(section.counts)
    if section.repeat is None:
        raise FigureError("repeat", None, "a repeat, counts or a figure is needed")
    repeat = Term(section.repeat.stitches, section.repeat.give)
    if section.leaves is not None and isinstance(section.rounds, int) and section.rounds > 1:
        right = "say counts: what each of several rounds leaves is not known"
        raise FigureError("leaves", str(section.leaves), right)
    plain = section.rounds if isinstance(section.rounds, int) else 1
    return [repeat] * plain + [section.leaves or repeat]


def _named(section: BandFields | EdgingFields, written: FigureRounds) -> list[Term]:
    counts = [Term(stitches, bool(give)) for stitches, give in written.terms()]
    return _stretched(section, written, counts) if written.stretches else counts


def _stretched(
    section: BandFields | EdgingFields, written: FigureRounds, counts: list[Term]
) -> list[Term]:
    """A net has a first round, any number of middle ones and a closing one."""
    least = len(written.once)
    said = section.rounds or least
    low, high = (said, said) if isinstance(said, int) else said
    if low != high or low < least:
        right = f"figure {section.figure} wants one number of rounds, {least} or more"
        raise FigureError("rounds", [low, high], right)
    before = len(written.set_up)
    inner = counts[before + 1 : before + 1 + len(written.rounds)]
    worked = [inner[i % len(inner)] for i in range(low - before - len(written.closing))]
    return [*counts[: before + 1], *worked, *counts[before + 1 + len(inner) :]]


def _rounds(section: BandFields | EdgingFields, figure: Figure) -> tuple[int, int]:
    whole = figure.rounds
    if section.rounds is None:
        return whole, whole
    if isinstance(section.rounds, int):
        if section.rounds != whole:
            right = f"an edging's figure is worked once; its {whole} rounds would be right"
            raise FigureError("rounds", section.rounds, right)
        return whole, whole
    low, high = section.rounds
    found = low if low == high else list(section.rounds)
    least, most = -(-low // whole) * whole, high // whole * whole
    if least > most:
        near = " or ".join(str(n) for n in (most, least) if n)
        raise FigureError("rounds", found, f"the figure has {whole} rounds: {near} would be whole")
    once = (figure.counts[0], figure.give[0]) != (figure.counts[-1], figure.give[-1])
    if once and most > whole:
        right = f"a figure that leaves another count than it takes is worked once: {whole}"
        raise FigureError("rounds", found, right)
    return least, most


def _check_give(section: BandFields | EdgingFields, figure: Figure) -> None:
    if isinstance(section, EdgingFields):
        if figure.has_give:
            raise FigureError("repeat", str(section.repeat), "an edging has no give; leave out + t")
        return
    if figure.has_give and not figure.give[0]:
        raise FigureError("counts", None, "counts with t start with one, such as 8+t")
    if section.give is not None and not figure.has_give:
        right = 'the repeat has none; write it with + t, such as "8+t"'
        raise FigureError("give", list(section.give), right)


def height_in(row: Row, rounds: int) -> list[tuple[float, str]]:
    """The table's height of a figure of ``rounds`` rounds as (times, US stitch) to add up.

    ``2 sc + 2 dc`` is the sum; ``0.7 dc each + 1 sc`` counts each round but the one named after.
    """
    parts = row["height"].split(" + ")
    out = []
    for part in parts:
        found = re.fullmatch(r"([0-9.]+) ([a-z]+)( each)?", part)
        if found is None:
            raise ValueError(f"figures.csv, height of {row['figure']}: {row['height']}")
        times = float(found[1]) * (rounds - len(parts) + 1 if found[3] else 1)
        out.append((times, found[2]))
    return out
