"""How much of a design changes: one tally beside another, as plain functions.

Amounts are thousandths of a stitch, so that a tie is a tie; with a gauge a stitch is as many
millimetres as it is wide. Sections are paired in their order, nudges aside.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import accumulate, zip_longest

from .adapt_crowns import stopped
from .tally import SectionTally, Tally

CHANGE_PARTS = ("counts", "crown", "uneven", "nudges", "rounds", "brim")
"""What may change, in the order it is shown."""

UNIT = 1000  # thousandths of a stitch


@dataclass(frozen=True, slots=True)
class ChangePrices:
    """What a change costs, in stitches: our own rules."""

    # per stitch a section below the crown begins on another count, and again where that changes
    stitch: float = 1.0
    crown_round: float = 2.0  # each crown round with another count, added or dropped
    uneven: float = 3.0  # each increase round whose gaps differ by one
    nudge: float = 3.0  # each further nudge; one that goes costs a third
    round: float = 1.0  # each round more or fewer in all, or in a band, brim or edging
    sector: float = 1.0  # per sector of a brim, and per round that now does another thing
    # per stitch a brim grows more or fewer from its first count to its last: as long as its
    # rounds stay that is how far it spreads, so a few stitches weigh more than a sector saved
    growth: float = 0.5


PRICES = ChangePrices()


def main_sections(tally: Tally) -> list[SectionTally]:
    """The sections without the nudges."""
    return [section for section in tally.sections if section.section != "nudge"]


def nudges_of(tally: Tally) -> dict[int, int]:
    """Change of each nudge by the place (from 0) of the section it prepares."""
    found, at = dict[int, int](), 0
    for section in tally.sections:
        if section.section == "nudge":
            found[at] = sum(section.changes)
        else:
            at += 1
    return found


def change_parts(before: Tally, after: Tally, target: float | None = None) -> Mapping[str, int]:
    """What changes from one tally to another of the same sections, each of CHANGE_PARTS in
    thousandths of a stitch.

    ``target``: the side count that was asked for; its distance then counts, not that from the
    count there was. Raises ValueError where the sections differ in kind.
    """
    old, new = main_sections(before), main_sections(after)
    if [s.section for s in old] != [s.section for s in new]:
        raise ValueError("sections: only designs of the same sections are compared")
    amounts = {
        "counts": PRICES.stitch * _counts(old, new, target),
        "crown": PRICES.crown_round * sum(_crown(a, b) for a, b in zip(old, new, strict=True)),
        "uneven": PRICES.uneven * sum(_uneven(a, b) for a, b in zip(old, new, strict=True)),
        "nudges": PRICES.nudge * _nudges(nudges_of(before), nudges_of(after)),
        "rounds": PRICES.round * _rounds(before, after, old, new),
        "brim": sum(_brim(a, b) for a, b in zip(old, new, strict=True)),
    }
    return {part: round(amounts[part] * UNIT) for part in CHANGE_PARTS}


def _counts(
    old: Sequence[SectionTally], new: Sequence[SectionTally], target: float | None
) -> float:
    """Differences of the counts that sections begin on; a difference that merely goes on is
    counted once."""
    total, last = 0.0, 0
    for place, (a, b) in enumerate(_below(old, new)):
        now = b.count_in - a.count_in
        if place == 0 and target is not None:
            total += abs(b.count_in - target)
        else:
            total += abs(now - last)
        last = now
    return total


def _below(
    old: Sequence[SectionTally], new: Sequence[SectionTally]
) -> list[tuple[SectionTally, SectionTally]]:
    kinds = ("crown", "edging")  # an edging's count follows from the brim
    return [(a, b) for a, b in zip(old, new, strict=True) if a.section not in kinds]


def _crown(old: SectionTally, new: SectionTally) -> int:
    """Crown rounds with another count, added or dropped."""
    if old.section != "crown":
        return 0
    return sum(a != b for a, b in zip_longest(_stopped(old), _stopped(new)))


def _stopped(crown: SectionTally) -> tuple[int, ...]:
    """A crown's counts up to its last increase."""
    return crown.counts[: len(stopped(crown.changes))]


def _uneven(old: SectionTally, new: SectionTally) -> int:
    """Increase rounds, others than before, whose number does not divide the count."""
    if old.section not in ("crown", "brim"):
        return 0
    return max(0, uneven_rounds(new) - uneven_rounds(old))


def uneven_rounds(section: SectionTally) -> int:
    """Rounds of a section that add or drop a number that does not divide what they are worked
    on."""
    starts = accumulate(section.changes, initial=section.count_in)
    return sum(
        bool(n and change and n % abs(change) and change % n)
        for n, change in zip(starts, section.changes, strict=False)
    )


def _nudges(old: Mapping[int, int], new: Mapping[int, int]) -> float:
    added = sum(old.get(at) != change for at, change in new.items())
    gone = sum(at not in new for at in old)
    return added + gone / 3


def _rounds(
    before: Tally, after: Tally, old: Sequence[SectionTally], new: Sequence[SectionTally]
) -> int:
    """Rounds more or fewer: of the piece as a whole, and of its bands, brim and edging."""
    total = abs(len(after.round_counts) - len(before.round_counts))
    pairs = zip(old, new, strict=True)
    shaped = [(a, b) for a, b in pairs if a.section not in ("crown", "even")]
    return total + sum(abs(b.rounds - a.rounds) for a, b in shaped)


def _brim(old: SectionTally, new: SectionTally) -> float:
    """What another brim costs: sectors more or fewer, rounds that grow where they did not or the
    reverse, and how many stitches more or fewer it grows by in all."""
    if old.section != "brim":
        return 0
    paired = list(zip_longest(old.changes, new.changes, fillvalue=0))
    moved = sum(bool(a) != bool(b) for a, b in paired)
    both = [(a, b) for a, b in paired if a and b]
    sectors = max((abs(abs(b) - abs(a)) for a, b in both), default=0)
    grown = abs(sum(new.changes) - sum(old.changes))
    return PRICES.sector * (moved + sectors) + PRICES.growth * grown
