"""The joined chain a piece starts on, said before its first round: "Ch 104, join to form a ring
without twisting", "Chain 60 (66, 72). Join with a slip stitch", "104 ch, ss to join".
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from .counter import MOST_PLACES
from .lines import Line, for_size
from .reader_lexer import plain

_BEFORE = 2_000
"""Characters before the first round that are looked at, from the last."""
_JOINED = (
    r"(?:join\w*|ring|circle|close\w*|sl\s?-?st|slip\s*-?\s*st(?:itch)?|ss|in\s+the\s+round|"
    r"being\s+careful\s+not\s+to\s+twist|without\s+twisting)\b"
)
_CHAIN = re.compile(
    r"(?<![\w-])(?:ch(?:ain)?s?(?:\s+on)?\s*-?\s*(?P<a>\d{1,6})(?:\s*(?:chs?|chains?|sts|stitches)\b)?"
    r"|(?P<b>\d{1,6})\s*(?:chs?|chains?)\b)"
    r"(?!\s*[-\u2013/]\s*\d)(?!\d)(?!\s*[(\[]?\s*(?:counts?|sps?\b|spaces?\b|from\b))"
    rf"(?=.{{0,120}}?(?<![a-z]){_JOINED})"
)


def starts_of(lines: Sequence[Line], sizes: int) -> tuple[int, ...]:
    """How many chains are joined before the first round: one number a size, a single one where
    all are alike; () where none are said."""
    before: list[str] = []
    for line in lines:
        if line.label is not None:
            break
        before.append(line.text)
    text = " ".join(before)[-_BEFORE:]
    found = [_chain(for_size(text, at, sizes)) for at in range(max(1, sizes))]
    known = [n for n in found if n is not None]
    if len(known) != len(found):
        return ()
    return tuple(known[:1] if len(set(known)) == 1 else known)


def _chain(text: str) -> int | None:
    every = [int(m["a"] or m["b"]) for m in _CHAIN.finditer(re.sub(r"\s+", " ", plain(text)))]
    return next((n for n in reversed(every) if 3 <= n <= MOST_PLACES), None)
