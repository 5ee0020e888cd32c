"""Settling what a pattern leaves open, for the pattern as a whole, by what agrees.

Every choice is worked through all sizes; the one with which more rounds come out even and as
printed is taken, and the reason is said.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product
from typing import Literal

from evenround.tables.rounds.pattern import Pattern
from evenround.tables.rounds.steps import StartChain
from evenround.tables.rounds.stepwise import all_steps

from .chain_hints import Hint, chain_hint
from .expand import Given
from .findings import ChainCounts, RepeatMeans
from .rows import course_of
from .run import run, score
from .settle import Settings, open_chain, open_repeat, settings_for

Asked = Literal["yes", "no", "auto"]


@dataclass(frozen=True, slots=True)
class Settled:
    """The settings taken, and in words what was taken and why ("" where nothing was open)."""

    settings: Settings
    chain: ChainCounts | None
    chain_why: str
    repeat: RepeatMeans | None
    repeat_why: str


def settle(pattern: Pattern, sizes: Sequence[Sequence[Given]], asked: Asked) -> Settled:
    """Settle the opening chain and "repeat N times" for the pattern."""
    chain_open = asked == "auto" and open_chain(pattern)
    repeat_open = open_repeat(pattern)
    chains: tuple[bool | None, ...] = (None,)
    if asked != "auto":
        chains = (asked == "yes",)
    elif chain_open:
        chains = (False, True)
    scores: dict[tuple[bool | None, bool], int] = {}
    for chain, more in product(chains, (False, True) if repeat_open else (False,)):
        settings = settings_for(pattern, chain, forced=asked != "auto", more=more)
        scores[chain, more] = sum(
            score(run(course_of(pattern, rounds, settings, at), mending=False))
            for at, rounds in enumerate(sizes)
        )
    hint = chain_hint(pattern) if chain_open else Hint(0, "")
    leaning = {(chain, more): _leaning(hint, chain) for chain, more in scores}
    chain, more = max(scores, key=lambda c: (scores[c] + leaning[c], scores[c], not c[1], not c[0]))
    best = _best(scores, 0) if chain_open else {}
    said, chain_why = _chain_words(pattern, asked, chain, best, hint)
    repeat_why = _repeat_words(more, _best(scores, 1)) if repeat_open else ""
    means: RepeatMeans | None = ("more" if more else "in all") if repeat_open else None
    settings = settings_for(pattern, chain, forced=asked != "auto", more=more)
    return Settled(settings, said, chain_why, means, repeat_why)


def _leaning(hint: Hint, chain: bool | None) -> int:
    """What the hints add to a choice: a round joined so weighs half as much as one that comes out
    even and as printed."""
    return abs(hint.for_counting) if chain == (hint.for_counting > 0) else 0


def _best(scores: dict[tuple[bool | None, bool], int], which: int) -> dict[bool, int]:
    """The best score of each value of one choice."""
    best: dict[bool, int] = {}
    for choice, points in scores.items():
        value = bool(choice[which])
        best[value] = max(best.get(value, points), points)
    return best


def _chain_words(
    pattern: Pattern, asked: Asked, chain: bool | None, best: dict[bool, int], hint: Hint
) -> tuple[ChainCounts | None, str]:
    if asked != "auto":
        return asked, "as asked for"
    if best:
        taken: ChainCounts = "yes" if chain else "no"
        leans = hint.for_counting > 0 if hint.for_counting else None
        if best[True] == best[False] and leans is None:
            return taken, "the pattern does not say, and its counts fit either way"
        if best[True] == best[False] or (best[True] > best[False]) != chain:
            return taken, f"the pattern does not say; {hint.why}"
        does, not_so = ("counts", "does not") if chain else ("does not count", "does")
        return taken, (
            f"the pattern does not say; more rounds come out right if it {does} than if it {not_so}"
        )
    if pattern.chain_said is not None:
        return ("yes" if pattern.chain_said else "no"), "the pattern says so"
    counted = [
        step.stands_for is not None
        for round_text in pattern.rounds
        for steps in round_text.steps or ()
        for step in all_steps(steps)
        if isinstance(step, StartChain)
    ]
    if not counted:
        return None, "no round opens with a chain"
    return ("yes" if any(counted) else "no"), "the rounds say so"


def _repeat_words(more: bool, best: dict[bool, int]) -> str:
    taken = "N times more, after the once that is written" if more else "N times in all"
    if best[True] == best[False]:
        return f"\u201crepeat N times\u201d is taken as {taken}; the counts do not settle it"
    return (
        f"\u201crepeat N times\u201d means {taken}: so more rounds use what there is and make what "
        "is printed"
    )
