"""Figures as what is shown: the list, or one figure's rounds in words."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from evenround.tables.layout import Column, lay_out, paragraph
from evenround.tables.safe import csv_text

from .counter import Below, plain_round, work_round
from .figures import FigureRound, FigureRounds
from .figures_stitches import in_terms
from .pattern import Terms
from .writer import Unit, write_steps

COLUMNS = ("figure", "multiple", "rounds", "counts", "stitches", "open")
_LETTER = 9973
"""Stands for t while a round is written; no figure has as many stitches."""


def term(stitches: int, give: int) -> str:
    """``8``, ``8+t``, ``8+2t``."""
    if not give:
        return str(stitches)
    return f"{stitches}+{give if give > 1 else ''}t"


def counts_words(figure: FigureRounds) -> str:
    """``8+t, 10+t, 8+t``: counts per repeat, before and after each round."""
    return ", ".join(term(*each) for each in figure.terms())


def _counts_in_short(figure: FigureRounds) -> str:
    """The same; ``4`` where all are alike."""
    counts = figure.terms()
    return term(*counts[0]) if len(set(counts)) == 1 else counts_words(figure)


def rounds_words(figure: FigureRounds) -> str:
    """``2``, ``3 or more``."""
    many = str(len(figure.once))
    return f"{many} or more" if figure.stretches else many


def row(figure: FigureRounds, terms: Terms) -> tuple[str, ...]:
    """One line of the list, in the order of ``COLUMNS``."""
    return (
        figure.name,
        term(*figure.terms()[0]),
        rounds_words(figure),
        counts_words(figure),
        ", ".join(in_terms(name, terms) for name in figure.stitches()),
        "yes" if figure.open else "",
    )


@dataclass(frozen=True, slots=True)
class Line:
    """One round of a figure in words: its label, where it begins if it is not the first, the
    words, what they cannot say, and what a repeat leaves."""

    label: str
    begin: str
    words: str
    how: str
    leaves: str


def round_lines(figure: FigureRounds, terms: Terms) -> Iterator[Line]:
    """The figure's rounds in words, one repeat to the end of each round."""
    counts = figure.terms()
    below = plain_round(figure.multiple(1) * 2)
    for place, (each, leaves) in enumerate(zip(figure.once, counts[1:], strict=True), 1):
        words = _words(each, below, terms)
        below = work_round(each.around(1), below).made
        yield Line(_label(figure, place), each.begin, words, each.how, term(*leaves))


def _words(each: FigureRound, below: Below, terms: Terms) -> str:
    steps = each.around(_LETTER)
    words = write_steps(steps, terms, unit=unit_of(below), space=space_of(below))
    return words.replace(str(_LETTER), "t")


def unit_of(below: Below) -> Unit:
    """What the places of a round are called: stitches, or places where chains are among them."""
    return "place" if any(place.name == "ch" for place in below.places) else "st"


def space_of(below: Below) -> int | None:
    """How many chains every chain space of a round has; None where they differ."""
    lengths: list[int] = []
    for place in below.places:
        if place.opens:
            lengths.append(1)
        elif place.name == "ch" and lengths:
            lengths[-1] += 1
    return lengths[0] if len(set(lengths)) == 1 else None


def _label(figure: FigureRounds, place: int) -> str:
    """``Rnd 2``; of a figure that stretches, which rounds these are."""
    if not figure.stretches:
        return f"Rnd {place}"
    if place <= len(figure.set_up):
        return f"Rnd {place}"
    if place > len(figure.set_up) + len(figure.rounds):
        return "Last rnd"
    return "Rnds between"


# --- the pages ----------------------------------------------------------------------------


def list_text(figures: Sequence[FigureRounds], terms: Terms) -> str:
    """The list at 80 columns."""
    rows = [dict(zip(COLUMNS, row(figure, terms), strict=True)) for figure in figures]
    for each, figure in zip(rows, figures, strict=True):
        each["counts"] = _counts_in_short(figure)
    columns = [Column((name,), tuple((each[name],) for each in rows)) for name in COLUMNS]
    under = (
        "Counts are places per repeat, before and after each round (one number: always the "
        "same); t is plain stitches of give. "
        '`evenround figures NAME` writes one out; a brief names one with figure = "NAME".'
    )
    return f"{lay_out(columns)}\n\n{paragraph(under)}\n"


def figure_text(figure: FigureRounds, terms: Terms) -> str:
    """One figure at 80 columns: what it takes, its rounds in words, its notes."""
    lines = [paragraph(_heading(figure))]
    lines += [paragraph(each) for each in _about(figure, terms)]
    lines.append("")
    for line in round_lines(figure, terms):
        lines.append(paragraph(_sentence(line), "  ", ""))
    if figure.note:
        lines += ["", paragraph(f"Note: {_told(figure, terms)}.")]
    return "\n".join(lines) + "\n"


def _heading(figure: FigureRounds) -> str:
    many = term(*figure.terms()[0])
    return f"{figure.name}: multiple {many}, rounds {rounds_words(figure)}"


def _about(figure: FigureRounds, terms: Terms) -> Iterator[str]:
    names = ", ".join(in_terms(name, terms) for name in figure.stitches())
    yield f"counts per repeat: {counts_words(figure)}; made of {names}"
    if figure.on is not None:
        yield f"worked on a round of {in_terms(figure.on, terms)}"
    if figure.turned:
        yield "turn before every round"
    if figure.even:
        yield "wants an even number of repeats"
    if figure.spiral:
        yield f"in a spiral: whole repeats and {figure.spiral} more"
    if figure.open:
        yield "open: lets the sun through"
    if figure.has_give:
        yield "t: plain stitches between, as many as suit the count"


def _sentence(line: Line) -> str:
    when = "after the first time, " if line.label == "Rnd 1" else ""
    begin = f"{when}begin at {line.begin}: " if line.begin else ""
    how = f" ({line.how})" if line.how else ""
    return f"{line.label}: {begin}{line.words}{how} [{line.leaves} a repeat]"


def _note(figure: FigureRounds, terms: Terms) -> str:
    """The note, which the tables have in US terms."""
    return _in_terms(figure.note, terms)


SOURCES = {
    "ours": "our own figure",
    "memory": "written from memory",
    "common": "in common use, no source",
}
"""What the tables have in one word, for a reader."""


def _told(figure: FigureRounds, terms: Terms) -> str:
    """The note as sentences, with where the figure is from in plain words."""
    parts = [part for part in figure.note.split("; ") if part]
    plain = list(dict.fromkeys(SOURCES.get(part, part) for part in parts))
    if {"common", "memory"} <= set(parts):
        plain = [part for part in plain if part != SOURCES["common"]]
        plain[plain.index(SOURCES["memory"])] = "in common use; written from memory"
    return _in_terms("; ".join(plain), terms)


def _in_terms(text: str, terms: Terms) -> str:
    return re.sub(r"\b[a-z]+\b", lambda word: in_terms(word[0], terms), text)


def list_markdown(figures: Sequence[FigureRounds], terms: Terms) -> str:
    """The list as a Markdown table."""
    lines = [_bar(COLUMNS), _bar("---" for _ in COLUMNS)]
    return "\n".join([*lines, *(_bar(row(figure, terms)) for figure in figures)]) + "\n"


def figure_markdown(figure: FigureRounds, terms: Terms) -> str:
    """One figure as a Markdown list of its rounds."""
    lines = [f"**{_heading(figure)}**", "", *(f"- {each}" for each in _about(figure, terms)), ""]
    for place, line in enumerate(round_lines(figure, terms), 1):
        lines.append(f"{place}. {_sentence(line)}".replace("*", "\\*"))
    return (
        "\n".join([*lines, *(["", f"Note: {_told(figure, terms)}."] if figure.note else [])]) + "\n"
    )


def _bar(cells: Iterable[str]) -> str:
    return f"| {' | '.join(cells)} |"


def to_csv(figures: Sequence[FigureRounds], terms: Terms, *, one: bool) -> str:
    """The list, or where ``one`` the rounds of the only figure, one line each."""
    if not one:
        return csv_text(COLUMNS, (row(figure, terms) for figure in figures))
    lines = round_lines(figures[0], terms)
    return csv_text(
        ("round", "begin", "words", "how", "leaves"),
        ((line.label, line.begin, line.words, line.how, line.leaves) for line in lines),
    )


def to_json(figures: Sequence[FigureRounds], terms: Terms, *, one: bool) -> str:
    """A list of figures, or where ``one`` the only figure, as JSON."""
    data = [_data(figure, terms) for figure in figures]
    return json.dumps(data[0] if one else data, indent=2, ensure_ascii=False) + "\n"


def _data(figure: FigureRounds, terms: Terms) -> dict[str, Any]:
    counts = [term(*each) for each in figure.terms()]
    return {
        "figure": figure.name,
        "multiple": counts[0],
        "rounds": len(figure.once),
        "or_more": figure.stretches,
        "counts": counts,
        "stitches": [in_terms(name, terms) for name in figure.stitches()],
        "open": figure.open,
        "on": None if figure.on is None else in_terms(figure.on, terms),
        "turned": figure.turned,
        "even_repeats": figure.even,
        "spiral_over": figure.spiral,
        "note": _note(figure, terms),
        "terms": terms,
        "worked": [
            {"label": x.label, "begin": x.begin, "words": x.words, "how": x.how, "leaves": x.leaves}
            for x in round_lines(figure, terms)
        ],
    }
