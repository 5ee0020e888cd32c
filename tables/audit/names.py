"""How sizes are spoken of in the words of an audit."""

from __future__ import annotations

from collections.abc import Sequence


def size_words(names: Sequence[str], *, first: bool = False) -> str:
    """``S, M``, but ``size 2`` and ``sizes 2, 4`` for bare numbers; ``first`` in a sentence."""
    joined = ", ".join(names)
    if not names or not all(name.replace("/", "").isdigit() for name in names):
        return joined
    word = "Size" if first else "size"
    return f"{word}{'s' * (len(names) > 1)} {joined}"
