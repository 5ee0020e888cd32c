"""Why there is no family: a smallest set of sizes that cannot be made together, and what would
mend it. Sizes are left out and the rest searched again, with the exact search as the oracle.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from .family import Conflict, Kept, Rule, Rules
from .family_sizes import Sizes


def conflicts_of(sizes: Sizes, deadline: float) -> tuple[Conflict, ...]:
    """The conflict of sizes that make no family: no size of it can be left out. OutOfTimeError
    past the deadline (time.monotonic() seconds)."""
    left = list(range(len(sizes.ways)))
    for size in range(len(sizes.ways)):
        fewer = [i for i in left if i != size]
        if fewer and not _possible(sizes, fewer, sizes.rules, deadline):
            left = fewer
    mends = tuple(
        name for name, rules in _given_up(sizes.rules) if _possible(sizes, left, rules, deadline)
    )
    return (Conflict(tuple(left), mends),)


def _possible(sizes: Sizes, chosen: Sequence[int], rules: Rules, deadline: float) -> bool:
    counts = {at: rules.counts[i] for at, i in enumerate(chosen) if i in rules.counts}
    some = Sizes([sizes.ways[i] for i in chosen], replace(rules, counts=counts))
    return bool(some.families(1, deadline))


def _given_up(rules: Rules) -> Iterator[tuple[Kept | Rule, Rules]]:
    """The rules with each thing kept, then each rule given up alone."""
    for name in sorted(rules.kept):
        yield name, replace(rules, kept=rules.kept - {name})
    if rules.rising:
        yield "rising", replace(rules, rising=False)
    if rules.sides is not None:
        yield "sides", replace(rules, sides=None)
    if rules.yarn_grams is not None:
        yield "yarn", replace(rules, yarn_grams=None)
    if rules.counts:
        yield "counts", replace(rules, counts={})
