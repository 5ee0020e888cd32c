"""Rounds somebody wrote themselves, for a band or an edging, as a figure.

A round is written as in a pattern, with its repeat to the end, or as one repeat of it. An opening
chain that counts is the stitch it stands for; one that does not, the join and the turn are left
to whoever writes the pattern.
"""

from __future__ import annotations

from collections.abc import Sequence

from .counter import CountError
from .figures import FigureRound, FigureRounds, Steps
from .figures_fit import NoRepeatError
from .figures_give import read_with_give
from .figures_stitches import makes_spaces
from .pattern import Terms
from .reader_error import ReadError
from .steps import Join, StartChain, Step, Turn, Work
from .stepwise import goes_round

OWN = "own rounds"
LONGEST = 2000
"""Characters in a round."""
MOST = 40
"""Rounds in a figure."""


class OwnRoundsError(ValueError):
    """Rounds that cannot be read or do not repeat; ``round`` counts from 0."""

    def __init__(self, message: str, round: int) -> None:
        super().__init__(message)
        self.round = round


def own_rounds(texts: Sequence[str], terms: Terms = "us") -> FigureRounds:
    """The figure of the rounds ``texts`` in ``terms``; t in them is its plain stitches of give.

    OwnRoundsError names the round, and the column where it cannot be read.
    """
    read = [_read(text, terms, place) for place, text in enumerate(texts)]
    figure = FigureRounds(
        OWN,
        tuple(round for round, _ in read),
        turned=any(turned for _, turned in read),
        open=any(makes_spaces(round.at(1)) for round, _ in read),
    )
    try:
        _check(figure)
    except NoRepeatError as error:
        raise OwnRoundsError(str(error), error.round) from None
    return figure


def _check(figure: FigureRounds) -> None:
    """Count the figure once, so that whoever asks later gets an answer."""
    for _, give in figure.terms():
        if give < 0:
            raise NoRepeatError("it leaves fewer stitches the longer t is")
    if figure.has_give and figure.fitted(1).over != figure.fitted(2).over:
        raise NoRepeatError("t stands outside the repeat; it belongs inside")


def _read(text: str, terms: Terms, place: int) -> tuple[FigureRound, bool]:
    from .reader import read_steps

    turned = False

    def read(words: str) -> Steps:
        nonlocal turned
        steps = read_steps(words, terms)
        turned = turned or any(isinstance(step, Turn) for step in steps)
        return _plain_round(steps)

    try:
        at = read_with_give(text, read)
        whole = any(goes_round(step) for step in at(1))
        return FigureRound(text, at, whole=whole), turned
    except ReadError as error:
        raise OwnRoundsError(f"column {error.column}: {error}", place) from None
    except (CountError, ValueError) as error:
        raise OwnRoundsError(str(error), place) from None


def _plain_round(steps: Steps) -> Steps:
    """The round without what opens and ends it."""
    out: list[Step] = []
    for step in steps:
        if isinstance(step, StartChain):
            if step.stands_for is not None and not step.open:
                out.append(Work(step.stands_for))
        elif not isinstance(step, Join | Turn):
            out.append(step)
    if not out:
        raise ReadError("no stitch in it")
    return tuple(out)
