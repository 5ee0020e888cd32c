"""How far a repeat goes, as the items after it say: so many times, to the end, to the last k."""

from __future__ import annotations

from collections.abc import Sequence

from .reader_items import Item, Mark, SpotItem
from .reader_kinds import unwrapped
from .reader_lexer import Often
from .steps import Repeat


def extent_at(items: Sequence[Item], at: int, after_word: bool) -> tuple[Repeat | None, int]:
    """The extent that the items from ``at`` on say, as a repeat of nothing yet, and where the
    items go on after it; None, and ``at`` itself, where they say none. ``after_word``: the word
    "repeat" stood before."""
    if at >= len(items):
        return None, at
    item = unwrapped(items[at]) if after_word else items[at]
    if isinstance(item, Mark) and item.kind in ("AGAIN", "FROM_STAR") and not after_word:
        found, further = extent_at(items, at + 1, True)
        if found is not None:
            return found, further
        return (Repeat(()), at + 1) if item.kind == "FROM_STAR" else (None, at)
    if isinstance(item, Mark) and item.kind == "TIMES":
        assert isinstance(item.meaning, Often)
        more = item.meaning.more
        if more is None and not after_word:
            more = False
        return Repeat((), times=item.meaning.n, more=more), at + 1
    if isinstance(item, Mark) and item.kind == "TO_LAST":
        assert isinstance(item.meaning, int)
        return Repeat((), left=item.meaning), at + 1
    if isinstance(item, SpotItem) and item.spot.kind == "all" and not item.spot.each:
        following = items[at + 1] if at + 1 < len(items) else None
        if isinstance(following, Mark) and following.kind == "TO_LAST":
            return extent_at(items, at + 1, False)
        return Repeat(()), at + 1
    return None, at
