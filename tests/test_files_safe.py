"""Text from a brief or a pattern stays text: in CSV, in Markdown, in HTML, in a workbook."""

from __future__ import annotations

import ast
import csv
import io
import json
import re
from html.parser import HTMLParser
from pathlib import Path

import pytest
from every_command import PATTERN, YARNS
from hypothesis import given
from hypothesis import strategies as st
from openpyxl import load_workbook

from evenround.cli import main
from evenround.cli.errors import Exit
from evenround.solver import fit
from evenround.tables import read_brief, shown
from evenround.tables.brief import plan
from evenround.tables.safe import csv_text, fenced, in_markdown, looks_like_formula, safe_text

ROOT = Path(__file__).resolve().parents[1]
SCRIPT = "<script>alert(1)</script>"
BRIEF = f'''
title = "{SCRIPT}"
depth = 19
sizes = [{{ name = "=1+1 <b>", head = 55 }}, {{ name = "@<i>", head = 59 }}]

[gauge]
hdc = "18 x 13.5 / 10cm"

[[sections]]
kind = "crown"
name = "-crown <u>"

[[sections]]
kind = "even"

[[sections]]
kind = "band"
repeat = 4
name = "+band <s>"

[[sections]]
kind = "brim"
width = 6
flare = 30
'''
Caught = pytest.CaptureFixture[str]


# --- spreadsheets ------------------------------------------------------------------------


@pytest.mark.parametrize("sign", ["=", "+", "-", "@", "\t", "\r", "\n", "  =", "\uff1d"])
def test_what_looks_like_a_formula_is_marked_as_text(sign: str) -> None:
    assert looks_like_formula(f"{sign}1+1")
    assert safe_text(f"{sign}1+1") == f"'{sign}1+1".replace("\r", "\n")


@pytest.mark.parametrize("text", ["", "8 x 13 + 4", "1-3 years", "x=1", " hat", "'tis"])
def test_other_texts_stay_as_they_are(text: str) -> None:
    assert safe_text(text) == text


@given(st.lists(st.lists(st.text() | st.integers() | st.none(), min_size=2, max_size=2)))
def test_every_cell_comes_back_and_none_is_a_formula(rows: list[list[str | int | None]]) -> None:
    text = csv_text(["a", "=b"], rows)
    read = list(csv.reader(io.StringIO(text, newline="")))
    assert read[0] == ["a", "'=b"]
    for cells, row in zip(read[1:], rows, strict=True):
        for cell, value in zip(cells, row, strict=True):
            if isinstance(value, str):
                assert not looks_like_formula(cell)
                plain = value.replace("\r\n", "\n").replace("\r", "\n")
                assert cell in (plain, f"'{plain}")
            else:
                assert cell == ("" if value is None else str(value))


def test_only_one_module_writes_csv() -> None:
    writers = set()
    for path in [*(ROOT / "tables").rglob("*.py"), *(ROOT / "cli").rglob("*.py")]:
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Attribute) and node.attr in ("writer", "DictWriter"):
                writers.add(path.name)
            frame = isinstance(node, ast.keyword) and node.arg == "lineterminator"
            if frame:
                writers.add(path.name)
    assert writers == {"safe.py"}


# --- Markdown ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "shown_as"),
    [
        (SCRIPT, "\\<script\\>alert(1)\\</script\\>"),
        ("a|b", "a\\|b"),
        ("![x](y)", "!\\[x\\](y)"),
        ("*bold* _it_ `code` ~~no~~", "\\*bold\\* \\_it\\_ \\`code\\` \\~\\~no\\~\\~"),
        ("&lt;b&gt; & more", "\\&lt;b\\&gt; & more"),
        ("# head, # not", "\\# head, # not"),
        ("uk_mesh ~ 8", "uk_mesh ~ 8"),
        ("\\", "\\\\"),
    ],
)
def test_markdown_shows_it_as_it_is(text: str, shown_as: str) -> None:
    assert in_markdown(text) == shown_as


def test_a_fence_is_longer_than_the_ticks_in_it() -> None:
    assert fenced("plain\n") == "```text\nplain\n```"
    assert fenced("a\n````\nb") == "`````text\na\n````\nb\n`````"


# --- every format of every command that is given a title -------------------------------------


@pytest.fixture
def brief(tmp_path: Path) -> str:
    path = tmp_path / "brief.toml"
    path.write_text(BRIEF, encoding="utf-8")
    return str(path)


def calls(brief: str, folder: Path) -> dict[str, list[str]]:
    yarns = folder / "yarns.csv"
    yarns.write_text(YARNS.replace("Fen cotton", f"={SCRIPT}"), encoding="utf-8")
    return {
        "fit": ["fit", brief, "--best", "2"],
        "steady": ["fit", brief, "--best", "2", "--steady"],
        "grade": ["grade", brief, "--best", "1"],
        "why": ["why", brief],
        "write": ["write", brief],
        "all sizes": ["write", brief, "--all-sizes"],
        "coverage": ["coverage", brief],
        "rank": ["rank", brief, "--yarns", str(yarns)],
        "adapt": ["adapt", brief, "--repeat", "3", "--best", "1"],
        "gauge": ["gauge", "18 x 13", "--over", "10cm", "--brief", brief],
    }


NAMES = ["fit", "steady", "grade", "why", "write", "all sizes", "coverage", "rank", "adapt"]
NAMES.append("gauge")
TITLED = [name for name in NAMES if name != "gauge"]  # which names sizes only


@pytest.mark.parametrize("name", TITLED)
def test_a_title_is_a_title_on_the_page(
    name: str, brief: str, tmp_path: Path, capsys: Caught
) -> None:
    assert main(calls(brief, tmp_path)[name]) == 0
    assert SCRIPT in capsys.readouterr().out


@pytest.mark.parametrize("name", NAMES)
def test_nothing_is_markup_in_markdown(
    name: str, brief: str, tmp_path: Path, capsys: Caught
) -> None:
    assert main([*calls(brief, tmp_path)[name], "--format", "markdown"]) == 0
    text = capsys.readouterr().out
    outside = re.sub(r"^(`{3,})text\n.*?^\1$", "", text, flags=re.DOTALL | re.MULTILINE)
    assert re.search(r"(?<!\\)<", outside) is None
    if name in TITLED:
        assert in_markdown(SCRIPT) in outside


@pytest.mark.parametrize("name", [n for n in NAMES if n not in ("why", "write", "all sizes")])
def test_nothing_is_a_formula_in_csv(name: str, brief: str, tmp_path: Path, capsys: Caught) -> None:
    assert main([*calls(brief, tmp_path)[name], "--format", "csv"]) == 0
    rows = list(csv.reader(io.StringIO(capsys.readouterr().out)))
    assert len(rows) > 1
    for cell in (cell for row in rows for cell in row):
        assert not looks_like_formula(cell) or float(cell) < 0  # a number below zero is one
    assert any(
        cell.startswith(("'=1+1 <b>", "'@<i>", "'+band <s>")) for row in rows for cell in row
    )


@pytest.mark.parametrize("name", NAMES)
def test_json_is_json(name: str, brief: str, tmp_path: Path, capsys: Caught) -> None:
    assert main([*calls(brief, tmp_path)[name], "--format", "json"]) == 0
    assert json.loads(capsys.readouterr().out)


@pytest.mark.parametrize("name", ["fit", "steady", "grade", "rank", "adapt"])
def test_a_title_is_a_title_in_a_workbook(name: str, brief: str, tmp_path: Path) -> None:
    target = tmp_path / "hats.xlsx"
    asked = [*calls(brief, tmp_path)[name], "--format", "xlsx", "--out", str(target)]
    assert main(asked) == 0
    book = load_workbook(target)
    cells = [cell for page in book for row in page.iter_rows() for cell in row]
    assert SCRIPT in {cell.value for cell in cells}
    assert not [cell.value for cell in cells if cell.data_type == "f"]
    assert any(str(cell.value).startswith(("=1+1 <b>", "@<i>", "+band <s>")) for cell in cells)


@pytest.mark.parametrize("command", ["audit", "adapt"])
@pytest.mark.parametrize("format", ["markdown", "csv"])
def test_what_a_pattern_says_is_text(
    command: str, format: str, tmp_path: Path, capsys: Caught
) -> None:
    source = tmp_path / "<b>=cap.txt"
    source.write_text(f"{SCRIPT}\n\n=Crown <u>\n{PATTERN}Rnd 9: <i>x</i> (18)\n", encoding="utf-8")
    more = ["--repeat", "4"] if command == "adapt" else []
    assert main([command, str(source), *more, "--format", format]) == Exit.IN_PART
    out = capsys.readouterr().out
    if format == "markdown":
        assert re.search(r"(?<!\\)<", out) is None
        assert "\\<i" in out or "\\<b" in out
    else:
        cells = [cell for row in csv.reader(io.StringIO(out)) for cell in row]
        assert not [cell for cell in cells if looks_like_formula(cell)]


class Tags(HTMLParser):
    """The tags of a piece of HTML and its text."""

    def __init__(self) -> None:
        super().__init__()
        self.tags: set[str] = set()
        self.text = ""

    def handle_starttag(self, tag: str, attrs: object) -> None:
        self.tags.add(tag)

    def handle_data(self, data: str) -> None:
        self.text += data


def test_a_title_is_a_title_in_a_notebook() -> None:
    planned = plan(read_brief(BRIEF.encode(), "brief"), "@<i>")
    page = Tags()
    page.feed(shown(planned, fit(planned.piece, best=1))._repr_html_())
    assert SCRIPT in page.text
    assert "@<i>" in page.text
    assert not page.tags & {"script", "b", "i", "u", "s"}
    assert "table" in page.tags
