"""What sizes are called within a pattern for all of them: their own names, or letters.

A name is used as it is where it is one short word that reads back as a size; "adult S/M" and
"6-12 months" would make every line long, so such sizes are lettered and the letters explained.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from string import ascii_uppercase

from evenround.tables.rounds.reader import ReadError, read_pattern
from evenround.tables.rounds.writer_sizes import by_size

MOST_SIZES = 20
"""Sizes one pattern can hold; a reader of lists of more would lose count."""
_SHORT = re.compile(r"[A-Za-z0-9]{1,6}")


def marks(names: Sequence[str]) -> tuple[str, ...]:
    """One word for each size: the names themselves where they are short, else A, B, C ..."""
    own = tuple(names)
    if all(_SHORT.fullmatch(name) for name in own) and _reads_back(own):
        return own
    return tuple(ascii_uppercase[: len(own)])


def sizes_line(words: Sequence[str]) -> str:
    """``Sizes: S (M, L)``; names are never alike, so none is left out."""
    return f"Sizes: {by_size(words)}"


def only(sizes: Sequence[int], words: Sequence[str]) -> str:
    """``Size M only``, ``Sizes M (L) only``; sizes that are numbers with commas, ``Sizes 4, 6
    only``, for in brackets they would look like counts."""
    named = [words[size] for size in sizes]
    many = "s" if len(named) > 1 else ""
    numbers = any(word[0].isdigit() for word in named)
    return f"Size{many} {', '.join(named) if numbers else by_size(named)} only"


def _reads_back(names: tuple[str, ...]) -> bool:
    """Whether the reader takes the names for sizes, together and each by itself."""
    lines = [sizes_line(names), "", "Rnd 1: 6 sc in ring. (6 sc)"]
    lines += [
        f"{only((at,), names)} - Rnd 2: sc in each st around. (6 sc)" for at in range(len(names))
    ]
    lines.append(f"{only(range(1, len(names)), names)} - Rnd 3: sc in each st around. (6 sc)")
    try:
        read = read_pattern("\n".join(lines), "us")
    except ReadError:
        return False
    named = [*((name,) for name in names), names[1:]]
    return read.sizes == names and [r.sizes for r in read.rounds[1:]] == named
