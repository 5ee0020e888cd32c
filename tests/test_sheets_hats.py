"""What stands in the workbooks of fit, grade, rank and adapt, against the results themselves."""

from __future__ import annotations

import io
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from every_command import PATTERN, YARNS
from families_by_hand import grade_by_hand
from openpyxl import load_workbook
from test_tables_out_sample import garden_fit, garden_plan

from evenround.cli import main
from evenround.cli.errors import Exit
from evenround.solver.candidate import Candidate, Fit
from evenround.tables import example_brief, shown
from evenround.tables.brief import family_of
from evenround.tables.draw import side_view
from evenround.tables.family import Graded
from evenround.tables.sheets_fit import fit_workbook
from evenround.tables.sheets_grade import grade_workbook

Row = dict[str, Any]


def book_of(data: bytes | Path) -> dict[str, list[Row]]:
    """Every sheet as rows by their headings, in order."""
    book = load_workbook(io.BytesIO(data) if isinstance(data, bytes) else data)
    found = {}
    for page in book:
        head, *rows = [[cell.value for cell in row] for row in page.iter_rows()]
        found[page.title] = [dict(zip(map(str, head), row, strict=True)) for row in rows]
    return found


def rounds_of(rows: list[Row], candidate: Candidate) -> None:
    """The rows are the candidate's rounds: numbers, counts, changes, widths."""
    counts = candidate.tally.round_counts
    assert [row["round"] for row in rows] == list(range(1, len(counts) + 1))
    assert [row["count"] for row in rows] == list(counts)
    assert [row["change"] for row in rows] == [
        change for section in candidate.tally.sections for change in section.changes
    ]
    widths = candidate.measures.round_widths_cm
    for row, wide in zip(rows, widths, strict=True):
        assert row["around cm"] is None or row["around cm"] == pytest.approx(wide, abs=0.006)


# --- fit ----------------------------------------------------------------------------------


def test_fit_has_a_sheet_for_the_size_near_misses_rounds_and_the_brief() -> None:
    plan, found = garden_plan(size="S/M", sizes=("S/M", "L")), garden_fit()
    book = book_of(fit_workbook(plan, found, "cm"))
    assert list(book) == ["S-M", "Near misses", "Rounds", "Brief"]
    for row, candidate in zip(book["S-M"], found.candidates, strict=True):
        assert row["rank"] == candidate.rank
        assert row["side count"] == 108
        assert row["circumference cm"] == round(108 * 10 / 19, 2)
        assert row["score mm"] == round(candidate.measures.score_mm, 2)
        rounds_of([r for r in book["Rounds"] if r["rank"] == candidate.rank], candidate)
    assert [row["stitches"] for row in book["Near misses"]] == [104, 112]
    brief = book["Brief"]
    assert {"what": "title", "size": None, "value": None, "words": plan.title} in brief
    assert {"what": "head, cm", "size": "S/M", "value": 57, "words": None} in brief
    said = {row["words"] for row in brief if row["what"] in ("assumed", "note", "caution")}
    assert {*plan.assumptions, *plan.notes} < said
    assert any("no sun protection" in str(words) for words in said)


def test_fit_in_inches() -> None:
    book = book_of(fit_workbook(garden_plan(), garden_fit(), "in"))
    assert book["one size"][0]["circumference in"] == round(108 * 10 / 19 / 2.54, 3)
    assert "around in" in book["Rounds"][0]


def test_places_inside_a_figure_have_no_width() -> None:
    """108, 132, 108, ...: the counts inside an open fan are no measure of width (demos)."""
    rows = book_of(fit_workbook(garden_plan(), garden_fit(), "cm"))["Rounds"]
    assert {row["around cm"] for row in rows if row["count"] == 132} == {None}
    assert None not in {row["across cm"] for row in rows if row["section"] == "crown"}


def test_without_near_misses_there_is_no_sheet_of_them() -> None:
    found = replace(garden_fit(), near_misses=())
    assert "Near misses" not in book_of(fit_workbook(garden_plan(), found, "cm"))


def test_steady_says_how_sure(tmp_path: Path) -> None:
    target = tmp_path / "hats.xlsx"
    asked = ["fit", "--example", "--steady", "--best", "2", "--format", "xlsx"]
    assert main([*asked, "--out", str(target)]) == 0
    rows = book_of(target)["one size"]
    assert all(0 < row["chance"] < 1 for row in rows)


def test_nothing_to_list_is_no_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    target = tmp_path / "hats.xlsx"
    asked = ["fit", "--head", "56", "--gauge", "18 x 14 / 10cm", "--repeat", "41"]
    assert main([*asked, "--format", "xlsx", "--out", str(target)]) == Exit.IMPOSSIBLE
    assert not target.exists()
    assert capsys.readouterr().err


# --- grade --------------------------------------------------------------------------------


def bucket() -> Graded:
    plans, rules = family_of(example_brief("bucket"))
    found = grade_by_hand([plan.piece for plan in plans], rules, best=1)
    return Graded(tuple(plans), rules, found, "cm")


def test_grade_has_a_sheet_a_size() -> None:
    """Sides 84, 88, 96, 104, 108: our own scenario (demos)."""
    graded = bucket()
    family = graded.grade.families[0]
    book = book_of(grade_workbook(graded))
    sizes = ["6-12 months", "1-3 years", "4-8 years", "adult S-M", "adult L"]
    assert list(book) == ["Families", *sizes, "Rounds", "Brief"]
    counts = (84, 88, 96, 104, 108)
    for name, plan, member, count in zip(sizes, graded.plans, family.members, counts, strict=True):
        assert [row["side count"] for row in book[name]] == [count]
        assert book["Families"][0][f"stitches {plan.size}"] == count
        rounds_of([r for r in book["Rounds"] if r["size"] == plan.size], member)
    heads = [row["value"] for row in book["Brief"] if row["what"] == "head, cm"]
    assert heads == [45, 49, 52, 56, 59]
    assert any("cords" in str(row["words"]) for row in book["Brief"] if row["what"] == "caution")


# --- rank and adapt -------------------------------------------------------------------------


def test_rank_has_a_row_a_yarn_in_every_size(tmp_path: Path) -> None:
    yarns, target = tmp_path / "yarns.csv", tmp_path / "ranked.xlsx"
    yarns.write_text(YARNS + "Moor,hdc,14,11,10cm\n", encoding="utf-8")
    asked = ["rank", "--example", "bucket", "--size", "adult L", "--yarns", str(yarns)]
    assert main([*asked, "--format", "xlsx", "--out", str(target)]) == 0
    book = book_of(target)
    assert list(book) == ["Yarns", "adult L", "Rounds", "Brief"]
    assert {row["yarn"] for row in book["Yarns"]} == {"Fen cotton", "Moor"}
    for row in book["adult L"]:
        mine = [r for r in book["Rounds"] if r["yarn"] == row["yarn"]]
        assert row["side count"] in {r["count"] for r in mine}
        assert mine[-1]["round"] == len(mine)
    assert any(row["what"] == "order" for row in book["Brief"])


def test_adapt_has_the_design_as_it_was_and_every_way(tmp_path: Path) -> None:
    source, target = tmp_path / "cap.txt", tmp_path / "cap.xlsx"
    source.write_text(PATTERN, encoding="utf-8")
    asked = ["adapt", str(source), "--repeat", "4", "--best", "2"]
    assert main([*asked, "--format", "xlsx", "--out", str(target)]) == 0
    book = book_of(target)
    assert list(book) == ["Ways", "Sections", "Rounds", "Brief"]
    assert [row["count"] for row in book["Rounds"] if row["rank"] == 0] == [6, 12, *[18] * 6]
    for row in book["Ways"]:
        assert row["side count"] % 4 == 0
        last = [r["count"] for r in book["Rounds"] if r["rank"] == row["rank"]][-1]
        assert last == row["side count"]
    assert {row["what"] for row in book["Brief"]} >= {"title", "asked", "as it is", "note"}


def test_what_comes_nearest_has_no_number(tmp_path: Path) -> None:
    source, target = tmp_path / "cap.txt", tmp_path / "cap.xlsx"
    source.write_text(PATTERN, encoding="utf-8")
    asked = ["adapt", str(source), "--repeat", "17", "--sectors", "5", "--head", "20"]
    asked += ["--gauge", "10 x 10 / 10cm", "--format", "xlsx", "--out", str(target)]
    assert main(asked) == Exit.IMPOSSIBLE
    book = book_of(target)
    assert {row.get("rank") for row in book["Ways"]} == {None}
    assert any("comes nearest" in str(row["words"]) for row in book["Brief"])


# --- notebooks -----------------------------------------------------------------------------


def test_a_notebook_shows_a_fit_with_its_drawing() -> None:
    made = shown(garden_plan(), garden_fit())
    html = made._repr_html_()
    assert html.count("<tr") == 3  # the headings and two hats
    assert "<td>108</td>" in html
    assert made.drawings == (side_view(garden_plan(), garden_fit().candidates[0], "cm"),)
    assert html.count(f"<figure>{made.drawings[0]}</figure>") == 1
    assert made.frame["circumference_cm"].tolist() == [56.84, 56.84]
    assert repr(made).startswith("Oskerrow Bay, a garden hat\n")


def test_a_notebook_shows_inches() -> None:
    made = shown(garden_plan(), garden_fit(), "in")
    assert "circumference_in" in made._repr_html_()
    assert "around in" in made.drawings[0]


def test_a_notebook_shows_families_and_nothing_where_there_is_nothing() -> None:
    graded = bucket()
    html = shown(graded)._repr_html_()
    assert html.count("<tr") == 6
    assert all(f"<td>{count}</td>" in html for count in (84, 88, 96, 104, 108))
    none = shown(garden_plan(), Fit("impossible", (), (), ()))
    assert "No design meets every requirement." in none._repr_html_()
    assert repr(none).endswith("No design meets every requirement.")
    with pytest.raises(TypeError, match="comes with its fit"):
        shown(garden_plan())  # type: ignore[call-overload]
