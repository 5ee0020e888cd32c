"""A round that says itself which sizes a part of it is for: "Rnd 9: Sizes M (L) only: ...",
"Rnd 9: Small: ... Medium and large: ..."."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace

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
