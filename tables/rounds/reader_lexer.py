"""An instruction's text as ready-made words of the trade, for the grammar.

The text is lower-cased mark by mark, so that every word keeps its column. A word that is not
known stops the reading: nothing is passed over in silence but articles and the remarks named in
reader_words.py.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from lark import Token

from .counter import DEEPEST, MOST_PLACES
from .pattern import Terms
from .reader_error import ReadError
from .reader_phrases import Known, phrase_at
from .steps import Bunch, Chain, Part, Picot, Several, Stitch
from .vocabulary import (
    NUMBERS,
    OFTEN,
    Figure,
    Thing,
    number,
    ordinal,
    stitch_words,
    usual_groups,
)

LONGEST_NUMBER = 9
FIRST_CHAIN = -1
"""In place of a chain counted from the hook: "the first ch", which may be all of the ring or only
the first of many."""
_SAME = str.maketrans(
    "\u00d7\u2715\u2716\u2010\u2011\u2012\u2013\u2014\u2212\u2018\u2019\u201c\u201d\u2033\u2032\u00a0\u2217\uff0a\u2022",
    "xxx------''\"\"\"' ***",
)


_ESCAPED = re.compile(r"\\(?=[*_()\[\]{}#.+!|-])")
"""The stroke that keeps a mark a mark in marked-up text."""


def plain(text: str) -> str:
    """Lower case and typewriter marks, every mark in its old column."""
    text = _ESCAPED.sub(" ", text) if "\\" in text else text
    if text.isascii():
        return text.lower()
    lowered = "".join(c.lower() if len(c.lower()) == 1 else c for c in text)
    return lowered.translate(_SAME)


class Word(Token):
    """A terminal with what it means: a number, a stitch, a group ..."""

    meaning: object


@dataclass(frozen=True)
class Increase:
    """The word for an increase; ``stitch`` None: whatever the round is worked in."""

    stitch: Stitch | None = None
    n: int = 2


@dataclass(frozen=True)
class Decrease:
    """The word for a decrease of ``legs`` places into one."""

    stitch: Stitch | None = None
    legs: int = 2


@dataclass(frozen=True)
class Often:
    """How often something is worked: ``more`` true: more after the first; None: left open."""

    n: int
    more: bool | None = False


@dataclass(frozen=True)
class Space:
    """A chain space, of so many chains where that is said, of each group where that is."""

    chains: int | None = None
    each: bool = False


@dataclass(frozen=True)
class Nth:
    """Every nth place; ``other``: said as "every other", which may mean every one left."""

    nth: int
    other: bool


Own = Thing | Increase | Decrease


@dataclass(frozen=True)
class Lexicon:
    """The words one pattern uses: its vocabulary and the names it defines, lower case."""

    terms: Terms
    own: tuple[tuple[str, Own], ...] = ()


@lru_cache(maxsize=64)
def _known(lexicon: Lexicon) -> Known:
    """The words the phrases are filled in with."""
    own = tuple(word for word, _ in lexicon.own)
    return Known(tuple(stitch_words(lexicon.terms)), (*_groups(lexicon), *own), own)


@lru_cache(maxsize=64)
def _groups(lexicon: Lexicon) -> dict[str, Thing]:
    own = {w: t for w, t in lexicon.own if not isinstance(t, Increase | Decrease)}
    return {**usual_groups(), **own}


def words(text: str, lexicon: Lexicon) -> list[Token]:
    """The words of one instruction. Raises ReadError at what is not a word of the trade."""
    lowered = plain(text)
    found: list[Token] = []
    at, depth = 0, 0
    while at < len(lowered):
        kind, match = phrase_at(lowered, at, _known(lexicon))
        if match is None or match.end() == at:
            raise ReadError(f'"{_word_at(text, at)}" is not a word this reader knows', at + 1)
        kind, exact = _in_context(kind, match, found, lowered, at)
        end = match.end() if exact is None else exact.end()
        if kind not in ("NOTE", "_SEP") and exact is not None:
            depth += (kind == "OPEN") - (kind == "CLOSE")
            if depth > DEEPEST:
                raise ReadError(f"brackets more than {DEEPEST} deep", at + 1)
            found.extend(_meant(kind, exact, lexicon, at))
        elif kind == "_SEP":
            found.append(Token("_SEP", ",", start_pos=at))
        at = end
    return found


_STAR_TIMES = re.compile(r"\*\s*(?P<times>\d+)(?=\s*(?:times\b|[.,;)\]}(\[]|$))")
_CHAIN = re.compile(r"ch(?:ain)?\s*-?\s*")
_DIGITS = re.compile(r"\d+")
_MAKE = re.compile(r"(?:make|work)\s+")
_AND = re.compile(r"and\b|or\b|&")


def _in_context(
    kind: str, exact: re.Match[str] | None, found: list[Token], lowered: str, at: int
) -> tuple[str, re.Match[str] | None]:
    """What a phrase is where it stands: chains closed into a ring only begin a piece, a picot
    never does; "and ch-1 sp" goes on only from "in each st"; ") * 6" says how often."""
    begun = any(token.type not in ("_SEP", "RING") for token in found)
    if kind == "MAKE_RING" and begun:
        if lowered[at].isdigit():
            return "NUM", _DIGITS.match(lowered, at)
        if lowered.startswith(("make", "work"), at):
            return "NOTE", _MAKE.match(lowered, at)
        return "CH", _CHAIN.match(lowered, at)
    if kind == "RING" and lowered.startswith("loop", at) and _one_of_many(found):
        return "SPACE", exact
    if kind == "PICOT" and not begun and exact is not None:
        return "MAKE_RING", exact
    if kind == "SAY" and lowered.startswith(("as", "for", "="), at) and not _after_chain(found):
        return "NOTE", exact
    if kind == "AND_UNIT" and not _after_each(found):
        return "_SEP", _AND.match(lowered, at)
    if kind == "STAR" and found and found[-1].type == "CLOSE":
        times = _STAR_TIMES.match(lowered, at)
        return ("TIMES", times) if times is not None else (kind, exact)
    return kind, exact


def _one_of_many(found: list[Token]) -> bool:
    """Whether "each", "next" or a number stands before: "loop" is then a chain space, no ring."""
    before = found[-1].type if found else ""
    return before in ("EACH", "NEXT", "FIRST", "LAST", "OTHERS", "NTH", "SAME", "NUM")


def _after_chain(found: list[Token]) -> bool:
    """Whether a chain was said just now."""
    ends = [token.type for token in found[-2:]]
    return ends[-1:] == ["CH"] or ends == ["CH", "NUM"]


def _after_each(found: list[Token]) -> bool:
    """Whether the place being said began with "each"."""
    for token in reversed(found):
        if token.type == "EACH":
            return True
        if token.type not in ("UNIT", "STITCH", "CH", "SPACE", "AND_UNIT", "GROUP"):
            return False
    return False


def _word_at(text: str, at: int) -> str:
    match = re.match(r"\w+[\w'-]*|\S", text[at:])
    return match[0] if match else text[at]


def _meant(kind: str, match: re.Match[str], lexicon: Lexicon, at: int) -> list[Token]:
    """The word or words a phrase stands for."""
    meaning: object = match[0]
    before: list[Token] = []
    groups = match.groupdict()
    if kind == "OWN":
        meaning = dict(lexicon.own)[_key(match["own"])]
        kind = _kind_of(meaning)
    elif kind == "STITCH":
        meaning = _stitch(match["stitch"], lexicon)
    elif kind == "GROUP":
        meaning = _group(match, lexicon)
    elif kind == "INCREASE":
        meaning = _increase(groups, lexicon)
    elif kind in ("TOGETHER", "BEGUN"):
        meaning = _decrease(groups, lexicon)
    elif kind == "EVENLY":
        meaning = _changes(groups, at)
    elif kind == "NUM":
        meaning = _number(match[0], at)
    elif kind == "TIMES":
        meaning = _often(groups, at)
    elif kind == "SPACE":
        each = groups.get("det") is not None and "next" not in (groups["det"] or "")
        chains = groups.get("chains")
        meaning = Space(number(chains) if chains else None, each)
    elif kind == "NTH":
        meaning = _nth(groups)
    elif kind == "LOOP":
        said = groups.get("loop") or groups.get("loop2") or groups.get("loop3") or ""
        meaning = {"f": "front", "b": "back"}.get(said, said)
    elif kind == "POST":
        meaning = match["post"]
    elif kind == "OMIT":
        meaning = _stitch(match["omit"], lexicon)
    elif kind == "TO_LAST":
        if groups.get("of"):
            raise ReadError("say how many stitches are left, not figures or spaces", at + 1)
        left = groups.get("left") or groups.get("left2")
        meaning = _number(left, at) if left else 1
    elif kind == "BEGIN":
        before, kind, meaning = [_word("CH", "ch", None, at)], "NUM", 1
    elif kind == "LEAVE":
        n = groups.get("n") or groups.get("n2")
        meaning = _number(n, at) if n else None
    elif kind == "FROM_STAR":
        meaning = match["star"]
    elif kind == "MAKE_RING":
        meaning = _number(
            groups.get("ring") or groups.get("ring2") or groups.get("picot") or "", at
        )
    elif kind == "PICOT_OF":
        kind, meaning = "GROUP", Picot(_number(groups.get("of") or match["of2"], at))
    elif kind == "PICOT":
        kind, meaning = "GROUP", Picot(_number(match["picot"], at))
    elif kind == "RING":
        meaning = ordinal(match["hook"]) if groups.get("hook") else 0
        meaning = FIRST_CHAIN if groups.get("one") else meaning
    elif kind == "AND_UNIT":
        meaning = Space(int(groups["unit"]) if groups.get("unit") else None)
    elif kind == "MIDDLE":
        meaning = bool(groups.get("middle"))
        if groups.get("nth") and not _is_middle(match, lexicon):
            raise ReadError("a place in a figure that is not its middle", at + 1)
    return [*before, _word(kind, match[0], meaning, at)]


def _is_middle(match: re.Match[str], lexicon: Lexicon) -> bool:
    """Whether the nth stitch of a figure is its middle one."""
    thing = _groups(lexicon)[_key(match["of"])]
    places = sum(p.n for p in parts_of(thing) if not isinstance(p, Picot))
    return 2 * ordinal(match["nth"]) == places + 1


def _kind_of(meaning: object) -> str:
    if isinstance(meaning, Increase):
        return "INCREASE"
    return "TOGETHER" if isinstance(meaning, Decrease) else "GROUP"


def _word(kind: str, text: str, meaning: object, at: int) -> Word:
    word = Word(kind, text, start_pos=at)
    word.meaning = meaning
    return word


def _key(text: str) -> str:
    return re.sub(r"\s+", " ", text)


def _stitch(text: str, lexicon: Lexicon) -> Stitch:
    return stitch_words(lexicon.terms)[_key(text)]


def _group(match: re.Match[str], lexicon: Lexicon) -> Thing:
    thing = _groups(lexicon)[_key(match["group"])]
    if match["of"] is None:
        return thing
    n, stitch = _number(match["of"], match.start()), _stitch(match["st"], lexicon)
    if isinstance(thing, Bunch):
        return Bunch(thing.kind, stitch, n)
    if isinstance(thing, Figure):
        return Figure(thing.name, (Several(stitch, n),))
    return thing


def _increase(groups: dict[str, str | None], lexicon: Lexicon) -> Increase:
    name = groups.get("inc") or groups.get("inc2") or groups.get("inc3")
    n = groups.get("n") or groups.get("n2") or groups.get("n3")
    return Increase(_stitch(name, lexicon) if name else None, int(n) if n else 2)


def _decrease(groups: dict[str, str | None], lexicon: Lexicon) -> Decrease:
    name, legs = groups.get("tog"), groups.get("legs")
    stitch = stitch_words(lexicon.terms).get(_key(name)) if name else None
    return Decrease(stitch, number(legs) if legs else 2)


def _changes(groups: dict[str, str | None], at: int) -> int:
    """Increases spread over the round; decreases are below 0."""
    said = {key[0]: value for key, value in groups.items() if value is not None}
    if "n" not in said:
        raise ReadError("say how many to increase or decrease, not to what count", at + 1)
    n = _number(said["n"] or "", at)
    if n == 0:
        raise ReadError("none of a stitch", at + 1)
    return -n if (said["w"] or "").startswith("dec") else n


def _often(groups: dict[str, str | None], at: int) -> Often:
    more = any(groups.get(name) for name in ("more", "more2", "more3"))
    said = True if more else (False if groups.get("all") else None)
    return Often(_number(groups["times"] or "1", at), said)


def _nth(groups: dict[str, str | None]) -> Nth:
    if groups.get("nth"):
        n = ordinal(groups["nth"] or "")
        return Nth(n, n == 2)
    return Nth(2, True)


def _number(text: str, at: int) -> int:
    """A number within what a round can have."""
    if text not in NUMBERS and text not in OFTEN:
        if len(text.lstrip("0")) > LONGEST_NUMBER or int(text) > MOST_PLACES:
            raise ReadError(f"{text[:12]} is more than {MOST_PLACES:,}", at + 1)
        return int(text)
    return number(text)


def parts_of(thing: Thing) -> tuple[Part, ...]:
    """What a thing is as part of a group."""
    if isinstance(thing, Figure):
        return thing.parts
    return (thing,) if isinstance(thing, Picot | Chain) else (Several(thing),)
