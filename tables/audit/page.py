"""An audit for people: the table of rounds, then in words what is wrong and what to know.

The marks are words, never only colour. Rounds that are alike and right are folded into one row,
so that a wrong one stands out.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from evenround.tables.layout import Column, lay_out, paragraph
from evenround.tables.safe import in_markdown
from evenround.tables.words import clean, plural

from .findings import Audit, Fault, RoundAudit
from .names import size_words
from .wording import counted, several

MARKS = {
    "ok": "ok",
    "note": "ok, see note",
    "wrong": "WRONG",
    "open": "DOES NOT CLOSE",
    "inherits": "inherits",
    "not counted": "not counted",
}
HEADINGS = ("round", "size", "uses", "has", "makes", "printed", "")


@dataclass(frozen=True, slots=True)
class Line:
    """A row of the table: a round, or several alike; ``last`` is the label of the last, ``sizes``
    the sizes it is for."""

    first: RoundAudit
    sizes: tuple[str, ...] = ()
    last: str = ""


def folded(rounds: Sequence[RoundAudit]) -> list[Line]:
    """Of every instruction the rounds of a size that follow one another alike in everything but
    their label made one row, then sizes whose row is the same."""
    lines: list[Line] = []
    for _, group in groupby(rounds, key=lambda one: (one.section, one.line)):
        rows: list[Line] = []
        for one in _by_size(list(group)):
            same = next((i for i, row in enumerate(rows) if _same_row(row, one)), None)
            if same is None:
                rows.append(one)
            else:
                rows[same] = replace(rows[same], sizes=(*rows[same].sizes, *one.sizes))
        lines += rows
    return lines


def _by_size(rounds: Sequence[RoundAudit]) -> list[Line]:
    """The rounds of one instruction, each size's folded, where each begins in the text."""
    rows: list[Line] = []
    last: dict[str | None, int] = {}
    for one in rounds:
        line = Line(one, () if one.size is None else (one.size,))
        at = last.get(one.size)
        if at is not None and _alike(rows[at], line):
            rows[at] = replace(rows[at], last=one.label)
        else:
            last[one.size] = len(rows)
            rows.append(line)
    return rows


def _same_row(one: Line, other: Line) -> bool:
    """Whether two sizes have one and the same row."""
    return one.last == other.last and replace(other.first, size=one.first.size) == one.first


def _alike(one: Line, other: Line) -> bool:
    """Whether two rounds of one instruction came out the same."""
    first = one.first
    plain = first.standing in ("ok", "inherits") and first.uses == first.places
    same = replace(other.first, label=first.label, size=first.size) == first
    return plain and same and one.sizes == other.sizes


def cells(line: Line, every: Sequence[str] = ()) -> tuple[str, ...]:
    """The seven cells of a row, as in ``HEADINGS``; ``every`` size of the pattern is "all"."""
    one = line.first
    label = clean(one.label + (f" to {line.last}" if line.last not in ("", one.label) else ""))
    kinds = one.kinds
    if one.makes is None:
        makes = "?"
    elif all(k.made is not None for k in kinds) and kinds:
        makes = ", ".join(counted(k.made or 0, clean(k.what)) for k in kinds)
    else:
        makes = str(one.makes)
    printed = ", ".join(counted(k.printed, clean(k.what)) for k in kinds)
    return (
        label,
        "all" if len(every) > 1 and set(line.sizes) == set(every) else clean(", ".join(line.sizes)),
        _number(one.uses, one),
        _number(one.has, one),
        makes,
        printed or "-",
        MARKS[one.standing],
    )


def _number(value: int | None, one: RoundAudit) -> str:
    if value is not None:
        return str(value)
    return "?" if one.standing == "not counted" else "-"


def table(audit: Audit) -> str:
    """The table of rounds, with a line for every heading of the pattern."""
    return "\n\n".join(block for block in _blocks(audit) if block)


def _blocks(audit: Audit) -> Iterator[str]:
    lines = folded(audit.rounds)
    sections = list(dict.fromkeys(line.first.section for line in lines))
    for section in sections:
        rows = [cells(line, audit.sizes) for line in lines if line.first.section == section]
        keep = [i for i in range(len(HEADINGS)) if i != 1 or any(row[1] for row in rows)]
        columns = [Column((HEADINGS[i],), tuple((row[i],) for row in rows)) for i in keep]
        heading = f"{clean(section)}\n" if section and len(sections) > 1 else ""
        yield heading + lay_out(columns)


def summary(audit: Audit) -> str:
    """One line: does it agree, and how much was counted."""
    counted_rounds = [r for r in audit.rounds if r.makes is not None]
    wrong = sum(r.standing == "wrong" for r in audit.rounds)
    total = f"{plural(len(counted_rounds), 'round')} counted" + (
        f" in {len(audit.sizes)} sizes" if len(audit.sizes) > 1 else ""
    )
    missing = len(audit.rounds) - len(counted_rounds)
    if missing:
        total += f", {missing} not counted"
    if not counted_rounds:
        return f"{total}; so nothing is judged."
    if wrong:
        return f"{total}; {wrong} wrong."
    if audit.faults:
        return f"{total}; every count agrees, but a figure does not close."
    if audit.unread:
        return f"{total}; all that could be read agrees."
    over = sum(bool(r.readings) for r in counted_rounds)
    if not over:
        return f"{total}; all agree."
    note = "its note" if over == 1 else "the notes"
    return f"{total}; all agree; {plural(over, 'round')} with a left-over, see {note}."


def settled_words(audit: Audit) -> tuple[str, ...]:
    """Terms, opening chain and "repeat N times", each with its reason."""
    lines = [f"Terms: {audit.terms.upper()} ({audit.terms_why})."]
    if audit.chain_counts is not None:
        does = "counts" if audit.chain_counts == "yes" else "does not count"
        lines.append(f"The opening chain {does} as a stitch: {audit.chain_why}.")
    if audit.repeat_why:
        lines.append(f"{audit.repeat_why}.")
    return tuple(lines)


def fault_groups(faults: Sequence[Fault]) -> list[tuple[Fault, tuple[str, ...]]]:
    """Every fault once, with the sizes that have it alike."""
    groups: dict[Fault, tuple[str, ...]] = {}
    for fault in faults:
        plain = replace(fault, size=None)
        sizes = () if fault.size is None else (fault.size,)
        groups[plain] = (*groups.get(plain, ()), *sizes)
    return list(groups.items())


def fault_lines(fault: Fault, sizes: Sequence[str] = ()) -> tuple[str, ...]:
    """A fault in words: what is wrong, what would be right, what inherits it."""
    name = ", ".join(part for part in (fault.label, size_words(sizes)) if part)
    where = f"{name} (line {fault.line})"
    lines = [f"{where}: {fault.what}."]
    if fault.mends:
        lines.append(f"Would be right: {fault.mends[0]}.")
        lines += [f"Or: {mend}." for mend in fault.mends[1:]]
    else:
        lines.append("No near change mends it.")
    if fault.inherits:
        labels = fault.inherits
        named = several(labels) if len(labels) < 4 else f"{labels[0]} to {labels[-1]}"
        lines.append(f"{named} only {'inherits' if len(labels) == 1 else 'inherit'} it.")
    return tuple(clean(line) for line in lines)


def word_blocks(audit: Audit) -> Iterator[tuple[str, tuple[str, ...]]]:
    """What stands under the table: a heading and its lines each, in order."""
    groups = fault_groups(audit.faults)
    if groups:
        yield "First fault", fault_lines(*groups[0])
    if groups[1:]:
        yield "Also wrong", tuple(" ".join(fault_lines(*group)) for group in groups[1:])
    if audit.unread:
        yield (
            "Not read",
            tuple(
                clean(
                    f"line {u.where.line}, column {u.where.column}: \u201c{u.text}\u201d: {u.why}"
                )
                for u in audit.unread
            ),
        )
    if audit.notes:
        yield "Notes", tuple(clean(f"{note}.") for note in audit.notes)
    for heading, abouts in (
        ("Without printed counts", {"counts"}),
        ("Bands", {"band"}),
        ("Gauge and size", {"gauge", "size", "depth", "disc"}),
        ("Shape", {"sectors", "crown", "brim"}),
    ):
        texts = tuple(clean(f.words.rstrip(".") + ".") for f in audit.findings if f.about in abouts)
        if texts:
            yield heading, texts


def to_page(audit: Audit) -> str:
    """The whole audit for a terminal, 80 columns wide."""
    blocks = [_wrapped([summary(audit), *settled_words(audit)], ""), table(audit)]
    for heading, lines in word_blocks(audit):
        blocks.append(f"{heading}:\n" + _wrapped(lines, "  "))
    blocks += [paragraph(f"Caution: {caution}", indent="  ") for caution in audit.cautions]
    return "\n\n".join(blocks) + "\n"


def _wrapped(lines: Sequence[str], first: str) -> str:
    return "\n".join(
        paragraph(line, indent="    " if first else "  ", first=first) for line in lines
    )


def to_markdown(audit: Audit) -> str:
    """The whole audit as markdown: one table, then lists."""
    blocks = [
        "\n".join(
            [summary(audit), "", *(f"- {in_markdown(line)}" for line in settled_words(audit))]
        )
    ]
    rows = [(clean(line.first.section), *cells(line, audit.sizes)) for line in folded(audit.rounds)]
    headings = ("section", *HEADINGS[:-1], "stands")
    grid = [headings, ("---",) * len(headings), *rows]
    blocks.append("\n".join("| " + " | ".join(map(in_markdown, row)) + " |" for row in grid))
    for heading, lines in word_blocks(audit):
        blocks.append(f"## {heading}\n\n" + "\n".join(f"- {in_markdown(line)}" for line in lines))
    blocks += [f"**Caution:** {caution}" for caution in audit.cautions]
    return "\n\n".join(blocks) + "\n"
