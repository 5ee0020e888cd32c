"""The words of the trade in both vocabularies, and which of the two a text is written in.

Stitches come from data/terms.csv; what is not there (post stitches, loops, groups with a usual
meaning, words for counting) stands here. All patterns are for lower-case text.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import cache, lru_cache

from evenround.tables.facts import table

from .pattern import Terms
from .steps import Bunch, Chain, Part, Picot, Several, Stitch

NUMBERS = {
    word: n
    for n, word in enumerate(
        [
            "one",
            "two",
            "three",
            "four",
            "five",
            "six",
            "seven",
            "eight",
            "nine",
            "ten",
            "eleven",
            "twelve",
            "thirteen",
            "fourteen",
            "fifteen",
            "sixteen",
            "seventeen",
            "eighteen",
            "nineteen",
            "twenty",
        ],
        start=1,
    )
}
OFTEN = {"once": 1, "twice": 2, "thrice": 3}
ORDINALS = {
    word: n
    for n, word in enumerate(
        [
            "first",
            "second",
            "third",
            "fourth",
            "fifth",
            "sixth",
            "seventh",
            "eighth",
            "ninth",
            "tenth",
            "eleventh",
            "twelfth",
            "thirteenth",
            "fourteenth",
            "fifteenth",
            "sixteenth",
            "seventeenth",
            "eighteenth",
            "nineteenth",
            "twentieth",
        ],
        start=1,
    )
}

NUMBER = r"(?:\d+|" + "|".join(sorted(NUMBERS, key=len, reverse=True)) + r")"
ORDINAL = r"(?:\d+(?:st|nd|rd|th)|" + "|".join(ORDINALS) + r")"


def number(word: str) -> int:
    """The number a word or figures stand for."""
    if word in OFTEN:
        return OFTEN[word]
    return NUMBERS[word] if word in NUMBERS else int(word)


def ordinal(word: str) -> int:
    """The number an ordinal stands for: "third", "3rd" -> 3."""
    return ORDINALS[word] if word in ORDINALS else int(re.sub(r"\D", "", word))


@dataclass(frozen=True, slots=True)
class Figure:
    """A group with a name: what is worked into one place."""

    name: str
    parts: tuple[Part, ...]


Thing = Stitch | Bunch | Picot | Figure


@cache
def stitch_words(terms: Terms) -> dict[str, Stitch]:
    """Every name of a stitch in ``terms``, lower case, with the stitch it means."""
    words: dict[str, Stitch] = {}
    for row in table("terms"):
        if not _is_stitch(row["us_abbr"]):
            continue
        for name in (row[f"{terms}_name"], row[f"{terms}_abbr"]):
            words[name] = Stitch(row["us_abbr"])
    if terms == "us":
        words |= {"trc": Stitch("tr"), "dble crochet": Stitch("dc")}
    else:
        words |= {"trtr": Stitch("dtr"), "htc": Stitch("hdc"), "half treble": Stitch("hdc")}
        words |= {"treble": Stitch("dc"), "double treble": Stitch("tr")}
        words |= {"triple treble": Stitch("dtr")}
    slip = Stitch("sl st")
    words |= dict.fromkeys(("sl st", "slst", "sl. st", "sl-st", "ss", "slip st", "sl"), slip)
    words |= {"slip-stitch": slip, "slip stitche": slip}
    words |= _reversed(words)
    return {word: stitch for word, stitch in words.items() if word}


def _is_stitch(abbr: str) -> bool:
    return abbr not in {"ch", "sk", "gauge", "yo", "rnd"}


def _reversed(words: dict[str, Stitch]) -> dict[str, Stitch]:
    """The crab stitch, and stitches about a post or through one loop as one word."""
    more: dict[str, Stitch] = {}
    for word, stitch in words.items():
        if stitch.name == "sl st":
            continue
        if stitch.name == "sc":
            backwards = replace(stitch, name="reverse sc")
            more |= {f"reverse {word}": backwards, f"rev {word}": backwards}
            more |= {"crab stitch": backwards, "crab st": backwards}
        for side, short, loops in (("front", "fp", "fl"), ("back", "bp", "bl")):
            post = replace(stitch, post="front" if side == "front" else "back")
            for lead in (short, f"{short} ", f"{short}-", f"{side} post ", f"{side}-post "):
                more[lead + word] = post
            loop = replace(stitch, loop="front" if side == "front" else "back")
            for lead in (f"{loops}", f"{loops} ", f"{loops}o ", f"{loops}o-", f"{side} loop "):
                more[lead + word] = loop
            raised = f"r{word}{'f' if side == 'front' else 'b'}"
            more[raised] = post
    return more


@cache
def usual_groups() -> dict[str, Thing]:
    """Groups with their usual meaning, unless a pattern says otherwise: a shell is five doubles
    in one, a V two with a chain between, bunches as the trade commonly works them."""
    dc, hdc = Stitch("dc"), Stitch("hdc")
    vee = Figure("V", (Several(dc), Chain(1), Several(dc)))
    shell = Figure("shell", (Several(dc, 5),))
    fan = Figure("fan", (Several(dc, 5),))
    groups: dict[str, Thing] = {"shell": shell, "shell st": shell, "fan": fan}
    groups |= dict.fromkeys(("v", "v st", "v-st", "vst", "v stitch", "v-stitch"), vee)
    groups |= dict.fromkeys(("puff", "puff st", "puff stitch"), Bunch("puff", hdc, 3))
    groups |= dict.fromkeys(("bobble", "bobble st", "bobble stitch"), Bunch("bobble", dc, 5))
    groups |= dict.fromkeys(("popcorn", "popcorn st", "pop"), Bunch("popcorn", dc, 5))
    groups |= dict.fromkeys(("cluster", "cl", "clus"), Bunch("cluster", dc, 3))
    groups["picot"] = Picot(3)
    return groups


def words_pattern(words: Iterable[str]) -> str:
    """An alternation of words, longer ones first, spaces free; "" for none."""
    return _alternation(tuple(words))


_Tree = dict[str, "_Tree"]


@lru_cache(maxsize=256)
def _alternation(words: tuple[str, ...]) -> str:
    """What several words begin with stands once: written out, the names of stitches make
    patterns that take half a second to compile."""
    tree: _Tree = {}
    for word in words:
        node = tree
        for mark in (*word, ""):
            node = node.setdefault(mark, {})
    return _branches(tree)


def _branches(tree: _Tree) -> str:
    """The ways on from here; "" ends a word."""
    marks = ((r"\s+" if mark == " " else re.escape(mark), on) for mark, on in tree.items() if mark)
    ways = [mark + _branches(on) for mark, on in marks]
    if len(ways) <= ("" not in tree):
        return "".join(ways)
    return f"(?:{'|'.join(ways)}){'?' * ('' in tree)}"


_SAID = re.compile(
    r"\b(u\.?s\.?a?|u\.?k\.?|american|british|english)\b[\s-]*(?:\w+\s+)?"
    r"(?:terms?|terminology|vocabulary|abbreviations|words|notation)|"
    r"(?:terms|terminology|vocabulary)\W{1,3}(us|uk|american|british)\b"
)
_US_WORDS = re.compile(
    r"(?<![a-z])(?:(?:fp|bp|bl|fl)?(hdc|sc)(?:\d+tog|s)?(?![a-z])|"
    r"(single crochets?|half double crochets?)\b)"
)
_UK_WORDS = re.compile(r"(?<![a-z])(htr|dtr|trtr|ttr|half trebles?|double trebles?|yoh)\b")
_WEAK_US = re.compile(r"(?<![a-z])(sk|skip|gauge|sl st)\b")
_WEAK_UK = re.compile(r"(?<![a-z])(miss|ss|tension|tr)\b")
_HEIGHT = re.compile(
    r"(?:\bch\s*(?P<n>[34])|\b(?P<n2>[34])\s*-?ch)\b[^.;*]{0,20}?\b(?:counts?|stands?|is|=)"
    r"[^.;*]{0,20}?\b(?:1|an?|first|one)?\s*(?P<stitch>dc|tr)\b(?!\d)"
)
"""A chain that counts as a stitch: 3 chains are as high as the US dc, which is the UK tr."""


_OUTRIGHT = re.compile(
    r"(?:^|[,;:.(\[/|\u2013\u2014-])\s*(?:in\s+)?(U\.?K|U\.?S(?:\.?A)?)\.?\s*(?=$|[,;:.)\]|\u2013\u2014])",
    re.MULTILINE,
)


def said_outright(header: str) -> Terms | None:
    """The vocabulary that "UK" or "US" names as a word of its own in what stands before the
    rounds, in the pattern's own capitals ("Two-tone bag, UK."); None if none or both."""
    said = {word.replace(".", "")[:2].lower() for word in _OUTRIGHT.findall(header)}
    return None if len(said) != 1 else ("uk" if "uk" in said else "us")


def guess_terms(text: str, header: str = "") -> tuple[Terms, str]:
    """Which vocabulary a lower-case text is written in, and what gave it away. ``header``: what
    stands before the rounds, as written."""
    said = _SAID.search(text)
    outright = said_outright(header) if said is None else None
    other = {"uk": _US_WORDS, "us": _UK_WORDS}
    if outright is not None and other[outright].search(text) is None:
        return outright, f"the pattern says {outright.upper()}"
    if said is not None:
        us = (said[1] or said[2]).replace(".", "").startswith(("us", "am"))
        return ("us", "the pattern says US terms") if us else ("uk", "the pattern says UK terms")
    us_word, uk_word = _US_WORDS.search(text), _UK_WORDS.search(text)
    if us_word is not None:
        word = us_word[1] or us_word[2]
        return "us", f'"{word}" is a US word'
    if uk_word is not None:
        why = "is a UK word" if uk_word[0] != "dtr" else "beside no US word suggests UK terms"
        return "uk", f'"{uk_word[0]}" {why}'
    height = _HEIGHT.search(text)
    if height is not None:
        three = (height["n"] or height["n2"]) == "3"
        chains = f"a chain of {3 if three else 4} that counts as {height['stitch']}"
        if three or height["stitch"] == "tr":
            us = three == (height["stitch"] == "dc")
            return ("us" if us else "uk"), f"{chains} is the {'US' if us else 'UK'} stitch's height"
    weak_us, weak_uk = _WEAK_US.search(text), _WEAK_UK.search(text)
    if weak_uk is not None and weak_us is None:
        return "uk", f'no word is sure; "{weak_uk[0]}" suggests UK terms'
    if weak_us is not None and weak_uk is None:
        return "us", f'no word is sure; "{weak_us[0]}" suggests US terms'
    return "us", "nothing tells; taken as US terms"


def us_name(word: str, terms: Terms) -> str | None:
    """The US abbreviation of a stitch's name in ``terms``; None if it is not one."""
    stitch = stitch_words(terms).get(word) or stitch_words(terms).get(word.removesuffix("s"))
    return None if stitch is None else stitch.name
