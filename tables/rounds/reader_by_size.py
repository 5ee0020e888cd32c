"""A round that says itself which sizes a part of it is for: "Rnd 9: Sizes M (L) only: ...",
"Rnd 9: Small: ... Medium and large: ..."; and a label with a number for each size."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace

from .lines import Label
from .lines_names import match_sizes
from .reader_blocks import Block

_NAMED = re.compile(
    r"(?:^|(?<=[.;)\]])\s+|(?<=\s)(?=for\s|sizes?\s))\s*"
    r"(?P<names>[A-Za-z0-9][\w\s,&/()-]{0,60}?)"
    r"(?:\s+only\s*[:,;\u2013-]?|\s*:)\s+",
    re.IGNORECASE,
)
_FILLERS = re.compile(r"\b(?:for|the|sizes?|only)\b", re.IGNORECASE)
_OTHERS = re.compile(r"(?:all\s+)?(?:the\s+)?(?:other|others|remaining|rest)(?:\s+ones)?")


def by_size(block: Block, sizes: tuple[str, ...]) -> list[Block]:
    """The block, or one for each part that is said to be for some sizes only. Columns stay."""
    if block.label is None or block.sizes is not None or len(sizes) < 2:
        return [block]
    heads = list(_heads(block.text, sizes))
    if not heads or block.text[: heads[0][0]].strip():
        return [block]
    ends = [start for start, *_ in heads[1:]] + [len(block.text)]
    return [
        replace(block, text=" " * begin + block.text[begin:end].rstrip(), sizes=names)
        for (_, begin, names), end in zip(heads, ends, strict=True)
    ]


def _heads(text: str, sizes: tuple[str, ...]) -> Iterator[tuple[int, int, tuple[str, ...]]]:
    """Where a part begins: its head, its instruction, and the sizes it is for."""
    named: set[str] = set()
    for match in _NAMED.finditer(text):
        found = _sizes(match["names"], sizes, named)
        if found:
            named |= set(found)
            yield match.start(), match.end(), found


def _sizes(words: str, sizes: tuple[str, ...], named: set[str]) -> tuple[str, ...]:
    plain = re.sub(r"\s+", " ", _FILLERS.sub(" ", words)).strip(" ,").lower()
    if plain == "all":
        return sizes
    if _OTHERS.fullmatch(plain):
        return tuple(size for size in sizes if size not in named)
    return (match_sizes(plain, sizes) or ()) if plain else ()


FURTHER = 8
"""Rounds by which one number in brackets may lie past a range and still be its end in the other
of two sizes, not a count."""


def ranges_of(
    label: Label, sizes: tuple[str, ...], reached: tuple[int, ...] = ()
) -> tuple[tuple[int, int], ...]:
    """First and last round of each size where the label numbers them apart: "Rnds 5-6 (7, 8)" ->
    5-6, 5-7, 5-8; "Rnds 2-4 (3-5)" -> 2-4, 3-5; "Rnd 20 (22, 23)" -> one round each. Else ().

    A single number in brackets may as well be a count ("Rnd 2 (12):"); it is the other size's
    round where the label names the sizes, or where both numbers come right after the rounds the
    sizes have ``reached``.
    """
    if label.first is None or label.last is None or len(label.lasts) + 1 != len(sizes):
        return ()
    several = label.last > label.first
    lone = label.lasts[0][1] if len(label.lasts) == 1 and label.lasts[0][0] is None else None
    near = several and lone is not None and label.first <= lone <= label.last + FURTHER
    follows = (label.first - 1, (lone or 0) - 1) == reached and label.first != lone
    if lone is not None and not (near or label.names or follows):
        return ()
    ranges = [(label.first, label.last)]
    for first, last in label.lasts:
        ranges.append((first or (label.first if several else last), last))
    return tuple(ranges) if all(first <= last + 1 for first, last in ranges) else ()
