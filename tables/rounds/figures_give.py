"""Rounds with give: ``t`` plain stitches in a repeat, read once and worked for any t.

A text with a bare t in place of a number is read with two numbers; what differs between the two
readings grows with t, and a step of no stitches falls away.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import fields, is_dataclass, replace
from typing import Any

from .steps import Chain, Into, Repeat, Skip, Step, Work

Steps = tuple[Step, ...]

_LETTER = re.compile(r"(?<![A-Za-z0-9-])t(?![A-Za-z0-9])")
_LOW, _HIGH = 2, 3


def has_give(text: str) -> bool:
    """Whether a round says t somewhere."""
    return _LETTER.search(text) is not None


def read_with_give(text: str, read: Callable[[str], Steps]) -> Callable[[int], Steps]:
    """Steps as a function of t. ``read`` reads a text without it and may raise as it likes."""
    if not has_give(text):
        steps = read(text)
        return lambda t: steps
    low, high = (read(_LETTER.sub(str(n), text)) for n in (_LOW, _HIGH))
    at_give(low, high, 0)  # a t that is no plain number shows at once
    return lambda t: at_give(low, high, t)


def at_give(low: Steps, high: Steps, t: int) -> Steps:
    """The steps for t, from those for 2 and those for 3; ValueError where they differ in more
    than numbers."""
    found: Steps = _between(low, high, t)
    return found


def _between(low: Any, high: Any, t: int) -> Any:
    if isinstance(low, tuple) and isinstance(high, tuple) and len(low) == len(high):
        made = (_between(a, b, t) for a, b in zip(low, high, strict=True))
        return tuple(each for each in made if not _nothing(each))
    if is_dataclass(low) and type(low) is type(high) and not isinstance(low, type):
        names = [field.name for field in fields(low)]
        inside = {name: _between(getattr(low, name), getattr(high, name), t) for name in names}
        return replace(low, **inside)
    if low == high:
        return low
    if type(low) is int and type(high) is int:
        return low + (t - _LOW) * (high - low)
    raise ValueError("t stands for a number of stitches")


def _nothing(step: object) -> bool:
    """A step of no stitches."""
    match step:
        case Work(n=int(n)) | Skip(n=n) | Chain(n=n):
            return n < 1
        case Into(times=int(n)) | Repeat(times=int(n)):
            return n < 1
        case Repeat(steps=steps):
            return not steps
        case _:
            return False
