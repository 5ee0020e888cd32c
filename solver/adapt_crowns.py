"""The crowns near a given one: cut short, gone on with, or ended in another way."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from .suits import usual_nudge

FURTHER = 14
"""Increase rounds a crown is gone on with at most."""

Crown = tuple[int, ...]
"""By how much each round changes the count, the first the start."""


def stopped(changes: Sequence[int]) -> Crown:
    """A crown up to its last round that changes the count."""
    stop = max((i for i, change in enumerate(changes, 1) if change), default=1)
    return tuple(changes[:stop])


def full_rate(changes: Sequence[int]) -> int:
    """What the crown's last full round adds: the last increase, a lone smaller one at the end
    left aside; the start itself where there is none."""
    grown = [change for change in changes[1:] if change > 0]
    if len(grown) > 1 and grown[-1] < grown[-2] and grown.count(grown[-1]) == 1:
        grown.pop()
    return grown[-1] if grown else changes[0]


def _bases(changes: Sequence[int], fixed: int) -> Iterator[Crown]:
    """The crown cut after any of its rounds, whole, and gone on with at its own rate and pace."""
    whole = stopped(changes)
    for end in range(max(1, fixed), len(whole) + 1):
        cut = stopped(whole[:end])
        if len(cut) == end:
            yield cut
    rate = full_rate(whole)
    core = list(whole)
    if len(core) > max(1, fixed) and 0 < core[-1] < rate:
        core = list(stopped(core[:-1]))  # a part round ends a crown: go on before it
    pause = _pause(core)
    for _ in range(FURTHER):
        core += [0] * pause + [rate]
        yield tuple(core)


def _pause(changes: Sequence[int]) -> int:
    """Plain rounds between the last two increase rounds."""
    grows = [i for i, change in enumerate(changes) if change > 0]
    return grows[-1] - grows[-2] - 1 if len(grows) > 2 else 0


def with_sectors(changes: Sequence[int], sectors: int) -> Crown:
    """A crown of as many rounds with another number of sectors; the start stays where the
    sectors divide into it or come of it by doubling, else it is one sector a stitch."""
    start = changes[0] if changes[0] % sectors == 0 else sectors
    return (start, *(sectors for _ in stopped(changes)[1:]))


def crowns(
    changes: Sequence[int], low: int, high: int, *, fixed: int = 1, sectors: int | None = None
) -> Iterator[tuple[Crown, int]]:
    """``(crown, nudge)``: crowns near ``changes`` whose count, the nudge after them included, is
    from ``low`` to ``high``; each once.

    A crown may end on any of its rounds or go on at its rate; its last round may add another
    number; a part round (fewer than its sectors, a number that divides the count) or a nudge
    (within the usual limit) may follow.
    """
    if sectors is not None:
        changes, fixed = with_sectors(changes, sectors), 1
    seen = set[tuple[Crown, int]]()
    for base in dict.fromkeys(_bases(changes, fixed)):
        own = len(base) <= len(stopped(changes))
        for found in _endings(base, low, high, fixed, own=own):
            if found not in seen:
                seen.add(found)
                yield found


def _endings(
    base: Crown, low: int, high: int, fixed: int, *, own: bool
) -> Iterator[tuple[Crown, int]]:
    """A crown as it is, with a part round or nudge after it, and with another last round; where
    that is one of the crown's ``own`` its number need not divide."""
    rate = full_rate(base)
    count = sum(base)
    if low <= count <= high:
        yield base, 0
    for more in range(1, rate):
        if low <= count + more <= high and more > 1 and count % more == 0:
            yield (*base, more), 0
    limit = usual_nudge(count)
    for change in range(-limit, limit + 1):
        part = 2 <= change < rate and count % change == 0
        if change and not part and low <= count + change <= high:
            yield base, change
    if len(base) > max(1, fixed) and base[-1] > 0:
        before = count - base[-1]
        for other in range(2, min(before, 2 * rate) + 1):
            # fewer than the sectors after the crown's own rounds is a part round: those divide
            sound = own or other > rate or before % other == 0
            if sound and other != base[-1] and low <= before + other <= high:
                yield (*base[:-1], other), 0
