"""Lines of a written pattern: which begin a round and with what label, and which do not.

Knows how rounds are labelled ("Rnd 5:", "Rounds 6-12", "6-12)", "| R1 |", "1st round:", "Next
round:", "Size 4 only - 9th round:", "Sides Rnd 1:"), nothing of what an instruction says.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from .lines_ranges import INSTRUCTION, Extent, is_range, refuted
from .reader_lexer import plain
from .vocabulary import NUMBER, NUMBERS, ORDINAL, number, ordinal

_WORD = r"(?:rounds?|rnds?|rows?|rds?)\.?"
_JOINED = r"\s*(?:-|/|&|,|\band\b|\bto\b|\bthrough\b|\bthru\b|\.\.)+\s*"
_WORKED = r"(?!\s*(?:x\s*\d|\d+\s*(?:x|times)|\*|a?round\b|rep))"
"""Not so often over: "R2 (inc) x8" is an instruction."""
_ASIDE = (
    r"(?:\s*[(\[](?:rs|ws|(?:right|wrong)\s+side|inc\w*(?:\s+\w+)?|dec\w*(?:\s+\w+)?|"
    rf"\d+\s+{_WORD}|(?P<aside>[^()\[\]]*\b(?:only|sizes?|and\s+(?:up|larger|above))\b[^()\[\]]*))[)\]]{_WORKED})?"
)
_FOR = (
    r"(?:\s*[,-]?\s*(?:for\s+|(?=sizes?\s)|(?=[^:.()*]{1,40}\sonly\s*:))"
    r"(?!\w+\s+(?:sts?|stitch|ro?u?nds?|rows?|times))"
    r"(?P<names>[^:.()*\d][^:.()*]{0,40}|\d[\d, &and-]*)"
    r"(?=\s*:))?"
)
_LASTS = r"(?:\s*[(\[](?P<lasts>\d{1,6}(?:\s*[,:;/-]\s*\d{1,6})*)[)\]](?=\s*[:.-]))?"
_TO_LASTS = re.compile(
    rf"(?:{_WORD}|r)\s*(?P<a>\d{{1,6}})\s*[(\[](?P<firsts>\d{{1,6}}(?:\s*[,:;/-]\s*\d{{1,6}})*)[)\]]"
    rf"\s*(?:-|to|through|thru)\s*(?:(?:{_WORD}|r)\s*)?(?P<b>\d{{1,6}})\s*"
    r"[(\[](?P<lasts>\d{1,6}(?:\s*[,:;/-]\s*\d{1,6})*)[)\]]\s*[:.-]"
)
"""Both ends numbered for each size: "Rounds 5 (6, 7) to 8 (9, 10):"."""
_END = r"\s*(?:[:.)|\]]+|-+(?=\s)|(?=\s)|$)"
_CLOSED = r"\s*(?:[:.)|\]]+|-+(?=\s|$))"
_ONE_OF = rf"(?:\d{{1,6}}|(?:{'|'.join(NUMBERS)})\b)"
_TAIL = rf"(?![\w\"'])(?!\s*(?:sts?|stitch))\s*{_LASTS}{_ASIDE}{_FOR}{_END}"
_NUMBERED = re.compile(
    rf"(?P<word>{_WORD}\s*|r\s?)(?P<a>{_ONE_OF})(?P<joined>{_JOINED}(?:{_WORD}\s*|r)?"
    rf"(?P<b>{_ONE_OF}))*{_TAIL}"
)
_SINGLE = re.compile(rf"(?P<word>{_WORD}\s*|r\s?)(?P<a>{_ONE_OF})(?P<b>)?{_TAIL}")
_DASHED = re.compile(
    rf"(?P<a>\d{{1,3}})(?:\s*-\s+|(?:-(?P<b>\d{{1,3}}))\s+(?:-\s+)?)(?={INSTRUCTION})"
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
    r"(?:for\s+)?(?:(?P<all>(?:all|both|every|each)\s+(?:the\s+)?sizes?)|(?:the\s+)?sizes?\s++(?P<names>[^:|]{1,60}?))"
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
_ONLY_COUNT = re.compile(r"[(\[{]\s*\d+[^()\[\]{}]*[)\]}]\s*[.,;]?\s*")
_SPLIT = re.compile(rf"(?<=[).\]}};])\s++(?={_WORD}\s*\d+(?:\s*-\s*\d+)?\s*:)")


@dataclass(frozen=True, slots=True)
class Label:
    """How a round is labelled. ``first`` None: not numbered; ``many``: that many rounds from the
    next one on; ``names``: the sizes it is for, as written (None: not said, "": all); ``lasts``:
    the numbers of the second size and the further ones, a first (None: not said) and a last;
    ``perhaps``: a range, if no later label refutes it."""

    text: str
    first: int | None
    last: int | None
    many: int | None = None
    names: str | None = None
    heading: str | None = None
    lasts: tuple[tuple[int | None, int], ...] = ()
    perhaps: bool = False


@dataclass(frozen=True, slots=True)
class Line:
    """One line (or part of one) of the text: ``text`` without its label, in its old columns;
    ``whole`` with it."""

    number: int
    column: int
    text: str
    label: Label | None
    blank_before: bool = False
    whole: str = ""

    def unlabelled(self) -> Line:
        """The line with its label as text again: no label after all."""
        at = self.column - len(self.whole) + len(self.text)
        return replace(self, text=self.whole, column=at, label=None)


_ANGLES = re.compile(r"<(\s*\d[^<>\n]{0,60})>")
"""A count in pointed brackets."""
MOST_OF_A_LABEL = 200
"""Characters a label and what leads up to it may take."""
MOST_OF_A_ROUND = 5_000
"""Characters the text of one round may take."""


def lines_of(text: str) -> list[Line]:
    """The lines of a text that are not blank, with their labels."""
    found: list[Line] = []
    parts: list[tuple[int, int, str]] = []
    blank = True
    text = _ANGLES.sub(r"(\1)", text)
    for no, raw in enumerate(text.splitlines(), start=1):
        if not raw.strip(" \t|-_=*~"):
            blank = True
            continue
        for column, part in _parts(raw):
            line = _line(no, column, part)
            if line.label is None and part.count("|") >= 2:
                continue  # a table's heading
            found.append(replace(line, blank_before=blank))
            parts.append((no, column, part))
            blank = False
    return _settled(found, parts)


def _settled(lines: list[Line], parts: list[tuple[int, int, str]]) -> list[Line]:
    """The lines with ranges taken back that later labels refute, and bare numbers before a dash
    that do not go on counting."""
    labelled = [i for i, line in enumerate(lines) if line.label is not None]
    wrong = False
    for i, following in zip(labelled, [*labelled[1:], None], strict=False):
        label = lines[i].label
        after = lines[following].label if following is not None else None
        if label is not None and label.perhaps and label.first is not None:
            wrong |= refuted(label.first, label.last or 0, after.first if after else None)
    done: list[Line] = []
    at = 0
    for line, part in zip(lines, parts, strict=True):
        if line.label is not None and line.label.perhaps and wrong:
            line = replace(_line(*part, single=True), blank_before=line.blank_before)
        label = line.label
        if label is not None and _BARE.fullmatch(label.text) and label.first not in (1, at + 1):
            line = replace(_line(*part, listed=False), blank_before=line.blank_before)
        if line.label is not None:
            at = line.label.last if line.label.last is not None else at + 1
        done.append(line)
    return done


_BARE = re.compile(r"\d+(?:-\d+)?")


def _parts(raw: str) -> list[tuple[int, str]]:
    """A line that holds several rounds, taken apart."""
    at, parts = 0, []
    for cut in _SPLIT.finditer(plain(raw)):
        parts.append((at, raw[at : cut.start()]))
        at = cut.end()
    parts.append((at, raw[at:]))
    return parts


def _line(no: int, column: int, part: str, *, single: bool = False, listed: bool = True) -> Line:
    text = _cells(part)
    lowered = plain(text[:MOST_OF_A_LABEL])
    lead = _LEAD.match(lowered)
    start = lead.end() if lead else 0
    found = label_at(lowered, start, single=single, listed=listed)
    if found is None:
        return Line(no, column + start + 1, text[start:].rstrip(" |"), None)
    label, end = found
    while end < len(text) and text[end] in " \t:*|_":
        if text[end] == "*" and not lowered[start - 2 : start].endswith("**"):
            break
        end += 1
    name = text[start:end].strip(" \t:*|_-.")
    label = replace(label, text=name)
    line = Line(no, column + end + 1, text[end:].rstrip(" |"), label)
    line = replace(line, whole=text[start:].rstrip(" |"))
    # "... sk next 3, sc in next" and then "7. (21 places)": the rest of a wrapped line
    if _LISTED.match(lowered, start) and _ONLY_COUNT.fullmatch(line.text):
        return line.unlabelled()
    return line


_BARE_NUMBER = re.compile(r"\s*\d{1,6}(?:\s*-\s*\d{1,6})?\s*")


def _cells(part: str) -> str:
    """A table's row as a line: bars become spaces; a last cell that is a number a count."""
    body = part.rstrip()
    body = body[:-1] if body.endswith("|") else body
    *before, last = body.split("|")
    counted = re.fullmatch(r"\s*\d+\s*(?:sts?)?\s*", last) is not None
    if part.count("|") < 2 and not (before and counted):
        return part
    at = 0 if before[0].strip() else 1  # some rows have no bar before their first cell
    if len(before) > at + 1 and _BARE_NUMBER.fullmatch(before[at]):
        before[at] = before[at].replace(" ", "") + ")" + " " * before[at].count(" ")
        before[at + 1] = before[at + 1][1:] if before[at][-1:] != " " else before[at + 1]
    if counted and len(before) > (2 if at else 0):
        last = f"({last.strip()})"
    return " ".join([*before, last])


def label_at(
    lowered: str, start: int, *, single: bool = False, listed: bool = True
) -> tuple[Label, int] | None:
    """The label that begins at ``start`` of a lower-case line, and where its text begins.
    ``single``: two numbers are no range unless a mark says so; ``listed``: a bare number before
    a dash may be a label."""
    names = None
    sizes = _SIZES.match(lowered, start) or _ONLY.match(lowered, start)
    if sizes is not None and sizes[0].count("(") == sizes[0].count(")"):
        inner = _bare_label(lowered, sizes.end())
        if inner is not None:
            said = sizes.groupdict()
            names = "" if said.get("all") else (said.get("names") or "").strip()
            return replace(inner[0], names=names), inner[1]
    work = _WORK.match(lowered, start)
    found = _bare_label(lowered, work.end() if work is not None else start, single=single)
    if found is None and listed:
        found = _dashed(lowered, start)
    if found is not None:
        return found
    headed = _HEADED.match(lowered, start)
    if headed is not None and not _NO_HEAD.search(headed["head"]):
        inner = _bare_label(lowered, headed.end())
        if inner is not None:
            return replace(inner[0], heading=headed["head"].strip()), inner[1]
    return None


def _bare_label(lowered: str, start: int, *, single: bool = False) -> tuple[Label, int] | None:
    found = _numbered(lowered, start, single)
    if found is not None:
        return found
    for pattern, read in ((_ORDINAL, ordinal), (_LISTED, int)):
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


def _numbered(lowered: str, start: int, single: bool) -> tuple[Label, int] | None:
    """A label with a word and a number: "Rnd 5", "Rounds 6-12", "R2-R6 (7, 8)", "Round one"."""
    both = _TO_LASTS.match(lowered, start)
    if both is not None:
        firsts, lasts_ = (re.findall(r"\d+", both[k]) for k in ("firsts", "lasts"))
        if len(firsts) == len(lasts_):
            ends = tuple((int(a), int(b)) for a, b in zip(firsts, lasts_, strict=True))
            return Label("", int(both["a"]), int(both["b"]), lasts=ends), both.end()
    match = _NUMBERED.match(lowered, start)
    extent: Extent = "yes"
    if match is not None and match["b"]:
        after = lowered[match.end("b") :]
        closed = lowered[match.end("b") : match.end()].rstrip()[-1:] in tuple(":.)|]-")
        joined = match["joined"][: match.start("b") - match.start("joined")]
        extent = is_range(match["word"], joined, after, closed)
        if extent == "no" or number(match["b"]) <= number(match["a"]):
            match, extent = _SINGLE.match(lowered, start), "yes"
        elif extent == "perhaps" and single:
            match = _SINGLE.match(lowered, start)
    if match is None:
        return None
    first = number(match["a"])
    last = number(match["b"]) if match["b"] else first
    names = _names(match["aside"] if match["aside"] is not None else match["names"])
    lasts = tuple(
        (int(a) if a else None, int(b))
        for a, b in re.findall(r"(?:(\d+)\s*-\s*)?(\d+)", match["lasts"] or "")
    )
    return Label(
        "", first, last, names=names, lasts=lasts, perhaps=extent == "perhaps"
    ), match.end()


def _dashed(lowered: str, start: int) -> tuple[Label, int] | None:
    """A bare number before a dash and an instruction: "1 - 8 sc in ring", "3-8 sc around"."""
    match = _DASHED.match(lowered, start)
    if match is None:
        return None
    first = int(match["a"])
    last = int(match["b"]) if match["b"] else first
    return (Label("", first, last), match.end()) if last >= first else None


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
    if re.fullmatch(r"(?:for\s+)?(?:all|both|every|each)\s+(?:the\s+)?sizes?", lowered):
        return ""
    match = re.fullmatch(
        r"(?:for\s+)?(?:the\s+)?sizes?\s+(?P<names>[^:]{1,60}?)(?:\s+only)?", lowered
    )
    match = match or re.fullmatch(r"(?:for\s+)?(?P<names>[^:.]{1,40}?)\s+only", lowered)
    return match["names"].strip() if match is not None else None


_ONE = r"(?:\d+|--?|\u2013|\u2014)"
_MANY = re.compile(
    r"(?<![\w.*\u00d7])(?:(?<![x*X\u00d7] )|(?=\d+\s*[(\[]\s*\d+\s*[,;:/-]))"
    r"(?P<first>\d+|--(?=\s*[(\[])|[-\u2013\u2014](?=\s*[(\[][^)\]]*,))"
    r"\s*(?P<open>[(\[])\s*"
    rf"(?P<rest>{_ONE}(?:\s*[,;:/]\s*{_ONE})+|\d+(?:\s*[-\u2013,;:/]\s*\d+)*)\s*[)\]]"
)
_LIST = re.compile(
    r"(?P<open>[(\[{])\s*(?P<rest>\d+(?:\s*[-\u2013,;:/]\s*\d+)+)(?P<tail>\s*[^()\[\]{}]*)(?P<close>[)\]}])"
)
_SLASHED = re.compile(r"(?<![\w/.])\d+(?:\s?/\s?\d+)+(?![\w/])")
_DASHED_LIST = re.compile(r"(?<![\w/.-])\d+(?:[-\u2013]\d+){2,}(?![\w/-])")
"""A number for each of three sizes or more, "72-78-84"; two may as well be a range."""


def _values(rest: str) -> list[str]:
    """The values of a list: a dash parts them only where nothing else does."""
    return re.split(r"\s*[,;:/]\s*" if re.search(r"[,;:/]", rest) else r"\s*[-\u2013]\s*", rest)


def numbers_in(text: str) -> int:
    """For how many sizes a text gives its numbers (the most it does, 1 if it gives one). One
    number in brackets after another is a count as likely as a second size, one with a stroke
    as likely a fraction."""
    most = 1
    for match in _MANY.finditer(text):
        rest = len(_values(match["rest"]))
        most = max(most, 1 + rest if rest > 1 else 1)
    for match in _LIST.finditer(text):
        if not re.search(r"\d\s*$", text[: match.start()]):
            most = max(most, len(_values(match["rest"])))
    for match in _SLASHED.finditer(text):
        values = len(_values(match[0]))
        most = max(most, values if values > 2 else 1)
    for match in _DASHED_LIST.finditer(text):
        most = max(most, len(_values(match[0])))
    return most


def for_size(text: str, at: int, sizes: int) -> str:
    """The text with only the numbers of size ``at``, in the old columns."""
    if sizes < 2:
        return text

    def pick_one(match: re.Match[str]) -> str:
        values = [match["first"], *_values(match["rest"])]
        return values[at].ljust(len(match[0])) if len(values) == sizes else match[0]

    def pick_listed(match: re.Match[str]) -> str:
        values = _values(match["rest"])
        if len(values) != sizes:
            return match[0]
        kept = match["open"] + values[at] + match["tail"]
        return kept.ljust(len(match[0]) - 1) + match["close"]

    def pick_slashed(match: re.Match[str]) -> str:
        values = _values(match[0])
        return values[at].ljust(len(match[0])) if len(values) == sizes else match[0]

    text = _DASHED_LIST.sub(pick_slashed, text)
    return _SLASHED.sub(pick_slashed, _LIST.sub(pick_listed, _MANY.sub(pick_one, text)))
