"""Which phrase of reader_words stands at a place of a text: roughly first, then exactly.

Roughly, any word of the letters of stitches stands for one: their names in forty places take a
quarter of a second to compile. Exactly, a phrase is compiled where it is met: most texts meet a
few. The first phrase in the order of reader_words that matches exactly is the one found.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import lru_cache
from typing import NamedTuple

from .reader_words import GROUPS, PHRASES, STITCHES
from .vocabulary import words_pattern

_EXACTLY = ("STITCH", "POST", "LOOP")
"""Kinds that say where no stitch may follow, or are one themselves."""


class Known(NamedTuple):
    """The words phrases are filled in with; ``own`` are those a pattern defines itself."""

    stitches: tuple[str, ...]
    groups: tuple[str, ...]
    own: tuple[str, ...]


def phrase_at(lowered: str, at: int, known: Known) -> tuple[str, re.Match[str] | None]:
    """The kind of the phrase at that place and its match; ("", None) where none stands."""
    which, phrases = machine(known)
    found = which.match(lowered, at)
    first = len(phrases) if found is None else int((found.lastgroup or "")[1:])
    for kind, rough, text in phrases[first:]:
        exact = _compiled(rough).match(lowered, at) and _compiled(text).match(lowered, at)
        if exact is not None:
            return kind, exact
    return "", None


_compiled = lru_cache(maxsize=4096)(re.compile)


@lru_cache(maxsize=64)
def machine(known: Known) -> tuple[re.Pattern[str], tuple[tuple[str, str, str], ...]]:
    """One pattern that tells which phrase may stand here, at the earliest; then the phrases: kind,
    roughly, exactly."""
    stitches, groups, own = map(words_pattern, known)
    firsts = _letters(name[0] for name in known.stitches)
    roughly = f"[{firsts}](?:[{_letters(''.join(known.stitches))}]|\\s)*"
    phrases = list(PHRASES)
    # a pattern's own word for an increase may look like a count and a stitch ("2sc")
    if own:
        phrases.insert(1, ("OWN", rf"(?<![a-z])(?P<own>{own})(?:s|'s)?(?![a-z0-9])"))
    ready = []
    for kind, text in phrases:
        whole = rf"(?<![a-z])(?:{text})" if text[0].isalpha() else text
        bare = re.sub(r"\(\?P<\w+>", "(?:", whole)
        rough = _fill(bare, stitches if kind in _EXACTLY else roughly, groups)
        ready.append((kind, rough, _fill(whole, stitches, groups)))
    parts = (f"(?P<k{at}>{rough})" for at, (_, rough, _) in enumerate(ready))
    return re.compile("|".join(parts)), tuple(ready)


def _fill(pattern: str, stitches: str, groups: str) -> str:
    return pattern.replace(STITCHES, f"(?:{stitches})").replace(GROUPS, f"(?:{groups})")


def _letters(marks: Iterable[str]) -> str:
    return re.escape("".join(sorted({*marks} - {" "})))
