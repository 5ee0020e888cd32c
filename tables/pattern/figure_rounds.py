"""A figure's rounds over a whole band, if the figure has written rounds that fit its counts."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from evenround.solver.tally import SectionTally
from evenround.tables.rounds.counter import Below, CountError, work_round
from evenround.tables.rounds.figures import FigureRounds
from evenround.tables.rounds.steps import Step


@dataclass(frozen=True, slots=True)
class BandRound:
    """One round of a band without its opening and its join. ``begin`` is where it begins where
    that is not the join; ``how`` says what steps cannot."""

    steps: tuple[Step, ...]
    begin: str = ""
    how: str = ""


def band_rounds(
    figure: FigureRounds, section: SectionTally, below: Below
) -> tuple[BandRound, ...] | None:
    """Every round of a band or edging worked in ``figure``.

    None where the figure's rounds leave other counts than the tally has: the counts decide, and
    a band that its rounds do not bear out is not written out.
    """
    if section.repeats is None or section.repeat is None:
        return None
    over = section.count_in - section.repeats * section.repeat
    try:
        rounds = tuple(_rounds(figure, section.give or 0, section.rounds, over))
    except ValueError:  # fewer rounds than the figure's set-up and closing take
        return None
    for each, count in zip(rounds, section.counts, strict=True):
        try:
            worked = work_round(each.steps, below)
        except CountError:
            return None
        if not worked.comes_to(count):
            return None
        below = worked.made
    return rounds


def _rounds(figure: FigureRounds, give: int, rounds: int, over: int) -> Iterator[BandRound]:
    for number, each in enumerate(figure.worked(rounds)):
        begin = each.begin if number else ""
        yield BandRound(each.around(give, over), begin, each.how)
