"""What a pattern names for itself: its sizes, and its own words for stitches and groups
("CS = 5 dc in one place", "inc = 2 dc in one st", "dec = 2 sts worked as one").
"""

from __future__ import annotations

import re

from .lines_facts import sentences
from .reader_error import ReadError
from .reader_lexer import Decrease, Increase, Lexicon, Own, plain
from .reader_steps import Settings, read_instruction
from .steps import Bunch, Chain, Into, Join, Part, Picot, Several, Step, Stitch, Together, Work
from .vocabulary import NUMBER, Figure, stitch_words, usual_groups

_DEFINED = re.compile(
    r"(?:\*|-|special\s+(?:stitch(?:es)?|sts?)\s*:)?\s*"
    r"(?P<name>[a-z0-9][a-z0-9 '/-]{0,28}?)\s*(?:\((?P<short>[a-z0-9 -]{1,12})\))?\s*"
    r"(?:=|:|\s-+\s|\bmeans\b|\bis\b)\s*(?P<body>\S.*)$"
)
_PLACES = (
    r"(?:places?|sts?|stitch(?:es)?|sps?|spaces?|loops?|ch(?:ain)?[\s-]*\d*[\s-]*(?:sps?|spaces?))"
)
_ONE_PLACE = re.compile(
    r"\s*(?:,\s*)?(?:all\s+)?(?:worked\s+)?\b(?:in(?:to)?)\s+(?:the\s+)?(?:one|same|a|1|next|single|"
    r"indicated|specified|given|each)\b(?:\s+(?:same|indicated|specified|given|next|single))?\s*"
    rf"{_PLACES}?(?:\s*(?:or|/)\s*{_PLACES})*(?:\s+(?:indicated|specified|given))?\s*$"
)
_PLAIN_WORDS = re.compile(
    r"(?:st|sts|stitch|stitches|ch|chs|chain|rnd|rnds|round|rounds|row|rows|rep|repeat|sk|skip|"
    r"beg|sp|sps|yo|rs|ws|tog|gauge|tension|size|sizes|hook|yarn|note|notes|materials|measures|"
    r"finished size|abbreviations|mr|pm|sm|blo|flo|bl|fl|rem|prev|cm|in|mm|approx|terms|us|uk)"
)


_NEXT_NAME = re.compile(
    r"; "
    r"|[.,]\s+(?=[A-Za-z][\w/-]{0,20}(?:\s+[\w-]{1,12}){0,2}\s*=\s)"
    r"|(?<=st)\.\s+(?=[A-Za-z][\w -]{0,24}:\s)"
)
"""Where a sentence that defines several words goes on to the next: "AA = 3 dc in one st. BB =
2 dc in one st"."""


_BEGINNING = re.compile(r"(?:beg(?:inn?ing)?|start(?:ing)?|initial)\.?[ -]")
"""A first figure, begun with a chain ("beg V-st"): the reader knows it by the figure's name."""


def definitions_in(text: str, lexicon: Lexicon) -> list[tuple[str, Own]]:
    """The words a line defines, with what they stand for; [] if it defines none."""
    found: list[tuple[str, Own]] = []
    for sentence in (part for s in sentences(text) for part in _NEXT_NAME.split(s)):
        match = _DEFINED.fullmatch(plain(sentence).strip(" .*-"))
        if match is None or _PLAIN_WORDS.fullmatch(match["name"]):
            continue
        name = re.sub(r"\s+", " ", match["name"])
        if name in stitch_words(lexicon.terms) or _BEGINNING.match(name):
            continue
        written = _written(text, name)
        meaning = _meaning(name, written, match["body"].strip(" .()"), lexicon)
        if meaning is None:
            continue
        found.append((name, meaning))
        if match["short"]:
            found.append((match["short"].strip(), meaning))
    return found


def _written(text: str, name: str) -> str:
    """The name as the pattern writes it; a capital that only begins a line is dropped."""
    at = plain(text).find(name)
    written = text[at : at + len(name)]
    if written.istitle() and len(written) > 2:
        return written.lower()
    return written


def _meaning(name: str, written: str, body: str, lexicon: Lexicon) -> Own | None:
    increase = re.search(r"\binc", name)
    if re.match(r"(?:an?\s+)?inc(?:rease)?\b", body):
        stitch = next(
            (
                s
                for w, s in stitch_words(lexicon.terms).items()
                if re.search(rf"(?<![a-z]){re.escape(w)}(?![a-z])", name)
            ),
            None,
        )
        return Increase(stitch)
    if re.match(r"(?:an?\s+)?dec(?:rease)?\b", body):
        return Decrease(None)
    one_place = _ONE_PLACE.search(body)
    steps = _steps(body[: one_place.start()] if one_place else body, lexicon)
    if steps is None:
        return None
    if len(steps) == 1 and isinstance(steps[0], Together):
        return _drawn(name, steps[0], one_place is not None, body)
    if _is_picot(steps):
        first = steps[0]
        return Picot(first.n) if isinstance(first, Chain) else None
    grouped = name in usual_groups() or body.startswith("(")
    single = len(steps) == 1 and isinstance(steps[0], Into)
    if one_place is None and not grouped and not single:
        return None
    parts = _parts(steps)
    if parts is None:
        return None
    only = parts[0] if len(parts) == 1 else None
    if isinstance(only, Several) and isinstance(only.stitch, Stitch) and increase:
        return Increase(only.stitch, only.n)
    return Figure(written, parts)


def _drawn(name: str, step: Together, one_place: bool, body: str) -> Own | None:
    """Stitches drawn together: over several places a decrease, from one a bunch."""
    if one_place or re.search(r"\b(?:cl|clus|cluster|bobble|puff|popcorn)", name):
        kind = next((k for k in ("bobble", "puff", "popcorn") if k in name), "cluster")
        return Bunch(kind, step.stitch, step.legs)
    stitch = step.stitch if re.search(r"tog", body) and "st" not in body.split()[:2] else None
    return Decrease(stitch, step.legs)


def _steps(body: str, lexicon: Lexicon) -> tuple[Step, ...] | None:
    body = body.strip(" ,.")
    if body.startswith("(") and body.endswith(")"):
        body = body[1:-1]
    if body.count("(") != body.count(")"):
        body = body.strip("()")
    try:
        return read_instruction(body, Settings(lexicon, inner=True, pairs="plain")).steps
    except ReadError:
        return None


def _is_picot(steps: tuple[Step, ...]) -> bool:
    """Chains closed by a slip stitch."""
    if len(steps) != 2 or not isinstance(steps[0], Chain):
        return False
    second = steps[1]
    return isinstance(second, Join) or (
        isinstance(second, Work) and second.stitch == Stitch("sl st")
    )


def _parts(steps: tuple[Step, ...]) -> tuple[Part, ...] | None:
    parts: list[Part] = []
    for step in steps:
        match step:
            case Work(stitch=stitch, n=int(n)) if n <= 100:
                parts.append(Several(stitch, n))
            case Into(parts=more, times=1):
                parts.extend(more)
            case Chain() | Picot():
                parts.append(step)
            case _:
                return None
    return tuple(parts) if any(isinstance(p, Several) for p in parts) else None


_NAME = (
    r"(?!(?:worked|working|joined|made|top|spiral|from|with|using|in|crochet\w*|bottom|finished|to|"
    r"hooks?|yarns?|gauge|tension|shown|written|see|and)\b)"
    r"[a-z0-9][\w./+]*(?:\s*-\s*[a-z0-9][\w./+]*)?(?:\s+(?:months?|mos?|years?|yrs?|y|m)\b)?"
)
_LAST = rf"(?:\s*,?\s*(?:and|&)\s+{_NAME}(?=\s*(?:[.,;:)\]]|$)))"
_REST = (
    rf"(?P<rest>(?:\s*[,(/;\[]\s*(?!and\b){_NAME}(?:\s*[-,;/]\s*(?!and\b){_NAME})*"
    rf"(?:{_LAST}(?=\s*[)\]]))?\s*[)\]]?)+{_LAST}?)"
)
_AGE = r"\d{1,2}(?:\s*-\s*\d{1,2})?\s*(?:months?|mos?|years?|yrs?|y|m)\b"
_SIZES = re.compile(
    rf"(?:(?<!hook )(?<!needle )\bsizes?\b\s*(?:are|:|=|\s)?|\bages\b)\s*(?:ages?\s+)?"
    rf"(?:[(\[]?\s*)(?P<first>{_NAME})\s*"
    rf"(?:{_REST}|(?<=[\w)])(?P<last>{_LAST}))"
)
_SO_MANY = re.compile(
    rf"\b{NUMBER}[\s-]sizes?\b[^:.]{{0,40}}:\s*(?P<first>{_NAME})\s*(?:{_REST}|(?P<last>{_LAST}))"
)
_FOR = re.compile(
    r"\b(?:for|fits?)\s+(?:an?\s+|the\s+)?(?:bab(?:y|ies)|toddlers?|child(?:ren)?|kids?|adults?)\s+"
    rf"(?:aged?\s+|of\s+)?(?P<first>{_AGE})\s*(?P<rest>(?:\s*[,(/;\[]\s*{_AGE}\s*[)\]]?)+)"
)
"""Ages after what they are of: "for baby 0-3 months (3-6 months)"."""
_LENGTH = r"\(?\s*\d{1,3}(?:[.,]\d{1,2})?\s*(?:\"|''|cm\b|in\b\.?|inch(?:es)?\b)\s*\)?"
_MEASURED = re.compile(
    rf"\bsizes?\b\s*[:=]?\s*(?P<all>[a-z][\w/+-]*\s*:?\s*{_LENGTH}"
    rf"(?:\s*[,;/]\s*(?:and\s+)?[a-z][\w/+-]*\s*:?\s*{_LENGTH})+)"
)
"""Sizes, each with a length: 'sizes: Child 20", Teen 21"'."""
_TERMS = re.compile(
    r"\s*[,;]?\s*\(?\b(?:u\.?s\.?a?|u\.?k\.?|american|british)\b\.?(?:\s+(?:crochet\s+)?"
    r"(?:terms?|terminology|abbreviations))?\s*\)?"
)
"""A word on the vocabulary in a list of sizes."""
_PLAIN_SIZES = re.compile(
    r"(?<![\w])(?P<all>(?:xxs|xs|s|m|l|xl|xxl|small|medium|large|baby|toddler|child|adult|newborn|"
    r"preemie|teen)(?:\s*[(,/;\-|]\s*(?:xxs|xs|s|m|l|xl|xxl|\dxl|small|medium|large|baby|toddler|"
    r"child|adult|newborn|preemie|teen)\b\)?){1,9})"
)


def sizes_in(text: str) -> tuple[str, ...]:
    """The sizes a line names, smallest first as it lists them; () if it names none."""
    for sentence in sentences(text):
        found = _sizes(sentence)
        if found:
            return found
    return ()


_COLONS = re.compile(rf"(?<=[(\[])\s*{_NAME}(?:\s*[:,;/]\s*{_NAME})+\s*(?=[)\]])")


def _with_commas(lowered: str) -> str:
    """ "s (m: l)" as "s (m, l)"; "(s: 50, m: 55)" gives each size a number and stays."""

    def parted(match: re.Match[str]) -> str:
        digits = {part.strip().isdigit() for part in re.split(r"[:,;/]", match[0])}
        return match[0].replace(":", ",") if len(digits) == 1 else match[0]

    return _COLONS.sub(parted, lowered)


def _sizes(text: str) -> tuple[str, ...]:
    lowered = _TERMS.sub(lambda found: " " * len(found[0]), _with_commas(plain(text)))
    listed = _PLAIN_SIZES.fullmatch(lowered.strip(" .:"))
    if (
        not re.search(r"\bsizes?\b|\bto\s+fit\b|\bfits\b|\bages\b|\bfor\b", lowered)
        and listed is None
    ):
        return ()
    measured = _MEASURED.search(lowered)
    if measured is not None:
        return _measured_names(text[measured.start("all") : measured.end("all")])
    match = _SO_MANY.search(lowered) or _FOR.search(lowered) or _SIZES.search(lowered)
    alone = match is not None and match["first"] and match.groupdict().get("last")
    if alone and not re.search(r"\bsizes\b|\bages\b|-size\b", lowered):
        match = None  # "size 4 and ..."
    if match is not None and not re.search(r"\bonly\b", lowered):
        start, end = match.start("first"), match.end()
        names = _split_names(text[start:end], lowered[start:end])
        if re.match(_LENGTH_UNIT, lowered[end:]):
            words = tuple(n for n in names if not re.fullmatch(r"\d+(?:\.\d+)?", n))
            names = words or names  # "small (medium), 18 (20) in"
        if 2 <= len(names) <= 20 and not _lengths_only(names, lowered[end:]):
            return names
    bare = _PLAIN_SIZES.search(lowered)
    if bare is not None and (listed or re.search(_TOLD, lowered)):
        names = _split_names(text[bare.start() : bare.end()], bare[0])
        return names if len(names) >= 2 else ()
    return ()


_LENGTH_UNIT = r"\s*(?:\"|in\b|inch|cm)"
_TOLD = r"\bsizes?\b|\bto\s+fit\b|\bfits\b"


def _measured_names(text: str) -> tuple[str, ...]:
    """The names in a list that gives each size a length."""
    parts = re.split(r"\s*[,;/]\s*(?:and\s+)?(?=[A-Za-z])", text)
    return tuple(re.split(r"[\s:(]", part)[0] for part in parts)


def _split_names(text: str, marked: str) -> tuple[str, ...]:
    """The names in a list; ``marked`` is the same text with its commas where colons stood."""
    text = "".join(m if m in ", " else c for c, m in zip(text, marked, strict=True))
    text = re.sub(r"\s*,?\s+(?:and|&)\s+", ", ", text, flags=re.IGNORECASE).strip(" ()[]")
    if re.fullmatch(r"[a-z]+(?:-[a-z]+){2,}", text, re.IGNORECASE):
        return tuple(text.split("-"))  # "S-M-L-XL"
    # "2 (4-6-8-10)" lists sizes with dashes; "0-3 months (3-6 months)" has them inside names
    inside = re.search(r"[(\[]([^()\[\]]*)", text)
    dashes = inside is not None and "," not in text and inside[1].count("-") >= 1
    months = re.search(r"month|mos?\b|years?|yrs?", text, re.IGNORECASE)
    splitter = r"\s*[,;/()\[\]]\s*" if months or not dashes else r"\s*[-,;/()\[\]]\s*"
    return tuple(n for n in (p.strip(" .") for p in re.split(splitter, text)) if n)


def _lengths_only(names: tuple[str, ...], after: str) -> bool:
    """Whether a list after "sizes" is of lengths, not names."""
    return all(re.fullmatch(r"\d+(?:\.\d+)?", n) for n in names) and bool(
        re.match(_LENGTH_UNIT, after)
    )


def match_sizes(names: str, sizes: tuple[str, ...]) -> tuple[str, ...] | None:
    """The sizes of the pattern that a restriction names ("M (L)", "6, 8, 10", "M and up"); None
    if it names one the pattern does not have."""
    if names == "":
        return sizes
    known = {_short(size): size for size in sizes}
    onward = re.fullmatch(r"(.+?)\s+(?:and|&)\s+(?:up|larger|above|over)", names)
    if onward is not None and _short(onward[1]) in known:
        at = sizes.index(known[_short(onward[1])])
        return sizes[at:]
    if _short(names) in known:
        return (known[_short(names)],)
    between = re.fullmatch(r"(\S+)\s*(?:-|to)\s*(\S+)", names)
    if between is not None and {_short(between[1]), _short(between[2])} <= set(known):
        first, last = (sizes.index(known[_short(between[i])]) for i in (1, 2))
        return sizes[first : last + 1]
    found = []
    for part in re.split(r"\s*(?:[,;/()\[\]&]|\band\b|\bor\b)\s*", names):
        if not part.strip():
            continue
        if _short(part) not in known:
            return None
        found.append(known[_short(part)])
    return tuple(s for s in sizes if s in found) or None


_SHORT = {
    "small": "s",
    "medium": "m",
    "large": "l",
    "x-large": "xl",
    "extra large": "xl",
    "x-small": "xs",
    "extra small": "xs",
}


def _short(name: str) -> str:
    lowered = re.sub(r"\s+", " ", plain(name)).strip(" .:()")
    lowered = re.sub(r"^sizes?\s+", "", lowered)
    return _SHORT.get(lowered, lowered)
