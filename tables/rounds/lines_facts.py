"""What a pattern says of its gauge and measures: "11 dc = 4\\", 7 rounds = 4\\"", "for a head of
56 cm", "18\\", 19\\", 20\\" around when flat".

Lengths leave in centimetres, 1 in = 2.54 cm.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from itertools import pairwise

from .pattern import GaugeText, Measured, MeasureText, Terms, Where
from .reader_lexer import plain
from .steps import Stitch
from .vocabulary import stitch_words, words_pattern

_DIGITS = r"(?<![\d.])\d{1,6}"
_FRACTION = r"(?:1/2|[1-3]/4|[1-7]/8|(?:1[0-5]|[1-9])/16|(?:3[01]|[12]\d|[1-9])/32)(?![\d/])"
"""Part of an inch; "20/22" is a length for each of two sizes."""
_NUM = (
    rf"(?:{_DIGITS}(?:\s+|-){_FRACTION}|(?<![\d./]){_FRACTION}|{_DIGITS}(?:[.,]\d{{1,4}})?)(?!\d)"
)
_UNIT = r"(?:cms?\b|centimet(?:re|er)s?\b|in\.(?!\w)|ins?\b|inch(?:es)?\b|\"|'')"
_VULGAR = {"\u00bd": ".5", "\u00bc": ".25", "\u00be": ".75", "\u215b": ".125"}
_MANY = (
    rf"{_NUM}(?:\s?{_UNIT})?(?:\s?[(,/;\-]\s?{_NUM}(?:\s?{_UNIT})?){{0,12}}\s?{_UNIT}?\s?\)?"
    rf"\s?{_UNIT}?"
)

LONGEST_SENTENCE = 400
MOST_OF_A_LINE = 5000
_STOP = re.compile(
    r"(?<=[^\d\s])(?<!\bin)(?<!\bst)(?<!\bsts)(?<!\brnd)(?<!\bapprox)[.;]\s|(?<=\d)\.\s(?=[^\W\d])"
)


def sentences(text: str) -> list[str]:
    """The sentences of a line, single-spaced; what is too long for one is left out."""
    single = re.sub(r"\s+", " ", text[:MOST_OF_A_LINE])
    return [s for s in _STOP.split(single) if 0 < len(s) <= LONGEST_SENTENCE]


@cache
def _gauge_words(terms: Terms) -> re.Pattern[str]:
    names = words_pattern([w for w, s in stitch_words(terms).items() if s.name != "sl st"])
    return re.compile(
        rf"(?P<rows>{_NUM})\s*(?:rows?|rounds?|rnds?|rds?)\b(?:\s+(?:of|in)\s+(?P<rowst>{names})s?\b)?"
        rf"|(?P<sts>{_NUM})\s*(?P<st>sts?\b|stitch(?:es)?\b|(?:{names})s?\b)"
        rf"|(?P<len>{_NUM})\s*(?:{_UNIT}\s*(?=x\b|by\b))?(?:\s*(?:x|by)\s*{_NUM})?\s*(?P<unit>{_UNIT})"
        rf"|(?P<per>\bper|/|\bto\s+(?:the|an?)|\ban|\b(?:in|over)\s+(?:an|each|every))\s*(?P<perunit>{_UNIT})"
        rf"|\bin\s+(?P<inst>{names})s?\b"
    )


@dataclass
class _Gauge:
    stitches: float | None = None
    rounds: float | None = None
    over: float | None = None
    stitch: Stitch | None = None
    both: bool = False  # one length was given for stitches and rounds

    def full(self) -> bool:
        return self.stitches is not None or self.rounds is not None


_WORN = re.compile(
    r"\b(?:to\s+fit|fits?|finished|heads?)\b(?:\s+(?:sizes?|heads?|hats?|an?|of|about|is|up\s+to|"
    rf"circumference|a?round|measur\w+)\b|\W)*{_MANY}|{_MANY}\s*(?:heads?|a?round|circumference)\b"
)
"""A length of the piece or of a head, which is no gauge's."""


def gauges_in(text: str, terms: Terms, where: Where) -> list[GaugeText]:
    """The gauges a line states; [] if it states none."""
    return _gauges(_plain(text), terms, where)


def _gauges(lowered: str, terms: Terms, where: Where) -> list[GaugeText]:
    if not re.search(r"gauge|tension|swatch", lowered) and not _looks(lowered, terms):
        return []
    lowered = _WORN.sub(" ", lowered)
    found: list[_Gauge] = [_Gauge()]
    before: float | None = None
    for match in _gauge_words(terms).finditer(lowered):
        now = found[-1]
        if match["sts"]:
            if now.stitches is not None:
                found.append(now := _Gauge())
            now.stitches, now.over = _number(match["sts"]), now.over or before
            now.stitch = _stitch(match["st"], terms) or now.stitch
        elif match["rows"]:
            if now.rounds is not None:
                found.append(now := _Gauge())
            now.rounds, now.over = _number(match["rows"]), now.over or before
            now.stitch = now.stitch or _stitch(match["rowst"], terms)
        elif match["len"]:
            length = _number(match["len"]) * _cm(match["unit"])
            before = None if now.full() else length
            _measured(now, length)
        elif match["per"]:
            _measured(now, _cm(match["perunit"]))
        elif match["inst"]:
            now.stitch = _stitch(match["inst"], terms)
    return [
        GaugeText(g.stitches, g.rounds, g.over, g.stitch, where)
        for g in found
        if g.stitches is not None or (g.rounds is not None and g.over is not None)
    ]


def _measured(now: _Gauge, length: float) -> None:
    """A length after numbers: what they are measured over; another one later is the rounds'."""
    if not now.full():
        return
    if now.over is None:
        now.over, now.both = length, now.stitches is not None and now.rounds is not None
    elif now.rounds is not None and not now.both and abs(now.over - length) > 1e-9:
        now.rounds *= now.over / length


def _looks(lowered: str, terms: Terms) -> bool:
    """Whether a line without the word is about gauge: stitches with rounds or with a length."""
    kinds = set()
    for match in _gauge_words(terms).finditer(lowered):
        kinds |= {k for k in ("sts", "rows", "len") if match[k]}
        kinds |= {"len"} if match["per"] else set()
    if {"sts", "rows", "len"} <= kinds or _side_by_side(lowered, terms):
        return True
    joined = r"=|/|\bper\b|\bto\b|\bover\b|\bin\s+an\b"
    return {"sts", "len"} <= kinds and bool(re.search(joined, lowered))


def _side_by_side(lowered: str, terms: Terms) -> bool:
    """Whether stitches and rounds are set against one another: "19 sts x 21 rows"."""
    found = list(_gauge_words(terms).finditer(lowered))
    return any(
        bool((one["sts"] and other["rows"]) or (one["rows"] and other["sts"]))
        and re.fullmatch(r"\W*(?:x|by|and)?\W*", lowered[one.end() : other.start()]) is not None
        for one, other in pairwise(found)
    )


def _stitch(word: str | None, terms: Terms) -> Stitch | None:
    if not word:
        return None
    known = stitch_words(terms)
    word = re.sub(r"\s+", " ", word)
    return known.get(word) or known.get(word.removesuffix("s"))


def _number(text: str) -> float:
    text = text.replace(",", ".")
    if "/" not in text:
        return float(text)
    *whole, fraction = re.split(r"[\s-]+", text)
    above, below = fraction.split("/")
    return float(whole[0] if whole else 0) + (float(above) / float(below) if float(below) else 0)


def _cm(unit: str) -> float:
    return 1.0 if unit.startswith("c") else 2.54


def _plain(text: str) -> str:
    lowered = plain(text)
    for mark, value in _VULGAR.items():
        lowered = lowered.replace(mark, value)
    return lowered


_PIECE = r"(?:(?:flat\s+)?circle|disc|disk|piece|crown|hat|work|it|base|top|diameter|crochet|motif)"
_MEASURING = re.compile(
    rf"(?:(?<=[.;:)\]}}])|(?<=\d))\s*[(\[]?\s*(?:(?:the|your|this|at\s+this\s+point|now)\b,?\s*)*{_PIECE}\b"
    r"(?=[^*()\[\]]{0,120}?\b(?:measur\w*|across|diameter|wide|should\s+be|is\s+(?:now|about))\b)"
    rf"[^*()\[\]]{{0,60}}?{_NUM}\s*{_UNIT}(?!\s*(?:the|an?|next|each|every|same|first|last|all|ring|"
    r"back|front|sts?|ch)\b)[^*()\[\]{}]{0,80}[)\]]?\s*$"
)


def measuring(text: str) -> str:
    """The closing sentence of a round that tells how wide the piece is by now; "" if none."""
    found = _MEASURING.search(_plain(text))
    return text[found.start() :] if found is not None else ""


def without_measure(text: str) -> str:
    """The text with such a sentence blanked, the rest in its old columns."""
    said = measuring(text)
    return text[: len(text) - len(said)] + " " * len(said)


_IN_UNITS = (
    rf"{_NUM}(?:\s*\([\d.,;:/\s-]{{1,60}}\))?\s*-?{_UNIT}"
    r"(?!\s*(?:the|an?|next|each|every|same|first|last|all|ring|back|front|sts?|ch)\b)"
)
_TO_LENGTH = re.compile(
    rf"\s*,?\s*(?:\b(?:until|till)\b[^*()\[\]{{}};]{{0,80}}?(?:{_IN_UNITS}|\b(?:desired|required|"
    rf"correct)\s+(?:length|depth|height|size)\b|\blong\s+enough\b)|\bfor\s+(?:(?:about|another|a\s+further)"
    rf"\s+)*{_IN_UNITS}|\bto\s+(?:the\s+)?(?:desired|required)\s+(?:length|depth|height)\b)"
    r"(?:[^*()\[\]{};.]|\.(?=\d)|\([^()]*\d\s*(?:cm|mm|in|inch\w*|\")\.?\s*\))*"
)


def without_length(text: str) -> tuple[str, bool]:
    """The text without what says to which length a round is worked over and over ("until piece
    measures 7 in from the top"), the rest in its old columns; and whether there is any."""
    lowered = plain(text)
    for mark in _VULGAR:
        lowered = lowered.replace(mark, "5")  # any digit will do, so that columns stay
    found = _TO_LENGTH.search(lowered)
    if found is None:
        return text, False
    return text[: found.start()] + " " * len(found[0]) + text[found.end() :], True


_MEASURES: tuple[tuple[Measured, re.Pattern[str]], ...] = (
    ("across", re.compile(rf"(?P<v>{_MANY})\s*(?:across|(?:in\s+)?diameter|wide\b(?!\s+brim))")),
    (
        "across",
        re.compile(rf"(?:diameter|across)\W+(?:(?:of|is|about|approx\w*)\W+)*(?P<v>{_MANY})"),
    ),
    ("head", re.compile(rf"(?P<v>{_MANY})\s*(?:heads?\b)")),
    (
        "head",
        re.compile(
            rf"\bheads?\b(?:\s+(?:circumference|size|measurement))?(?:\W+|\s+(?:of|is|"
            rf"about|measuring|around|up\s+to)\b)+(?P<v>{_MANY})"
        ),
    ),
    ("around", re.compile(rf"(?P<v>{_MANY})\s*(?:(?:a?round\b)|(?:in\s+)?circumference)")),
    (
        "around",
        re.compile(
            rf"(?:circumference|band|a?round)\b(?:\W+|\s*(?:of|is|about|"
            rf"approx\w*|finished|:)\b)*\s*(?P<v>{_MANY})(?!\s*(?:deep|tall|high|long|across|wide|brim))"
        ),
    ),
    (
        "around",
        re.compile(
            rf"finished\b(?:\s+(?:size|measurements?|hat))?s?\W+(?P<v>{_MANY})"
            r"(?!\s*(?:deep|tall|high|long|across|wide))"
        ),
    ),
    ("around", re.compile(rf"^\W*sizes?\b[^:]*:\s*(?P<v>{_MANY})\W*$")),
    ("head", re.compile(rf"\b(?:to\s+fit|fits)\b\W+(?:about\s+|sizes?\s+)?(?P<v>{_MANY})")),
    ("brim", re.compile(rf"brim\b(?:\W+|\s+(?:is|of|about)\b)*(?P<v>{_MANY})")),
    ("brim", re.compile(rf"(?P<v>{_MANY})\s*(?:wide\s+|deep\s+)?brim\b")),
    ("depth", re.compile(rf"(?P<v>{_MANY})\s*(?:deep|tall|high|depth|height|long)\b(?!\s+brim)")),
    (
        "depth",
        re.compile(
            rf"(?:depth|height|tall|top\s+to\s+(?:edge|brim))\b(?:\W+|\s+(?:is|of)\b)*"
            rf"(?P<v>{_MANY})"
        ),
    ),
)


def measures_in(text: str, sizes: int, where: Where) -> list[MeasureText]:
    """The measures a line states; a range ("21-22 in") of one size is its middle."""
    lowered = _plain(text)
    if re.match(r"\W*(?:rep(?:eat)?|continue|work)\b.*\b(?:until|till)\b", lowered):
        return []  # an instruction, not a measure
    found = _after_rounds(lowered, where)
    taken: list[tuple[int, int]] = [span for span, _ in found]
    measures = [measure for _, measure in found]
    for what, pattern in _MEASURES:
        for match in pattern.finditer(lowered):
            span = match.span("v")
            if any(span[0] < b and a < span[1] for a, b in taken):
                continue
            values = _lengths(match["v"], sizes)
            if values is None:
                continue
            taken.append(span)
            wide = what == "across" and "wide" in match[0]
            if wide and re.search(r"\bbrim\b", lowered[: match.start()]):
                what = "brim"
            after = _after(lowered, match.start("v"), match.end())
            measures.append(MeasureText(what, values, after, where))
    return measures


_AFTER_ROUND = re.compile(
    r"(?<![a-z])(?:rnd|round|row|rd|r)\.?\s*(?P<rnd>\d{1,3})(?!\d|\s*-)[\s:,=-]+"
    r"(?:(?:it|the|your|disc|disk|circle|piece|work|crown|hat|should|now|is|be|will|measur\w*|about|"
    rf"approx\w*|to)\b[\s,.]*)*(?P<v>{_NUM}\s*{_UNIT})(?!\s*(?:a?round|tall|high|deep|long|head|brim))"
)


def _after_rounds(lowered: str, where: Where) -> list[tuple[tuple[int, int], MeasureText]]:
    """Discs measured after several rounds: "after rnd 5 it measures 4.5 in, after rnd 6 5 in"."""
    if not re.search(r"\bafter\b|\bend\s+of\b|\bmeasur|\bacross\b|\bdiameter\b", lowered):
        return []
    found = []
    for match in _AFTER_ROUND.finditer(lowered):
        values = _lengths(match["v"], 1)
        if values is not None:
            disc = MeasureText("across", values, int(match["rnd"]), where)
            found.append((match.span("v"), disc))
    return found


def _lengths(text: str, sizes: int) -> tuple[float, ...] | None:
    """The values of a list of lengths with one unit or one each; None without any unit."""
    units = re.findall(_UNIT, text)
    if not units:
        return None
    cm = _cm(units[-1])
    values = tuple(
        _number(n) * cm
        for n in re.findall(_NUM, re.sub(rf"(?<=\d)-(?!{_FRACTION})(?=\d)", " - ", text))
    )
    if not values or max(values) > 1000 or min(values) <= 0:
        return None
    if len(values) == 2 and sizes != 2 and "-" in text:
        return (sum(values) / 2,)
    return values


_THEN = re.compile(
    r"\s*(?:across|(?:in\s+)?diameter|wide)?\s*\(?(?:after|at|by|(?:at\s+)?(?:the\s+)?end\s+of)\s+"
    r"(?:the\s+)?(?:rnd|round|row|rd|r)\.?\s*(\d{1,6})(?=\s*(?:[.,;)]|$|and\b))"
)


def _after(lowered: str, before: int, behind: int) -> int | None:
    """The round a measure is taken after, said behind it or before it."""
    then = _THEN.match(lowered, behind)
    if then is not None:
        return int(then[1])
    rounds = re.findall(
        r"(?:after|at|end\s+of)?\s*(?:rnd|round|row|rd|r)\s*(\d+)", lowered[:before]
    )
    return int(rounds[-1][:6]) if rounds else None
