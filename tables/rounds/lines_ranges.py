"""Which label is a range of rounds ("Rnds 2-8: sc in each st") and which a number with a dash
before its instruction ("Rnd 1 - 8 sc in ring").

Told by what stands after the second number, by how the dash is written, and by the labels of the
lines that follow.
"""

from __future__ import annotations

import re
from typing import Literal

from .vocabulary import NUMBER, stitch_words, usual_groups, words_pattern

_NAMES = words_pattern(sorted({*stitch_words("us"), *stitch_words("uk"), *usual_groups()}))
_THING = (
    rf"(?:{_NAMES}|inc\w*|dec\w*|ch|chs|chains?|sts?|stitch(?:es)?|in|into|each|more|times?|x)"
    r"(?:s|es)?(?![a-z])"
)
_WORKED = re.compile(rf"\s*(?:{_THING}|[,;])|\s*\d*(?:{_NAMES})\d*\w*(?:inc|tog)")
INSTRUCTION = (
    rf"(?:(?:{NUMBER})\s*(?:x\s*)?(?:{_NAMES}|inc|dec|ch)(?:s|es)?(?![a-z])|(?:{_NAMES}|inc|dec|"
    r"ch|chain|sk|skip|miss|magic|mr|repeat|rep)(?![a-z])|[*(\[])"
)
"""How an instruction begins, lower case."""

Extent = Literal["yes", "no", "perhaps"]


def is_range(before: str, joined: str, after: str, closed: bool) -> Extent:
    """Whether two numbers of a label are the first and last of several rounds. ``before`` is the
    word in front, ``joined`` what stands between, ``after`` what follows, ``closed``: by a mark
    that ends a label. "perhaps": only later labels can tell."""
    if closed or re.search(r"[a-z&]", joined):
        return "yes"
    if re.search(r"s\.?\s*$", before) or re.fullmatch(r"[-/.]+", joined):
        return "perhaps"
    return "no" if _WORKED.match(after) else "yes"


def refuted(first: int, last: int, following: int | None) -> bool:
    """Whether the label after a range is one of its own rounds: then it was none."""
    return following is not None and first < following <= last
