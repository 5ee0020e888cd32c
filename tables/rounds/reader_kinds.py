"""What kind of thing an item is: questions asked while repeats are closed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from .reader_items import BracketItem, ChainItem, Item, Mark, SkipItem, Spot, SpotItem, WorkItem
from .reader_lexer import FIRST_CHAIN
from .steps import Into, Stitch, Together, Work

SLIP = Stitch("sl st")


def closes(item: Item) -> bool:
    """Whether an item only closes the round: a join, or a slip stitch by itself."""
    if isinstance(item, WorkItem):
        return item.thing == SLIP and item.spot is None and item.lead is None
    return isinstance(item, Mark) and item.kind == "JOIN"


def takes_group(spot: Spot) -> bool:
    """Whether a bracket before a place is worked into it."""
    return spot.kind in ("next", "same", "space", "ring", "middle", "nth") or (
        spot.kind == "all" and spot.each
    )


def takes_times(item: WorkItem) -> bool:
    """Whether a number of times before a stitch is how many: "6 x inc", "3x sc"."""
    return item.lead is None and item.after is None and item.often is None


def count(step: Work | Into | Together) -> int | None:
    """How many places or times a step is worked; None: to the end."""
    return step.n if isinstance(step, Work) else step.times


def opened_in_space(items: Sequence[Item]) -> tuple[Item, ...]:
    """The items with what stands between a slip into a chain space and "in same sp" worked into
    that space as well: "sl st to ch-1 sp, ch 3, 2 dc, ch 1, 3 dc in same sp"."""
    at = next((i for i, item in enumerate(items) if not closes(item)), len(items))
    while at < len(items) and _slips(items[at]):
        at += 1
    if at == 0 or not _into_space(items[at - 1]):
        return tuple(items)
    bare: list[int] = []
    for i in range(at, len(items)):
        item = items[i]
        if isinstance(item, WorkItem) and item.spot is None and item.thing != SLIP:
            bare.append(i)
        elif isinstance(item, WorkItem) and item.spot is not None and item.spot.kind == "same":
            same = item.spot
            return tuple(
                replace(one, spot=same) if j in bare and isinstance(one, WorkItem) else one
                for j, one in enumerate(items)
            )
        elif not isinstance(item, ChainItem):
            break
    return tuple(items)


def _slips(item: Item) -> bool:
    return _into_space(item) or (isinstance(item, WorkItem) and item.thing == SLIP)


def _into_space(item: Item) -> bool:
    if isinstance(item, Mark):
        return item.kind == "MOVE"
    if not isinstance(item, WorkItem) or item.thing != SLIP or item.spot is None:
        return False
    return item.spot.kind == "space"


def first_of_many(items: Sequence[Item]) -> tuple[Item, ...]:
    """The items with "in first ch" as the first of a joined chain where others follow it: "sc in
    first ch and in each ch around". By itself ("11 dc in first ch") it holds the whole round."""
    if not any(_goes_along(item) for item in items):
        return tuple(items)
    return tuple(_in_first(item) for item in items)


def _goes_along(item: Item) -> bool:
    if isinstance(item, BracketItem):
        return any(_goes_along(inner) for inner in item.items)
    if isinstance(item, WorkItem | SpotItem) and item.spot is not None:
        return item.spot.kind in ("next", "all", "more", "nth")
    return isinstance(item, SkipItem)


def _in_first(item: Item) -> Item:
    if isinstance(item, BracketItem):
        return replace(item, items=tuple(_in_first(inner) for inner in item.items))
    if isinstance(item, WorkItem | SpotItem) and item.spot is not None:
        first = item.spot.kind == "ring" and item.spot.hook == FIRST_CHAIN
        return replace(item, spot=replace(item.spot, kind="next", hook=0)) if first else item
    return item


def unwrapped(item: Item) -> Item:
    """A bracket that only says how often or how far ("rep from * (5 times)") as what it says."""
    if isinstance(item, BracketItem) and len(item.items) == 1:
        only = item.items[0]
        if isinstance(only, Mark) and only.kind in ("TIMES", "TO_LAST"):
            return only
        if isinstance(only, SpotItem) and only.spot.kind == "all" and not only.spot.each:
            return only
    return item
