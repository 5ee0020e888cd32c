"""Rounds said by other rounds: "as row 2", "rep Rnds 6-7", "as last round", "work even", "for 4
rounds", "over the next 51 sts".
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from .lines_counts import split_counts
from .pattern import Printed, RoundText, Terms
from .reader_lexer import Lexicon, plain
from .vocabulary import NUMBER, OFTEN, ORDINAL, number, ordinal, stitch_words

_WORD = r"(?:rounds?|rnds?|rows?|rds?|r)\.?"
_REPEATING = (
    r"\s*(?:then\s+)?(?:work\s+)?(?:rep(?:eat)?|(?:the\s+)?same\s+as|as\s+for|as|like|as\s+in)\s+"
    r"(?:(?:for|in|of|the)\s+)*"
)
_ENDING = (
    rf"(?:\s*,?\s*(?:alternately|in\s+turn|(?:(?P<times>{NUMBER})\s+(?:more\s+)?"
    rf"times|(?P<often>{'|'.join(OFTEN)}))(?:\s+more)?))?\s*[.,;]?\s*"
    r"(?:,?\s*(?:join|turn|sl\s*st|ss)\b[^*()]*)?$"
)
_AS = re.compile(
    rf"{_REPEATING}{_WORD}\s*(?P<a>\d{{1,6}})"
    rf"(?:\s*(?:-|to|and|&|,|through)\s*(?:{_WORD}\s*)?(?P<b>\d{{1,6}}))?{_ENDING}"
)
_AS_ORDINAL = re.compile(
    rf"{_REPEATING}(?P<a>{ORDINAL})(?:\s*(?:-|to|and|&|,|through)\s*(?:the\s+)?(?P<b>{ORDINAL}))?"
    rf"\s+{_WORD}{_ENDING}"
)
_AS_LAST_FEW = re.compile(
    rf"{_REPEATING}(?:previous|prev|last|preceding)\s+(?P<n>{NUMBER})\s+{_WORD}{_ENDING}"
)
_AS_LAST = re.compile(
    r"\s*(?:work\s+)?(?:rep(?:eat)?|(?:the\s+)?same\s+as|as\s+for|as|like|as\s+in)\s+(?:(?:for|in|of|"
    rf"the)\s+)*(?:previous|prev|last|preceding)\s+{_WORD}\s*[.,;]?\s*$"
)
_OVER = re.compile(
    r"\s*(?:work\s+|worked\s+|now\s+)*(?:over|across|along|on)\s+(?:only\s+)?(?:the\s+)?(?:next|first)\s+"
    r"(?P<n>\d{1,6})\s*(?:sts?|stitch(?:es)?|\w+)(?:\s+only)?\s*[:,-]"
)
_EVEN = re.compile(
    r"(?P<before>\s*(?:ch(?:ain)?[\s-]*\d+\s*(?:\([^()]*\))?\s*[,.;]?\s*)?)"
    r"(?:(?:then\s+)?(?:work|continue|cont\.?)\s+)?"
    r"(?:(?P<st2>[a-z]+)\s+)?(?:even(?:ly)?|straight|without\s+(?:further\s+)?(?:shaping|inc\w*|dec\w*))"
    r"(?:\s+in\s+(?P<st>[a-z ]+?))?(?:\s+a?round)?"
    r"(?P<after>\s*\.?\s*(?:[,.;]\s*(?:join|sl\s*st).*)?)$"
)
_IN_STITCH = re.compile(
    r"\s*(?:then\s+)?(?:work|continue|cont\.?)\s+in\s+(?P<st>[a-z ]+?)(?:\s+a?round)?\s*\.?\s*"
)
_SO_MANY = re.compile(
    rf"[(\[]?\s*\b(?:for\s+)?(?P<n>{NUMBER})\s+(?:more\s+)?{_WORD}(?:\s+total)?\s*[)\]]?"
)


_KEEPING_ON = re.compile(r"\s*(?:even|straight|without|in)\b")


def rounds_said(text: str) -> int | None:
    """How many rounds a text says to work: "for 4 rounds", "work 5 rounds even"; None if it does
    not."""
    found = _so_many(text)
    return None if found is None else number(found["n"])


def _so_many(text: str) -> re.Match[str] | None:
    lowered = plain(text)
    for match in _SO_MANY.finditer(lowered):
        if match[0].strip()[:1] in "([f" or _KEEPING_ON.match(lowered, match.end()):
            return match
    return None


def without_number_of_rounds(text: str, base: RoundText) -> str:
    """The text without "for 4 rounds", where that is what the label says as well."""
    match = _so_many(text)
    if match is None or base.first is None or base.last is None:
        return text
    if number(match["n"]) != base.last - base.first + 1:
        return text
    return text[: match.start()] + " " * len(match[0]) + text[match.end() :]


def over_next(text: str) -> tuple[int | None, str]:
    """How many stitches a text says to work over ("over the next 51 sts: ..."), and the rest of
    it in its old columns."""
    match = _OVER.match(plain(text))
    if match is None:
        return None, text
    return int(match["n"]), " " * match.end() + text[match.end() :]


@dataclass(frozen=True, slots=True)
class Again:
    """The rounds ``first`` to ``last`` once more, ``times`` times where that is said; with the
    counts printed."""

    first: int
    last: int
    times: int | None
    printed: tuple[Printed, ...]


def as_rounds(text: str, lexicon: Lexicon, at: int) -> Again | None:
    """The rounds a text says to repeat; None if it says other work. ``at``: the last round."""
    rest, printed = split_counts(text, lexicon)
    for said, counts in ((text, ()), (rest, printed)):
        for pattern, read in ((_AS, int), (_AS_ORDINAL, ordinal)):
            match = pattern.fullmatch(plain(said))
            if match is not None:
                first = read(match["a"])
                last = read(match["b"]) if match["b"] else first
                return Again(first, last, _times(match), counts)
        few = _AS_LAST_FEW.fullmatch(plain(said))
        if few is not None and number(few["n"]) <= at:
            return Again(at - number(few["n"]) + 1, at, _times(few), counts)
    return None


def _times(match: re.Match[str]) -> int | None:
    said = match["times"] or match["often"]
    return number(said) if said else None


def as_last(text: str, lexicon: Lexicon) -> bool:
    """Whether a text says to repeat the round before."""
    return any(_AS_LAST.fullmatch(plain(t)) for t in (text, split_counts(text, lexicon)[0]))


def even_in_words(text: str, stitch: str, terms: Terms) -> str:
    """ "Work even", "continue in dc" as one stitch in each, in ``stitch`` unless it names one;
    other texts as they are."""
    even = _EVEN.fullmatch(plain(text))
    if even is None:
        within = _IN_STITCH.fullmatch(plain(text))
        named = within is not None and within["st"] in stitch_words(terms)
        return f"{within['st']} in each st" if within is not None and named else text
    return f"{even['before']}{even['st'] or even['st2'] or stitch} in each st{even['after']}"
