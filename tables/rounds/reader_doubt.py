"""Words that can be meant two ways, settled for the pattern as a whole by its printed counts."""

from __future__ import annotations

from dataclasses import replace

from .counter import CountError, plain_round, readings
from .pattern import Printed, RoundText
from .reader_blocks import Block
from .reader_chains import settle_chain
from .reader_rounds import Rounds, read_blocks
from .reader_steps import Pairs, Settings

_MOST_TRIED = 40
"""Doubtful rounds weighed: enough to tell, and bounded for long texts."""


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
    best, best_fits, how = usual, _fits(usual, usual.doubtful), "auto"
    ways: tuple[Pairs, ...] = ("increase", "plain")
    for pairs in ways:
        other = read_blocks(blocks, sizes, replace(settings, pairs=pairs))
        fits = _fits(other, usual.doubtful)
        if fits > best_fits:
            best, best_fits, how = other, fits, pairs
    if how == "auto":
        return best, []
    what = "two in one stitch" if how == "increase" else "one in each of the next two"
    return best, [f'"2 sc" with no place is taken as {what}: more of the counts fit']


def _fits(rounds: Rounds, doubtful: set[int]) -> int:
    """How many of the doubtful rounds come out as printed from the count before."""
    fits = 0
    for at in sorted(doubtful)[:_MOST_TRIED]:
        before, now = _count(rounds.rounds, at - 1), _count(rounds.rounds, at)
        if before is None or now is None or at >= len(rounds.rounds):
            continue
        fits += _comes_out(rounds.rounds[at], before, now)
    return fits


def _count(rounds: list[RoundText], at: int) -> int | None:
    if at < 0 or at >= len(rounds):
        return None
    printed: tuple[tuple[Printed, ...], ...] = rounds[at].printed
    return sum(p.number for p in printed[0]) if printed else None


def _comes_out(round_: RoundText, before: int, now: int) -> bool:
    if not round_.steps:
        return False
    for counts in (True, False):
        steps = settle_chain(round_.steps[0], counts)
        try:
            ways = readings(steps, plain_round(before))
        except CountError:
            continue
        if any(w.makes == now and not w.short for w in ways.values()):
            return True
    return False
