"""The second opinion against the exact search, on hypothesis-made pieces: they share nothing but
the piece and whole micrometres, and must say the same."""

from __future__ import annotations

import ast
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from test_search_exhaustive import cowls, hats

from evenround.solver import Brim, Even, Gauge, Piece, textbook
from evenround.solver.piece import Limits
from evenround.solver.search import search
from evenround.solver.textbook import second_opinion
from evenround.solver.ways import Ways
from evenround.tables.brief import EXAMPLES, example_brief, plan

FEW = settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))


def agree(piece: Piece) -> None:
    found = bool(search(Ways(piece), 1).designs)
    assert second_opinion(piece, 10.0).verdict == ("possible" if found else "impossible")


@FEW
@given(hats())
def test_hats_are_possible_where_the_search_finds_one(piece: Piece) -> None:
    agree(piece)


@FEW
@given(cowls())
def test_pieces_without_a_crown_are_possible_where_the_search_finds_one(piece: Piece) -> None:
    agree(piece)


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_examples_are_possible_and_their_counts_run_on(name: str) -> None:
    brief = example_brief(name)
    for size in brief.sizes:
        opinion = second_opinion(plan(brief, size).piece)
        assert opinion.verdict == "possible"
        afters = [after for *_, after in opinion.sections]
        befores = [before for _, _, before, _ in opinion.sections]
        assert befores[1:] == afters[:-1]


def test_eight_brim_sectors_suit_three_of_the_bucket_sizes() -> None:
    """demos.md: asking for 8 brim sectors everywhere is a conflict of the first and last size."""
    brief, verdicts = example_brief("bucket"), []
    for size in brief.sizes:
        piece = plan(brief, size).piece
        sections = tuple(
            replace(s, sector_range=(8, 8)) if isinstance(s, Brim) else s for s in piece.sections
        )
        verdicts.append(second_opinion(replace(piece, sections=sections)).verdict)
    assert verdicts == ["impossible", "possible", "possible", "possible", "impossible"]


@pytest.mark.parametrize("around_cm", [50, 250, 500])
@pytest.mark.parametrize("fullness", [1.05, 1.1, 1.2, 2])
def test_a_brim_s_edge_is_judged_on_every_count(around_cm: float, fullness: float) -> None:
    """A tube of its own circumference, 100 to 1000 stitches, with a brim that ripples: its edge
    within 0.01 cm, so that most counts have none, and within the usual tolerance."""
    hdc = Gauge(width_cm=0.5, height_cm=0.5)
    sections = (
        Even(hdc, rounds=(3, 5), around_cm=around_cm),
        Brim(hdc, width_cm=6, fullness=fullness),
    )
    for edge_cm in (0.01, 0.3, Limits().edge_cm):
        agree(Piece(sections=sections, limits=Limits(edge_cm=edge_cm)))


def test_it_shares_nothing_with_the_search_but_the_piece_and_units() -> None:
    folder = Path(textbook.__file__).parent
    for path in folder.glob("textbook*.py"):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        inside = {
            node.module
            for node in ast.walk(tree)
            if isinstance(node, ast.ImportFrom) and node.level == 1
        }
        others = {name for name in inside if name and not name.startswith("textbook")}
        assert others <= {"piece", "units"}, path.name
        assert "evenround" not in path.read_text(encoding="utf-8")
