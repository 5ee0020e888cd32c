"""An adapted design for other programs and documents: Markdown, CSV, JSON."""

from __future__ import annotations

import json
from collections.abc import Iterable
from typing import Any

from evenround.solver.adapt_search import side_count
from evenround.solver.tally import Tally
from evenround.tables.cautions import cautions
from evenround.tables.plan import Plan, Unit
from evenround.tables.safe import csv_text, in_markdown
from evenround.tables.words import clean, number

from .answer import Answer, Option
from .ask import Changes
from .page import CHANGED, HEADS, below, cautions_of, heading, table_rows
from .rewrite import NewRound


def to_markdown(answer: Answer, unit: Unit) -> str:
    """The facts as a list, before and after and the ways as tables, notes below."""
    original = answer.original
    out = [f"# {in_markdown(' '.join(heading(answer).split()))}", ""]
    facts = [*original.inferred]
    if original.gauge_words:
        facts.append(f"gauge: {original.gauge_words}")
    facts += [f"not said: {line}" for line in original.unsaid]
    facts += [f"not understood: {line}" for line in original.unread]
    out += [f"- {in_markdown(fact)}" for fact in facts]
    if answer.options:
        heads = ["", "section", *(f"{head} before" for head in HEADS)]
        heads += [f"{head} after" for head in HEADS]
        rows = table_rows(answer, answer.options[0], unit)
        out += ["", f"Number 1 beside what it was ({CHANGED} changed; widths in {unit}):", ""]
        out += [_bar(heads), _bar("---" for _ in heads), *(_bar(row) for row in rows)]
    else:
        out += ["", "Nothing near satisfies all of this. What comes nearest:"]
    shown = answer.options or answer.near
    heads = ["#", "changes in sts", "changes in mm", "fit in mm", "sides", "what changes"]
    out += ["", _bar(heads), _bar("---" for _ in heads), *(_bar(_cells(o)) for o in shown)]
    out += ["", *(f"{in_markdown(line)}\n" for line in below(answer, unit))]
    return "\n".join(out).rstrip() + "\n"


def _cells(option: Option) -> list[str]:
    what = "; ".join((*option.changes, *option.notes)) or "nothing"
    return [
        str(option.rank or "-"),
        number(option.change_stitches, 1),
        "" if option.change_mm is None else number(option.change_mm, 1),
        "" if option.score_mm is None else number(option.score_mm, 1),
        str(side_count(option.tally)),
        what,
    ]


def _bar(cells: Iterable[str]) -> str:
    return f"| {' | '.join(map(in_markdown, cells))} |"


COLUMNS = (
    "rank",
    "change_sts",
    "change_mm",
    "score_mm",
    "side_count",
    "side_cm",
    "section",
    "kind",
    "count_in",
    "count_out",
    "rounds",
    "repeat",
    "repeats",
    "sectors",
)


CSV_HEAD = csv_text(COLUMNS, [])
ASKED = ("repeat", "figure", "head", "ease", "gauge", "sectors")


def to_csv(answer: Answer) -> str:
    """A line for every section of the design as it is (rank 0) and of every way."""
    return csv_text(COLUMNS, section_rows(answer))


def section_rows(answer: Answer) -> list[tuple[object, ...]]:
    """The rows of COLUMNS, one a section of the design as it is and of every way."""
    rows = _lines(answer, (0, 0, None, None), answer.original.design.tally)
    for option in answer.options:
        lead = (
            option.rank,
            round(option.change_stitches, 3),
            None if option.change_mm is None else round(option.change_mm, 2),
            None if option.score_mm is None else round(option.score_mm, 2),
        )
        rows += _lines(answer, lead, option.tally)
    return rows


def _lines(answer: Answer, lead: tuple[object, ...], tally: Tally) -> list[tuple[object, ...]]:
    wide = _width(answer, tally, after=lead[0] != 0)
    side = side_count(tally)
    return [
        (
            *(*lead, side, wide, clean(s.name), s.section, s.count_in, s.count_out, s.rounds),
            *(s.repeat, s.repeats, s.sectors),
        )
        for s in tally.sections
    ]


def _width(answer: Answer, tally: Tally, *, after: bool) -> float | None:
    gauge = answer.request.gauge if after else answer.original.gauge
    return None if gauge is None else round(side_count(tally) * gauge.width_cm, 2)


def to_json(answer: Answer, written: tuple[NewRound, ...] | None = None) -> str:
    """Everything as one object, lengths in cm; ``written`` are the rounds asked for."""
    original = answer.original
    data: dict[str, Any] = {
        "title": clean(original.title),
        "size": original.size,
        "asked": list(answer.request.words),
        "band_only": answer.request.asked.band_only,
        "inferred": list(original.inferred),
        "not_said": list(original.unsaid),
        "not_understood": list(original.unread),
        "complete": original.complete,
        "before": _tally(answer, original.design.tally, after=False),
        "candidates": [_option(answer, option) for option in answer.options],
        "nearest": [_option(answer, option) for option in answer.near],
        "notes": list(answer.request.notes),
        "cautions": list(cautions_of(answer)),
    }
    if written is not None:
        data["written"] = [_round(each) for each in written]
    return json.dumps(data, indent=2, ensure_ascii=False) + "\n"


def none_json(made: Plan, changes: Changes) -> str:
    """The same keys where a brief has no design at all: no candidate, and nothing near."""
    asked = {name: getattr(changes, name) for name in ASKED}
    data: dict[str, Any] = {
        "title": clean(made.title),
        "size": clean(made.size) if len(made.sizes) > 1 else None,
        "asked": [f"{name} {clean(said)}" for name, said in asked.items() if said is not None],
        "band_only": changes.band_only,
        "inferred": [],
        "not_said": [],
        "not_understood": [],
        "complete": True,
        "before": None,
        "candidates": [],
        "nearest": [],
        "notes": [clean(note) for note in made.notes],
        "cautions": list(cautions(made)),
    }
    return json.dumps(data, indent=2, ensure_ascii=False) + "\n"


def _round(each: NewRound) -> dict[str, Any]:
    return {
        "first": each.first,
        "last": each.last,
        "section": each.section or None,
        "before": each.before or None,
        "words": each.words,
        "count": each.count,
        "as_it_was": each.kept,
    }


def _option(answer: Answer, option: Option) -> dict[str, Any]:
    return {
        "rank": option.rank or None,
        "change_sts": round(option.change_stitches, 3),
        "change_mm": None if option.change_mm is None else round(option.change_mm, 3),
        "score_mm": None if option.score_mm is None else round(option.score_mm, 6),
        "changes": list(option.changes),
        "notes": list(option.notes),
    } | _tally(answer, option.tally, after=True)


def _tally(answer: Answer, tally: Tally, *, after: bool) -> dict[str, Any]:
    return {
        "start": tally.start,
        "side_count": side_count(tally),
        "side_cm": _width(answer, tally, after=after),
        "stop_round": tally.stop_round,
        "final_count": tally.round_counts[-1],
        "tally": [
            {
                "section": s.section,
                "name": s.name,
                "rounds": s.rounds,
                "count_in": s.count_in,
                "count_out": s.count_out,
                "repeat": s.repeat,
                "repeats": s.repeats,
                "sectors": s.sectors,
            }
            for s in tally.sections
        ],
        "round_counts": list(tally.round_counts),
    }
