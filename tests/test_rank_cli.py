"""``evenround rank`` at the command line: exit codes, messages, formats, the progress bar."""

from __future__ import annotations

import io
import json
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from evenround.cli import main
from evenround.cli.rank import Progress
from evenround.solver import rank as solver_rank
from evenround.tables.brief_starter import starter_text

HEAD = "name,stitch,stitches,rounds,over,ball_grams,swatch_grams,swatch_area"
GOOD = "Fen cotton,hdc,18,13.5,10cm,50,4,10cm x 10cm"
BAD = "Moor,hdc,14,11,10,,,"

Run = Callable[..., int]


@pytest.fixture
def yarns(tmp_path: Path) -> Callable[..., str]:
    def write(*rows: str, name: str = "yarns.csv") -> str:
        path = tmp_path / name
        path.write_text("\n".join([HEAD, *rows]) + "\n", encoding="utf-8")
        return str(path)

    return write


@pytest.fixture
def run() -> Run:
    return lambda *arguments: main(["rank", *arguments])


Caught = pytest.CaptureFixture[str]


def test_a_page_for_people(run: Run, yarns: Callable[..., str], capsys: Caught):
    assert run("--example", "bucket", "--yarns", yarns(GOOD)) == 0
    out, err = capsys.readouterr()
    assert err == ""
    assert out.startswith("Tamsellick, a bucket hat in five sizes: 1 yarn compared, 5 sizes.\n")
    assert "Every design listed is proven the best of its yarn and size." in out
    assert max(map(len, out.splitlines())) <= 80


NUDGED = """title = "a nudged hat"
stitch = "hdc"
head = 54
ease = 1
[gauge]
hdc = "17 x 13 / 10cm"
sc = "18 x 21 / 10cm"
[[sections]]
kind = "crown"
sectors = 8
[[sections]]
kind = "even"
[[sections]]
kind = "band"
name = "mesh"
figure = "open fan with give"
measured_height = 2.0
stitch = "hdc"
[[sections]]
kind = "brim"
stitch = "sc"
width = 5
flare = 45
"""


def test_every_section_named_as_unweighed_may_have_the_row_it_is_said_to(
    run: Run, yarns: Callable[..., str], tmp_path: Path, capsys: Caught
):
    """At 17 sts in 10 cm and a head of 54 no crown of 8 sectors fits the fans without a nudge."""
    brief = tmp_path / "hat.toml"
    brief.write_text(NUDGED, encoding="utf-8")
    hat, rows = str(brief), ["Reed,hdc,17,13,10cm,50,4.8,100cm2"]

    def said() -> str:
        assert run(hat, "--yarns", yarns(*rows)) == 0
        out, err = capsys.readouterr()
        assert "line" not in err
        return " ".join(out.split())

    page = said()
    assert "nobody weighed: mesh; a row with that name" in page
    assert "the gauge is assumed of: brim; a row for the stitch, with its rounds" in page
    rows.append("Reed,mesh,,,,,4.8,100cm2")
    assert "no total, for the gauge is assumed of: brim;" in said()
    rows.append("Reed,sc,18,21,10cm,,5.2,100cm2")
    assert "no total" not in said()


def test_bad_rows_are_named_and_the_rest_go_on(run: Run, yarns: Callable[..., str], capsys: Caught):
    name = yarns(GOOD, BAD)
    assert run("--example", "bucket", "--yarns", name, "--size", "adult L") == 1
    out, err = capsys.readouterr()
    right = "10cm or 4in would be right: labels mix the two up"
    assert err == f"evenround: {name}: line 3: over: found '10'; {right}\n"
    assert "1 yarn compared, 1 size." in out


def test_no_usable_row_is_bad_input(run: Run, yarns: Callable[..., str], capsys: Caught):
    assert run("--example", "bucket", "--yarns", yarns(BAD)) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert err.endswith("found no yarn; no row can be used\n")


def test_no_size_in_any_yarn_is_impossible(run: Run, yarns: Callable[..., str], capsys: Caught):
    """2 stitches in 10 cm: a stitch is 5 cm wide, and 60 cm of them are 12 = 3 x 4."""
    assert run("--example", "bucket", "--yarns", yarns("Rope,hdc,2,1.5,10cm,,,")) == 4
    out, _ = capsys.readouterr()
    assert "Of no use for any of these sizes: 1 yarn." in out


def test_time_that_runs_out_is_said(
    run: Run, yarns: Callable[..., str], capsys: Caught, monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.setattr(solver_rank, "proven_best", lambda *_: False)
    arguments = ("--example", "bucket", "--yarns", yarns(GOOD), "--size", "adult L")
    assert run(*arguments) == 3
    assert "NOT ALL PROVEN: time ran out" in capsys.readouterr().out


def test_data_on_stdout_and_words_on_stderr(run: Run, yarns: Callable[..., str], capsys: Caught):
    arguments = ("--example", "bucket", "--yarns", yarns(GOOD), "--size", "adult L")
    assert run(*arguments, "--format", "json") == 0
    out, err = capsys.readouterr()
    (row,) = json.loads(out)
    assert [size["size"] for size in row["sizes"]] == ["adult L"]
    assert "Caution: Openwork lets sun through" in err
    assert run(*arguments, "--format", "csv", "--units", "in") == 0
    out, _ = capsys.readouterr()
    assert out.startswith("rank,yarn,yarn_score_mm,size,made,score_mm,circumference_in,")
    assert len(out.splitlines()) == 2


def test_a_brief_of_a_file_and_a_result_in_a_file(
    run: Run, yarns: Callable[..., str], tmp_path: Path, capsys: Caught
):
    brief, out = tmp_path / "brief.toml", tmp_path / "ranked.md"
    brief.write_text(starter_text(), encoding="utf-8")
    arguments = (str(brief), "--yarns", yarns(GOOD), "--format", "markdown", "--out", str(out))
    assert run(*arguments) == 0
    written = out.read_text(encoding="utf-8")
    assert "| Fen cotton" in written
    assert run(*arguments) == 2
    assert "is there already; --force would write over it" in capsys.readouterr().err
    assert out.read_text(encoding="utf-8") == written
    assert run(*arguments, "--force") == 0


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        ((), "BRIEF: nothing to work on"),
        (("--example", "bucket"), "--yarns: found nothing; a CSV, TSV or XLSX file"),
        (("--example", "bucket", "--yarns", ""), "--yarns: found an empty name"),
        (("--example", "bucket", "--yarns", "none.csv"), "--yarns: there is no file none.csv"),
        (("--example", "bucket", "--yarns", "."), "--yarns: . is a directory"),
        (("--example", "boat", "--yarns", "x"), "--example: 'boat' is none"),
        (("none.toml", "--yarns", "x"), "BRIEF: there is no file none.toml"),
        (("--example", "bucket", "--yarns", "x", "--best", "0"), "--best: 0 is not between"),
        (("--example", "bucket", "--yarns", "x", "--max-balls", "0"), "--max-balls: 0 is not"),
        (("--example", "bucket", "--yarns", "x", "--time-limit", "0"), "--time-limit: 0 is not"),
        (("--example", "bucket", "--yarns", "x", "--force"), "--force: there is nothing to"),
        (("--example", "bucket", "--yarns", "x", "--size", "XL"), "XL"),
    ],
)
def test_bad_input_is_one_message(run: Run, capsys: Caught, arguments: tuple[str, ...], said: str):
    assert run(*arguments) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert said in err
    assert len(err.splitlines()) == 1


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def test_a_bar_only_on_a_terminal_and_after_a_second(monkeypatch: pytest.MonkeyPatch):
    for stream, late, shown in (
        (Terminal(), 2.0, True),
        (Terminal(), 0.5, False),
        (io.StringIO(), 2.0, False),
    ):
        monkeypatch.setattr(sys, "stderr", stream)
        moments = iter([0.0, late, late, late])
        with Progress(3, lambda: next(moments)) as progress:  # noqa: B023
            for _ in range(3):
                progress.step(1)
        assert ("scoring" in stream.getvalue()) == shown
        assert ("100%" in stream.getvalue()) == shown


def test_help_loads_nothing_heavy():
    code = (
        "import sys; import evenround.cli.rank; "
        "print([m for m in ('ortools', 'pandas', 'pydantic', 'numpy') if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, timeout=60)
    assert done.stdout.strip() == "[]"
