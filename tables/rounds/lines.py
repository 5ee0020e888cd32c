"""Lines of a written pattern: which begin a round and with what label, and which do not.

Knows how rounds are labelled ("Rnd 5:", "Rounds 6-12", "6-12)", "| R1 |", "1st round:", "Next
round:", "Size 4 only - 9th round:", "Sides Rnd 1:"), nothing of what an instruction says.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from .reader_lexer import plain
from .vocabulary import NUMBER, ORDINAL, number, ordinal

_WORD = r"(?:rounds?|rnds?|rows?|rds?)\.?"
_JOINED = r"\s*(?:-|/|&|,|\band\b|\bto\b|\bthrough\b|\bthru\b|\.\.)+\s*"
_ASIDE = (
    r"(?:\s*[(\[](?:rs|ws|(?:right|wrong)\s+side|inc\w*(?:\s+\w+)?|dec\w*(?:\s+\w+)?|"
    rf"\d+\s+{_WORD}|(?P<aside>[^()\[\]]*\b(?:only|sizes?|and\s+(?:up|larger|above))\b[^()\[\]]*))[)\]])?"
)
_END = r"\s*(?:[:.)|\]]+|-+(?=\s)|(?=\s)|$)"
_CLOSED = r"\s*(?:[:.)|\]]+|-+(?=\s|$))"
_NUMBERED = re.compile(
    rf"(?:{_WORD}\s*|r\s?)(?P<a>\d{{1,6}})(?:{_JOINED}(?:{_WORD}\s*|r)?(?P<b>\d{{1,6}}))*"
    rf"(?![\w\"'])(?!\s*(?:sts?|stitch))\s*{_ASIDE}{_END}"
)
_LISTED = re.compile(r"(?P<a>\d{1,6})(?:\s*-\s*(?P<b>\d{1,6}))?\s*(?:\)|\.(?=\s)|:)")
_ORDINAL = re.compile(
    rf"(?:the\s+)?(?P<a>{ORDINAL})(?:{_JOINED}(?P<b>{ORDINAL}))?\s+{_WORD}\s*{_ASIDE}{_END}"
)
_NEXT = re.compile(
    rf"(?:the\s+)?(?:next|following)\s+(?:(?P<n>{NUMBER})\s+)?{_WORD}\s*{_ASIDE}{_END}"
)
_LAST = re.compile(
    rf"(?:last|final|edging|edge|border|set-?up|closing)\s+{_WORD}\s*{_ASIDE}{_CLOSED}"
)
_LEAD = re.compile(r"[\s#>|\-_]*(?:\*+(?=\s*(?:r|\d|size|next|all|for|work)))?[\s_]*")
_WORK = re.compile(rf"work(?:ing)?\s+(?={_WORD}\s*\d)")
_BEGINS = (
    rf"(?=(?:the\s+)?(?:{_WORD}\s*\d|r\d|{ORDINAL}\s|next\b|following\b|last\b|final\b|\d+\)))"
)
_SIZES = re.compile(
    r"(?:for\s+)?(?:(?P<all>all\s+(?:the\s+)?sizes?)|(?:the\s+)?sizes?\s++(?P<names>[^:|]{1,60}?))"
    rf"(?:\s++only)?\s*+(?:[-:,|]+\s*+){_BEGINS}"
)
_ONLY = re.compile(rf"(?:for\s+)?(?P<names>[^:|.]{{1,40}}?)\s++only\s*+(?:[-:,|]+\s*+){_BEGINS}")
_HEADED = re.compile(
    rf"(?P<head>[a-z][a-z '&/]{{1,30}}?)\s*[-:,.]?\s+(?=(?:{_WORD}\s*)\d+(?:\s*-\s*\d+)?\s*[:)])"
)
_NO_HEAD = re.compile(
    r"\b(?:rep\w*|work\w*|as|after|until|till|from|of|next|at|for|in|follow\w*|end\w*|same|like|"
    r"to|with|sizes?|all|through|between)\b"
)
_SPLIT = re.compile(rf"(?<=[).\]}};])\s++(?={_WORD}\s*\d+(?:\s*-\s*\d+)?\s*:)")


@dataclass(frozen=True, slots=True)
class Label:
    """How a round is labelled. ``first`` None: not numbered; ``many``: that many rounds from the
    next one on; ``names``: the sizes it is for, as written (None: not said, "": all)."""

    text: str
    first: int | None
    last: int | None
    many: int | None = None
    names: str | None = None
    heading: str | None = None


@dataclass(frozen=True, slots=True)
class Line:
    """One line (or part of one) of the text: ``text`` without its label, in its old columns."""

    number: int
    column: int
    text: str
    label: Label | None
    blank_before: bool = False


MOST_OF_A_LABEL = 200
"""Characters a label and what leads up to it may take."""
MOST_OF_A_ROUND = 5_000
"""Characters the text of one round may take."""


def lines_of(text: str) -> list[Line]:
    """The lines of a text that are not blank, with their labels."""
    found: list[Line] = []
    blank = True
    for no, raw in enumerate(text.splitlines(), start=1):
        if not raw.strip(" \t|-_=*~"):
            blank = True
            continue
        for column, part in _parts(raw):
            line = _line(no, column, part)
            if line.label is None and part.count("|") >= 2:
                continue  # a table's heading
            found.append(replace(line, blank_before=blank))
            blank = False
    return found


def _parts(raw: str) -> list[tuple[int, str]]:
    """A line that holds several rounds, taken apart."""
    at, parts = 0, []
    for cut in _SPLIT.finditer(plain(raw)):
        parts.append((at, raw[at : cut.start()]))
        at = cut.end()
    parts.append((at, raw[at:]))
    return parts


def _line(no: int, column: int, part: str) -> Line:
    text = _cells(part)
    lowered = plain(text[:MOST_OF_A_LABEL])
    lead = _LEAD.match(lowered)
    start = lead.end() if lead else 0
    found = label_at(lowered, start)
    if found is None:
        return Line(no, column + start + 1, text[start:].rstrip(" |"), None)
    label, end = found
    while end < len(text) and text[end] in " \t:*|_":
        if text[end] == "*" and not lowered[start - 2 : start].endswith("**"):
            break
        end += 1
    name = text[start:end].strip(" \t:*|_-.")
    label = replace(label, text=name)
    return Line(no, column + end + 1, text[end:].rstrip(" |"), label)


def _cells(part: str) -> str:
    """A table's row as a line: bars become spaces; a last cell that is a number a count."""
    if part.count("|") < 2:
        return part
    body = part.rstrip()
    body = body[:-1] if body.endswith("|") else body
    *before, last = body.split("|")
    if len(before) > 2 and re.fullmatch(r"\s*\d+\s*(?:sts?)?\s*", last):
        last = f"({last.strip()})"
    return " ".join([*before, last])


def label_at(lowered: str, start: int) -> tuple[Label, int] | None:
    """The label that begins at ``start`` of a lower-case line, and where its text begins."""
    names = None
    sizes = _SIZES.match(lowered, start) or _ONLY.match(lowered, start)
    if sizes is not None:
        inner = _bare_label(lowered, sizes.end())
        if inner is not None:
            said = sizes.groupdict()
            names = "" if said.get("all") else (said.get("names") or "").strip()
            return replace(inner[0], names=names), inner[1]
    work = _WORK.match(lowered, start)
    found = _bare_label(lowered, work.end() if work is not None else start)
    if found is not None:
        return found
    headed = _HEADED.match(lowered, start)
    if headed is not None and not _NO_HEAD.search(headed["head"]):
        inner = _bare_label(lowered, headed.end())
        if inner is not None:
            return replace(inner[0], heading=headed["head"].strip()), inner[1]
    return None


def _bare_label(lowered: str, start: int) -> tuple[Label, int] | None:
    for pattern, read in (
        (_NUMBERED, int),
        (_ORDINAL, ordinal),
        (_LISTED, int),
    ):
        match = pattern.match(lowered, start)
        if match is not None:
            first = read(match["a"])
            last = read(match["b"]) if match["b"] else first
            if last < first:
                return None
            aside = match.groupdict().get("aside")
            return Label("", first, last, names=_names(aside)), match.end()
    match = _NEXT.match(lowered, start)
    if match is not None:
        many = number(match["n"]) if match["n"] else None
        return Label("", None, None, many, _names(match["aside"])), match.end()
    match = _LAST.match(lowered, start)
    if match is not None:
        return Label("", None, None, None, _names(match["aside"])), match.end()
    return None


def _names(aside: str | None) -> str | None:
    if aside is None:
        return None
    inner = re.sub(r"\b(?:for|sizes?|only|the)\b", " ", aside).strip()
    return "" if inner == "all" else inner


def size_heading(text: str) -> str | None:
    """The sizes a line by itself restricts what follows to ("Size 8 only:", "Sizes M and L:");
    "" for all; None if it is no such line."""
    if len(text) > MOST_OF_A_LABEL:
        return None
    lowered = re.sub(r"\s+", " ", plain(text)).strip(" *_#:-.")
    if re.fullmatch(r"(?:for\s+)?all\s+(?:the\s+)?sizes?", lowered):
        return ""
    match = re.fullmatch(
        r"(?:for\s+)?(?:the\s+)?sizes?\s+(?P<names>[^:]{1,60}?)(?:\s+only)?", lowered
    )
    match = match or re.fullmatch(r"(?:for\s+)?(?P<names>[^:.]{1,40}?)\s+only", lowered)
    return match["names"].strip() if match is not None else None


_MANY = re.compile(
    r"(?<![\w.*\u00d7])(?<![x*X\u00d7] )(?P<first>\d+)\s*(?P<open>[(\[])\s*"
    r"(?P<rest>\d+(?:\s*[-,;/]\s*\d+)*)\s*[)\]]"
)
_LIST = re.compile(
    r"(?P<open>[(\[{])\s*(?P<rest>\d+(?:\s*[-,;/]\s*\d+)+)(?P<tail>\s*[^()\[\]{}]*)(?P<close>[)\]}])"
)


def numbers_in(text: str) -> int:
    """For how many sizes a text gives its numbers (the most it does, 1 if it gives one). One
    number in brackets after another is a count as likely as a second size."""
    most = 1
    for match in _MANY.finditer(text):
        rest = len(re.split(r"[-,;/]", match["rest"]))
        most = max(most, 1 + rest if rest > 1 else 1)
    for match in _LIST.finditer(text):
        if not re.search(r"\d\s*$", text[: match.start()]):
            most = max(most, len(re.split(r"[-,;/]", match["rest"])))
    return most


def for_size(text: str, at: int, sizes: int) -> str:
    """The text with only the numbers of size ``at``, in the old columns."""
    if sizes < 2:
        return text

    def pick_one(match: re.Match[str]) -> str:
        values = [match["first"], *re.split(r"\s*[-,;/]\s*", match["rest"])]
        return values[at].ljust(len(match[0])) if len(values) == sizes else match[0]

    def pick_listed(match: re.Match[str]) -> str:
        values = re.split(r"\s*[-,;/]\s*", match["rest"])
        if len(values) != sizes:
            return match[0]
        kept = match["open"] + values[at] + match["tail"]
        return kept.ljust(len(match[0]) - 1) + match["close"]

    return _LIST.sub(pick_listed, _MANY.sub(pick_one, text))
