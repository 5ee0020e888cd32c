"""A band's or edging's figure from the brief: a repeat, counts, what it leaves, or a name.

Promises a solver Figure with the rounds it has, or FigureError naming the field at fault.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from evenround.solver.piece import Figure

from .brief_sections import BandFields, EdgingFields
from .brief_values import Term, read_term
from .facts import Row, table

_N_ROUNDS = "n plus closing"


class FigureError(ValueError):
    """What is wrong with a figure, and in which field of its section."""

    def __init__(self, key: str, found: object, right: str) -> None:
        self.key, self.found, self.right = key, found, right
        super().__init__(right)


@dataclass(frozen=True, slots=True)
class Resolved:
    """A figure, the rounds worked, and the row of figures.csv it came from."""

    figure: Figure
    rounds: tuple[int, int]
    row: Row | None


def resolve(section: BandFields | EdgingFields) -> Resolved:
    """The figure of a section; FigureError when its fields contradict one another."""
    row = _row(section)
    terms = _terms(section, row)
    repeat = terms[0]
    said = section.repeat
    if said is not None and (said.stitches, said.give) != (repeat.stitches, repeat.give):
        owner = f"figure {section.figure}" if section.counts is None else "the first of counts"
        raise FigureError("repeat", str(said), f"{owner} takes {repeat}")
    figure = Figure(tuple(t.stitches for t in terms), tuple(int(t.give) for t in terms))
    rounds = _rounds(section, figure)
    _check_give(section, figure)
    return Resolved(figure, rounds, row)


def _row(section: BandFields | EdgingFields) -> Row | None:
    if section.figure is None:
        return None
    for key in ("counts", "leaves"):
        if getattr(section, key) is not None:
            right = f"leave it out: figure {section.figure} has its own counts"
            raise FigureError(key, section.figure, right)
    return next(r for r in table("figures") if r["figure"] == section.figure)


def _terms(section: BandFields | EdgingFields, row: Row | None) -> list[Term]:
    if row is not None:
        return _named(section, row)
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


def _named(section: BandFields | EdgingFields, row: Row) -> list[Term]:
    steps = [step.split(">") for step in row["taken_left_per_round"].split()]
    if row["rounds"] == _N_ROUNDS:
        steps = _stretched(section, steps)
    right = "figures.csv is damaged"
    return [read_term(steps[0][0], right), *(read_term(step[1], right) for step in steps)]


def _stretched(section: BandFields | EdgingFields, steps: list[list[str]]) -> list[list[str]]:
    """A net has a first round, any number of middle ones and a closing one."""
    said = section.rounds or len(steps)
    low, high = (said, said) if isinstance(said, int) else said
    if low != high or low < len(steps):
        right = f"figure {section.figure} wants one number of rounds, {len(steps)} or more"
        raise FigureError("rounds", [low, high], right)
    first, middle, closing = steps
    return [first, *[middle] * (low - 2), closing]


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
