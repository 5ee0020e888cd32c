"""The counts a round prints, taken off its text: "(18 sc)", "[12 V, 12 ch-1 sps]", "- 12 dc.",
"{24}", "Join. 8 hdc.", "(74 stitches)".
"""

from __future__ import annotations

import re
from functools import lru_cache

from .counter import MOST_PLACES
from .lines_facts import without_measure
from .pattern import Printed
from .reader_lexer import Lexicon, plain
from .vocabulary import NUMBERS, number, stitch_words, usual_groups, words_pattern

_ROUND = r"(?:the\s+|this\s+)?(?:rounds?|rnds?|rows?)"
_TAIL = (
    rf"(?:\s*(?:total|in\s+(?:all|total)|altogether|made|around|(?:in\s+|for\s+)?(?:each|every)(?:\s+{_ROUND})?|so\s+far|worked|count|now|"
    rf"at\s+(?:the\s+)?end(?:\s+of\s+{_ROUND})?|(?:in|on)\s+{_ROUND}|remain\w*|left))?"
)
_MORE = r"(?:more|fewer|less|incr?\w*|dec\w*|added|decreased)"


@lru_cache(maxsize=64)
def _units(lexicon: Lexicon) -> str:
    names = [*stitch_words(lexicon.terms), *usual_groups()]
    names += [word for word, _ in lexicon.own]
    known = words_pattern(names)
    return (
        r"(?:ch(?:ain)?[\s-]*\d*[\s-]*(?:sps?|spaces?|loops?|lps?)|\d-?ch[\s-]*(?:sps?|spaces?)|sps?|spaces?|"
        r"sts?|stitch(?:es)?|loops?|petals?|repeats?|points?|groups?|places?|"
        rf"(?:{known})(?:\s*(?:sts?|stitch(?:es)?))?)(?:e?s)?"
    )


@lru_cache(maxsize=64)
def _patterns(lexicon: Lexicon) -> tuple[re.Pattern[str], ...]:
    unit = _units(lexicon)
    one = rf"(?:=\s*)?(?:\d+|{'|'.join(NUMBERS)})\s*(?:{unit}(?![a-z]))?{_TAIL}"
    counts = rf"{one}(?:\s*(?:,|and|&|\+|;)\s*{one})*"
    aside = (
        r"(?:\s*[,;:-]?\s*(?:incl\w*|counting|not\s+counting|plus|an?\s+inc\w*|"
        r"(?:(?:which\s+is|being|still)\s+)?(?:an?\s+)?multiples?\s+of|divisible\s+by|"
        rf"\d+\s*(?:sts?\s+|stitch\w*\s+)?{_MORE})\b[^()\[\]{{}}]*)?"
    )
    lead = (
        rf"(?:\d+\s*(?:sts?\s+|stitch\w*\s+)?{_MORE}\s*[,;:-]\s*)?"
        r"(?:(?:total(?:\s+of)?|now|makes?|you\s+(?:should\s+|will\s+)?(?:now\s+)?have)[:\s]*)?"
    )
    # a tail that is only a join, a turn or nothing may follow
    bracketed = re.compile(rf"[(\[{{]\s*{lead}(?P<counts>{counts})\.?{aside}\s*[)\]}}]")
    dashed = re.compile(
        rf"(?:\s-+\s*|-+\s+|[-=]*[=>\u2192\u21d2]+\s*|:\s+|{_AFTER}-+\s*)"
        rf"(?P<counts>(?:\d+)\s*(?:{unit}(?![a-z]))?{_TAIL}"
        rf"(?:\s*(?:,|and|&|\+)\s*{one})*)\s*\.?\s*-*\s*$"
    )
    bare = re.compile(
        rf"(?:[.;]|\bjoin,|\bturn,|^|{_AFTER},)\s*(?P<counts>\d+\s*{unit}(?![a-z]){_TAIL}"
        rf"(?:\s*(?:,|and|&|\+)\s*{one})*)\s*\.?\s*$"
    )
    alone = re.compile(r"[.;:]\s+(?P<counts>\d{1,6})\s*\.?\s*$")
    stated = re.compile(
        rf"(?:[.,;:-]\s*)?(?:you\s+(?:should\s+|will\s+|now\s+)?(?:now\s+)?have|"
        r"(?:(?:for|making|giving|with)\s+an?\s+)?total(?:\s+of)?|=|makes|now)"
        rf"\s*:?\s*(?P<counts>\d+\s*(?:{unit}(?![a-z]))?{_TAIL})\s*\.?\s*$"
    )
    # "(24) hdc"; after a word such as "next" it says where to work
    apart = rf"[(\[{{]\s*\d{{1,6}}\s*[)\]}}]\s*{unit}(?![a-z]){_TAIL}"
    outside = re.compile(
        rf"(?:[.;:]|\s-+|{_AFTER},?)\s*(?P<counts>{apart}"
        rf"(?:\s*(?:,|and|&|\+)\s*(?:{apart}|{one}))*)\s*\.?(?={_QUIET.pattern})"
    )
    return bracketed, stated, dashed, outside, bare, alone


_AFTER = (
    r"(?:(?<=round)|(?<=\bend)|(?<=\bjoin)|(?<=\bturn)|(?<=across)|(?<=each st)|(?<=every st)|"
    r"(?<=[)\]*.]))"
)
"""What a round can end on before its count."""
_QUIET = re.compile(
    r"[\s.,;:*|-]*(?:(?:join|turn|close|sl\s*st|ss|do\s+not|don't|fasten|place|pm|change|switch|"
    r"cut|break|move|attach|drop|continue|leav(?:e|ing)|"
    r"with|ch\s*\d+\s*,?\s*turn)\b[^()\[\]{}]*)?$"
)


_CLOSING = re.compile(
    r"(?:(?<=[.)\]}])|(?<=\d)|(?<=[a-z]))\s+(?:do\s+not\s+|don't\s+)?(?:fasten\s+off|weave\s+in|"
    r"cut\s+(?:the\s+)?yarn|break\s+(?:off\s+)?(?:the\s+)?yarn)\b[^()\[\]*]*$"
)


@lru_cache(maxsize=4096)
def split_counts(text: str, lexicon: Lexicon) -> tuple[str, tuple[Printed, ...]]:
    """The text with its printed counts blanked out, and the counts; () if it prints none.

    Whether a number after a stitch is a count is told by where it stands: last, in brackets or
    after a dash, or a sentence of its own.
    """
    text = without_measure(text)
    lowered = _CLOSING.sub(lambda found: " " * len(found[0]), plain(text))
    bracketed, *others = _patterns(lexicon)
    for match in reversed(list(bracketed.finditer(lowered))):
        if not _QUIET.fullmatch(lowered, match.end()):
            continue
        before = lowered[: match.start()].rstrip()
        if _instruction(lowered, match):
            continue
        if re.fullmatch(r"\W*(?:ch|chain)[\s-]*\d*", before):
            continue
        return _without(text, match), _printed(match["counts"], lexicon)
    for pattern in others:
        found = pattern.search(lowered)
        if found is not None and lowered[: found.start()].strip():
            return _without(text, found), _printed(found["counts"], lexicon)
    spaced = _SPACED.search(lowered)
    if spaced is not None and lowered[: spaced.start("counts")].strip():
        start, end = spaced.span("counts")
        return text[:start] + " " * (end - start) + text[end:], _printed(spaced["counts"], lexicon)
    leading = _leading(lexicon).match(lowered)
    if leading is not None and lowered[leading.end() :].strip():
        return _without(text, leading), _printed(leading["counts"], lexicon)
    return text, ()


_SPACED = re.compile(
    r"(?:\b(?:ring|circle|loop|times|a?round|across|end)|(?:each|every|next|same|last)\s+"
    r"(?:st|stitch)|x\s?\d{1,3}|\d\s?x|[*)\]])\s+"
    r"(?P<counts>\d{1,6}\s*(?:sts|stitches|stitch))\.?\s*$"
)
"""A count after nothing but a space: "6 dc into ring 6 sts", "rep 6 times 18 sts"."""


@lru_cache(maxsize=64)
def _leading(lexicon: Lexicon) -> re.Pattern[str]:
    """A count before the instruction: "Rnd 2 (12 sts): 2 sc in each st"."""
    return re.compile(
        rf"\s*[(\[{{]\s*(?P<counts>\d+\s*{_units(lexicon)}(?![a-z]){_TAIL})\s*[)\]}}]\s*(?::|-+(?=\s))"
    )


def _instruction(lowered: str, match: re.Match[str]) -> bool:
    """Whether a bracket is a group to be worked, not a count: it is followed by how often, or
    is all there is."""
    after = lowered[match.end() :]
    if re.match(r"\s*(?:x|\d+\s*(?:x|times)|around|in\b|to\b|rep|\*)", after):
        return True
    return not lowered[: match.start()].strip(" *")


def _without(text: str, match: re.Match[str]) -> str:
    """The text with the count blanked, every other word in its old column."""
    return text[: match.start()] + " " * (match.end() - match.start()) + text[match.end() :]


def _printed(counts: str, lexicon: Lexicon) -> tuple[Printed, ...]:
    found = []
    counts = re.sub(r"[(\[{]\s*(\d+)\s*[)\]}]", r" \1 ", counts)
    for part in re.split(r"\s*(?:,|;|&|\+|\band\b)\s*", counts):
        match = re.match(rf"(?:=\s*)?(\d+|{'|'.join(NUMBERS)})\s*(.*)$", part.strip())
        if match is None:
            continue
        value = number(match[1]) if not match[1].isdigit() else int(match[1][:12])
        what = re.sub(rf"{_TAIL}$", "", match[2].strip(" .")).strip()
        found.append(Printed(min(value, MOST_PLACES), unit_name(what, lexicon)))
    return tuple(found)


@lru_cache(maxsize=1024)
def unit_name(what: str, lexicon: Lexicon) -> str:
    """A unit in our words: a stitch by its US abbreviation, a figure by its own name, "sts",
    "ch-1 sps"; "" where nothing is said."""
    what = re.sub(r"\s+", " ", what)
    if re.fullmatch(r"sts?|stitch(?:es)?|places?", what):
        return "sts"
    space = re.fullmatch(r"ch(?:ain)?[\s-]*(\d*)[\s-]*(?:sps?|spaces?|loops?|lps?)", what)
    space = space or re.fullmatch(r"(\d)-?ch[\s-]*(?:sps?|spaces?)", what)
    if space is not None:
        return f"ch-{space[1]} sps" if space[1] else "ch sps"
    bare = re.sub(r"\s+(?:sts?|stitch(?:es)?)$", "", what)
    for name in (what, bare, bare.removesuffix("s"), bare.removesuffix("es")):
        known = _known(name, lexicon)
        if known:
            return known
    return what


def _known(name: str, lexicon: Lexicon) -> str:
    own = dict(lexicon.own)
    things = {**usual_groups(), **stitch_words(lexicon.terms), **own}
    thing = things.get(name)
    if thing is None:
        return ""
    return getattr(thing, "name", "") or getattr(thing, "kind", "") or ""
