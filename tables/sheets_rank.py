"""Ranked yarns as a workbook: the yarns, a sheet a size, every round, the brief."""

from __future__ import annotations

from collections.abc import Iterator

from .plan import Plan, Unit
from .rank.export import pair_row
from .rank.outcome import RankedYarn, Ranking
from .rank.page import below, order_lines
from .rank.words import counted, gauge_words
from .sheets import Sheet, Value, column, records_sheet, sheet_names, text_column, workbook
from .sheets_common import BRIEF, ROUNDS, brief_sheet, round_rows, rounds_sheet
from .words import clean

YARNS = "Yarns"
TEXTS = ("yarn", "made", "repeats", "nearest_miss", "warnings", "assumed")
"""Columns of a pair of yarn and size that are words."""


def rank_workbook(ranking: Ranking, unit: Unit, terms: str) -> bytes:
    """The file."""
    sheets = [_yarns(ranking, terms)]
    if ranking.yarns:
        names = sheet_names([clean(size) for size in ranking.sizes], (YARNS, ROUNDS, BRIEF))
        sheets += [_size(ranking, i, name, unit) for i, name in enumerate(names)]
        lead = (column("rank"), text_column("yarn"), text_column("size"))
        sheets.append(rounds_sheet(lead, _rounds(ranking, unit), unit))
    said = [("order", line) for line in order_lines(ranking)]
    said += [_kind(line) for line in below(ranking)]
    title = clean(ranking.title)
    sheets.append(brief_sheet(_wished(ranking), said, unit, title))
    return workbook(sheets, title)


def _wished(ranking: Ranking) -> list[Plan]:
    """The sizes as the best yarn has them; the gauges there are that yarn's."""
    return [made.plan for made in ranking.yarns[0].made] if ranking.yarns else []


def _yarns(ranking: Ranking, terms: str) -> Sheet:
    columns = (
        column("rank"),
        text_column("yarn"),
        text_column("gauge"),
        text_column("sizes made"),
        column("score_mm"),
        column("ball_g"),
        column("ball_m"),
    )
    return Sheet(YARNS, columns, tuple(_yarn(each, terms) for each in ranking.yarns), 2)


def _yarn(each: RankedYarn, terms: str) -> tuple[Value, ...]:
    score, yarn = each.place.score_mm, each.yarn
    return (
        *(each.place.rank, clean(yarn.name), gauge_words(yarn, terms), counted(each)),
        *(None if score is None else round(score, 2), yarn.ball_grams, yarn.ball_metres),
    )


def _size(ranking: Ranking, place: int, name: str, unit: Unit) -> Sheet:
    """A row a yarn, in one size; columns as in the CSV."""
    records = [pair_row(each, each.made[place], unit) for each in ranking.yarns]
    for record in records:
        del record["size"]
    return records_sheet(name, records, TEXTS, 2)


def _rounds(ranking: Ranking, unit: Unit) -> Iterator[tuple[Value, ...]]:
    for each in ranking.yarns:
        for made in each.made:
            if made.candidate is not None:
                lead = (each.place.rank, clean(each.yarn.name), clean(made.plan.size))
                yield from round_rows(lead, made.plan, made.candidate, unit)


def _kind(line: str) -> tuple[str, str]:
    kind, _, words = line.partition(": ")
    return kind.lower(), words
