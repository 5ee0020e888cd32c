"""A workbook: typed columns, texts that stay texts, names a spreadsheet can bear."""

from __future__ import annotations

import io
import sys
import zipfile
from datetime import datetime
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from openpyxl import load_workbook
from openpyxl.worksheet.worksheet import Worksheet

from evenround.cli import main
from evenround.cli.errors import Exit
from evenround.tables.sheets import (
    Column,
    Sheet,
    column,
    number_format,
    sheet_names,
    text_column,
    workbook,
)


def page(sheet: Sheet) -> Worksheet:
    found = load_workbook(io.BytesIO(workbook([sheet], "title")))[sheet.name]
    assert isinstance(found, Worksheet)
    return found


def sample(*rows: tuple[str | int | float | bool | None, ...]) -> Sheet:
    return Sheet("hats", (column("rank"), text_column("words"), column("miss_cm")), rows)


def test_numbers_are_numbers_and_texts_are_texts() -> None:
    made = page(sample((1, "8 x 13", -0.4), (2, "6-12", None)))
    assert [cell.value for cell in made[1]] == ["rank", "words", "miss cm"]
    assert [(c.value, c.data_type) for c in made[2]] == [(1, "n"), ("8 x 13", "s"), (-0.4, "n")]
    assert [c.number_format for c in made[2]] == ["0", "General", "+0.00;-0.00;0.00"]
    assert made["B3"].value == "6-12"  # no date
    assert made["C3"].value is None


@pytest.mark.parametrize("text", ["=1+1", "+1", "-2", "@here", "\tx", "#N/A", "2026-01-01", "1e5"])
def test_a_text_is_never_anything_else(text: str) -> None:
    cell = page(sample((1, text, 0.0)))["B2"]
    assert (cell.value, cell.data_type) == (text, "s")
    assert bool(cell.quotePrefix) == (text[0] in "=+-@\t")


@given(st.text(max_size=30))
def test_any_text_gives_a_workbook(text: str) -> None:
    """XML knows no control characters; whatever else there is comes back."""
    kept = "".join(c for c in text if c in "\t\n\r" or (c >= " " and c not in "\ufffe\uffff"))
    found = page(sample((1, text, 0.0)))["B2"].value or ""
    assert str(found).replace("\r\n", "\n").replace("\r", "\n") == kept.replace(
        "\r\n", "\n"
    ).replace("\r", "\n")


def test_headings_stay_in_sight_and_columns_are_wide_enough() -> None:
    words = "a nudge of two stitches before the sides"
    made = page(Sheet("hats", sample().columns, ((1, words, 0.0), (2, "x " * 80, 0.0)), frozen=2))
    assert made.freeze_panes == "C2"
    assert made.auto_filter.ref == "A1:C3"
    assert len(words) < made.column_dimensions["B"].width < 80
    assert made["B3"].alignment.wrap_text
    assert made["A1"].font.bold


def test_the_same_sheets_are_the_same_bytes() -> None:
    data = workbook([sample((1, "x", 0.5))], "hat")
    assert data == workbook([sample((1, "x", 0.5))], "hat")
    with zipfile.ZipFile(io.BytesIO(data)) as packed:
        assert {each.date_time[0] for each in packed.infolist()} == {1980}
        core = packed.read("docProps/core.xml").decode()
    assert str(datetime.now().year) not in core
    assert ">hat<" in core


@pytest.mark.parametrize(
    ("name", "found"),
    [
        ("circumference_cm", "0.00"),
        ("circumference_miss_in", "+0.000;-0.000;0.000"),
        ("flare_deg", "0.0"),
        ("fullness", "0.000"),
        ("side_count", "0"),
        ("count_in", "0"),
        ("change", "+0;-0;0"),
        ("chance", "0%"),
        ("yarn_g", "0.0"),
    ],
)
def test_number_formats_follow_the_unit(name: str, found: str) -> None:
    assert number_format(name) == found
    assert column(name) == Column(name.replace("_", " "), found)


def test_names_of_sheets() -> None:
    names = ["S/M", "s-m", "Rounds", "[x]:*?", "", "a" * 40, "a" * 41, "'quoted'", "History"]
    made = sheet_names(names, ("Rounds", "Brief"))
    assert made[:5] == ["S-M", "s-m (2)", "Rounds (2)", "-x----", "size"]
    assert made[5:] == ["a" * 31, "a" * 27 + " (2)", "quoted", "History (2)"]


@given(st.lists(st.text(max_size=40), max_size=8))
def test_names_are_all_different_and_bearable(names: list[str]) -> None:
    made = sheet_names(names, ("Brief",))
    assert len({name.casefold() for name in (*made, "Brief")}) == len(names) + 1
    assert all(1 <= len(name) <= 31 and not set(name) & set("[]:*?/\\") for name in made)
    sheets = [Sheet(name, (column("rank"),), ((1,),)) for name in made]
    if sheets:
        assert load_workbook(io.BytesIO(workbook(sheets, ""))).sheetnames == made


# --- on the command line -------------------------------------------------------------------

CALLS = {
    "fit": ["fit", "--example"],
    "grade": ["grade", "--example", "bucket"],
    "rank": ["rank", "--example", "--yarns", "yarns.csv"],
    "adapt": ["adapt", "brief.toml", "--repeat", "4"],
}


@pytest.mark.parametrize("name", list(CALLS))
def test_not_for_the_terminal(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main([*CALLS[name], "--format", "xlsx"]) == Exit.BAD_INPUT
    out, err = capsys.readouterr()
    assert out == ""
    assert err.count("\n") == 1
    assert "xlsx is a workbook and no text for a terminal; with --out FILE.xlsx" in err


@pytest.mark.parametrize("terminal", [False, True])
def test_a_minus_is_for_pipes_only(
    terminal: bool, capsysbinary: pytest.CaptureFixture[bytes], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys.stdout, "isatty", lambda: terminal, raising=False)
    ends = main([*CALLS["fit"], "--best", "1", "--format", "xlsx", "--out", "-"])
    out, err = capsysbinary.readouterr()
    if terminal:
        assert (ends, out) == (Exit.BAD_INPUT, b"")
        assert b"no text for a terminal" in err
    else:
        assert (ends, err) == (Exit.DONE, b"")
        assert "Rounds" in load_workbook(io.BytesIO(out)).sheetnames


@pytest.mark.parametrize("name", list(CALLS))
def test_without_the_package_it_says_how_to_install(
    name: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr("evenround.cli.sheets.find_spec", lambda name: None)
    target = tmp_path / "hats.xlsx"
    assert main([*CALLS[name], "--format", "xlsx", "--out", str(target)]) == Exit.BAD_INPUT
    err = capsys.readouterr().err
    assert err.count("\n") == 1
    assert "pip install openpyxl" in err
    assert not target.exists()


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["fit", "--count", "60"], "--format: xlsx does not go with --count"),
        (["fit", "--example", "--detail", "1"], "--detail: words do not go with --format xlsx"),
        (["grade", "--example", "--detail", "1"], "--detail: words do not go with --format xlsx"),
        (["adapt", "x", "--repeat", "4", "--write", "1"], "--write: words do not go with"),
        (["audit", "x"], "--format"),
        (["coverage", "--example"], "--format"),
        (["gauge", "19 x 15"], "--format"),
    ],
)
def test_where_it_does_not_go(
    arguments: list[str], said: str, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    target = tmp_path / "hats.xlsx"
    assert main([*arguments, "--format", "xlsx", "--out", str(target)]) == Exit.BAD_INPUT
    assert said in capsys.readouterr().err
    assert not target.exists()
