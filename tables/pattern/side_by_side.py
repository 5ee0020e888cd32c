"""Sizes laid side by side: what they have alike in one line, what only some have in its place.

``aligned`` knows nothing of rounds: it lines up the items of several sizes by a key, and keeps
every size's own order. ``merged`` makes one sentence of sentences that differ in numbers only.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Hashable, Iterable, Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar

from evenround.tables.rounds.writer_sizes import by_size

Item = TypeVar("Item")
_ALIKE = 1000
"""Worth of two items in one row; that they stand at the same place breaks ties between ways."""


@dataclass(frozen=True, slots=True)
class Row(Generic[Item]):
    """One row: the sizes (by index, rising) that have it, and each one's item."""

    sizes: tuple[int, ...]
    items: tuple[Item, ...]


@dataclass(frozen=True, slots=True)
class Said:
    """A sentence with the sizes (by index, rising) it is true for."""

    sizes: tuple[int, ...]
    text: str


@dataclass(slots=True)
class _Column(Generic[Item]):
    """A row being made: its key, the places its items have in their sizes, the items."""

    key: Hashable
    places: set[int]
    items: dict[int, Item]


def aligned(every: Sequence[Sequence[Item]], key: Callable[[Item], Hashable]) -> list[Row[Item]]:
    """The items of every size in rows of equal keys, as many together as can be; every size's
    own order is kept."""
    columns: list[_Column[Item]] = []
    for size, items in enumerate(every):
        columns = _with(columns, size, items, [key(item) for item in items])
    return [
        Row(tuple(sorted(c.items)), tuple(c.items[size] for size in sorted(c.items)))
        for c in columns
    ]


def _with(
    columns: list[_Column[Item]], size: int, items: Sequence[Item], keys: Sequence[Hashable]
) -> list[_Column[Item]]:
    """The columns with one more size laid beside them."""
    worth = _worth(columns, keys)
    out: list[_Column[Item]] = []
    i = j = 0
    while i < len(columns) or j < len(keys):
        left = worth[i][j]
        if i < len(columns) and j < len(keys):
            alike = _match(columns[i], keys[j], j)
            if alike and left == alike + worth[i + 1][j + 1]:
                columns[i].places.add(j)
                columns[i].items[size] = items[j]
                out.append(columns[i])
                i, j = i + 1, j + 1
                continue
        later = j < len(keys) and left == worth[i][j + 1]
        sooner = i < len(columns) and left == worth[i + 1][j]
        if sooner and not (later and j < min(columns[i].places)):
            out.append(columns[i])
            i += 1
        else:
            out.append(_Column(keys[j], {j}, {size: items[j]}))
            j += 1
    return out


def _match(column: _Column[Item], key: Hashable, place: int) -> int:
    return (_ALIKE + (place in column.places)) if column.key == key else 0


def _worth(columns: Sequence[_Column[Item]], keys: Sequence[Hashable]) -> list[list[int]]:
    """The best that can be had from a column and an item on."""
    worth = [[0] * (len(keys) + 1) for _ in range(len(columns) + 1)]
    for i in reversed(range(len(columns))):
        for j in reversed(range(len(keys))):
            alike = _match(columns[i], keys[j], j)
            both = alike + worth[i + 1][j + 1] if alike else 0
            worth[i][j] = max(worth[i + 1][j], worth[i][j + 1], both)
    return worth


# --- sentences ---------------------------------------------------------------------------------

_NUMBER = re.compile(r"(?<![\w.-])[+-]?\d+(?:\.\d+)?(?:-\d+)?(?![\w-])")
"""A number that stands by itself, or a range: none of ``ch-1``, ``hdc2tog``, ``2nd``."""


def skeleton(text: str) -> str:
    """A sentence without its numbers."""
    return _NUMBER.sub("#", text)


def merged(texts: Sequence[str]) -> str:
    """Sentences of the same skeleton as one, numbers that differ as lists by size."""
    words = _NUMBER.split(texts[0])
    numbers = zip(*(_NUMBER.findall(text) for text in texts), strict=True)
    out = words[0]
    for word, values in zip(words[1:], numbers, strict=True):
        out += by_size(values) + word
    return out


def said_by_size(every: Sequence[Iterable[str]]) -> tuple[Said, ...]:
    """The sentences of every size side by side, merged where they differ in numbers only."""
    rows = aligned([list(texts) for texts in every], skeleton)
    return tuple(Said(row.sizes, merged(row.items)) for row in rows)
