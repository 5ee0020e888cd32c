"""What hints at whether an opening chain counts, where a pattern does not say: where its rounds
are joined, and the custom of the trade.

Hints weigh less than rounds that come out even and as printed; they decide between equals.
"""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import dataclass

from evenround.tables.rounds.pattern import Pattern
from evenround.tables.rounds.steps import StartChain, Step, Stitch
from evenround.tables.rounds.writer import stitch_name

from .settle import main_stitch, turning_chains

_CHAIN = (
    r"(?:(?:beg\w*|start\w*|turning|first|initial|opening|the|your|that|\d)[\s-]*)*ch(?:ain)?\b"
)
_TOP = re.compile(
    rf"\b(?:join|sl(?:ip)?[\s-]*st(?:itch)?|ss|close)\b[^.;*]*?\b"
    rf"(?:top\s+(?:st\w*\s+)?of|to\s+top\s+of|(?:2nd|3rd|4th|second|third|fourth|top)\s+ch(?:ain)?"
    rf"(?:\s+of)?)\s*(?:{_CHAIN})?",
    re.I,
)
_FIRST = re.compile(
    r"\b(?:join|sl(?:ip)?[\s-]*st(?:itch)?|ss|close)\b[^.;*]*?\b(?:first|1st|top\s+of\s+(?:the\s+)?"
    r"first)\s+(?:h?dc|htr|dtr|tr|sc|st(?:itch)?|half|double|treble)\b",
    re.I,
)
CUSTOM = (("dc", 3), ("tr", 4), ("dtr", 5))
"""Chains as high as their stitch, which usually count as it: common practice, no source."""


@dataclass(frozen=True, slots=True)
class Hint:
    """``for_counting`` above 0: it counts; below: it does not; ``why`` in words."""

    for_counting: int
    why: str


def chain_hint(pattern: Pattern) -> Hint:
    """What the joins say, else the custom for the chains that are left open."""
    top = first = 0
    for round_text in pattern.rounds:
        if not any(_opens(steps) for steps in round_text.steps or ()):
            continue
        top += _TOP.search(round_text.text) is not None
        first += _FIRST.search(round_text.text) is not None
    if top > first:
        return Hint(top, "its rounds are joined into the top of the chain")
    if first > top:
        return Hint(-first, "its rounds are joined into the first stitch, past the chain")
    return _custom(pattern)


def _opens(steps: tuple[Step, ...]) -> bool:
    return any(isinstance(step, StartChain) and step.open for step in steps)


def _custom(pattern: Pattern) -> Hint:
    """A chain as high as its stitch counts, a lower one does not; between, it may be either."""
    pairs: Counter[tuple[str, int]] = Counter()
    for round_text in pattern.rounds:
        for steps in round_text.steps or ():
            chain = next((s for s in steps if isinstance(s, StartChain) and s.open), None)
            stitch = main_stitch(steps)
            if chain is not None and stitch is not None:
                pairs[stitch.name, chain.n] += 1
    votes = {pair: _usual(*pair) * times for pair, times in pairs.items()}
    if not any(votes.values()):
        return Hint(0, "")
    total = sum(votes.values())
    name, n = max(votes, key=lambda pair: abs(votes[pair]))
    own = stitch_name(Stitch(name), pattern.terms)
    high = "as high as" if total > 0 else "lower than"
    usual = "usually counts" if total > 0 else "usually does not count"
    return Hint(1 if total > 0 else -1, f"a chain of {n} is {high} {own} and {usual}")


def _usual(name: str, n: int) -> int:
    if (name, n) in CUSTOM:
        return 1
    return -1 if n < turning_chains().get(name, 1) else 0
