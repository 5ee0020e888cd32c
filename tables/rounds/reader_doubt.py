"""Words that can be meant two ways, settled for the pattern as a whole by its printed counts."""

from __future__ import annotations

from dataclasses import replace

from .counter import CountError, Reading, plain_round, work_round
from .pattern import RoundText
from .reader_blocks import Block
from .reader_chains import settle_chain
from .reader_error import ReadError
from .reader_rounds import read_blocks
from .reader_so_far import Rounds
from .reader_state import Pairs, Settings
from .reader_steps import read_instruction

_MOST_TRIED = 40
"""Doubtful rounds weighed: enough to tell, and bounded for long texts."""


WAYS: tuple[Reading, ...] = ("whole", "part", "plain")


def settle_doubts(
    blocks: list[Block], sizes: tuple[str, ...], settings: Settings
) -> tuple[Rounds, tuple[str, ...]]:
    """The rounds, read the way their counts fit, and notes on what was settled how."""
    rounds = read_blocks(blocks, sizes, settings)
    notes: list[str] = []
    if rounds.doubtful:
        rounds, note = _weigh(rounds, blocks, sizes, settings)
        notes += note
    return rounds, tuple(notes)


def _weigh(
    usual: Rounds, blocks: list[Block], sizes: tuple[str, ...], settings: Settings
) -> tuple[Rounds, list[str]]:
    """Bare pairs ("2 dc" with no place) as read, all increases, or all plain: the way more
    counts bear out; as read where it makes no difference."""
    ways: tuple[Pairs, ...] = ("auto", "increase", "plain")
    fits = {pairs: _fits(usual, pairs) for pairs in ways}
    if settings.increases and (fits["increase"] < 2 or fits["auto"] or fits["plain"]):
        return usual, []  # its own word for an increase says what is none
    how = max(ways, key=lambda pairs: (fits[pairs], pairs == "auto"))
    if how == "auto":
        return usual, []
    what = "two in one stitch" if how == "increase" else "one in each of the next two"
    rounds = read_blocks(blocks, sizes, replace(settings, pairs=how))
    return rounds, [f'"2 sc" with no place is taken as {what}: more of the counts fit']


def _fits(rounds: Rounds, pairs: Pairs) -> int:
    """How many of the doubtful rounds come out as printed from the count before."""
    fits = 0
    for at, (text, settings) in list(rounds.doubtful.items())[:_MOST_TRIED]:
        before, now = _count(rounds.rounds, at - 1), _count(rounds.rounds, at)
        if before is not None and now is not None:
            fits += _comes_out(text, replace(settings, pairs=pairs), before, now)
    return fits


def _count(rounds: list[RoundText], at: int) -> int | None:
    if at < 0 or not rounds[at].printed:
        return None
    return sum(p.number for p in rounds[at].printed[0])


def _comes_out(text: str, settings: Settings, before: int, now: int) -> bool:
    try:
        steps = read_instruction(text, settings).steps
    except ReadError:
        return False
    for counts in (True, False):
        try:
            settled = settle_chain(steps, counts)
            ways = {way: work_round(settled, plain_round(before), reading=way) for way in WAYS}
        except CountError:
            continue
        if any(w.makes == now and not w.short for w in ways.values()):
            return True
    return False
