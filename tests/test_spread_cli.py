"""``evenround spread`` as typed: pages, formats, exit codes, one message for bad numbers."""

from __future__ import annotations

import csv
import io
import json
import subprocess
import sys

import pytest

from evenround.cli import main


def typed(capsys: pytest.CaptureFixture[str], line: str) -> tuple[int, str, str]:
    code = main(["spread", *line.split()])
    caught = capsys.readouterr()
    return code, caught.out, caught.err


def test_the_page(capsys: pytest.CaptureFixture[str]) -> None:
    # worked_examples 7: woolpackyarn.com, 51 sts, 4 increases
    code, out, err = typed(capsys, "51 4")
    assert (code, err) == (0, "")
    assert out.splitlines()[0] == "51 stitches, 4 increases in the round: 55 stitches"
    assert "on stitches     13, 26, 39, 51\n" in out
    assert "gaps            13 x 3, 12\n" in out
    assert "none after the last, up to the join" in out
    assert "[Sc in next 12 sts, 2 sc in next st] 3 times" in out


def test_a_minus_is_no_option(capsys: pytest.CaptureFixture[str]) -> None:
    # worked_examples 7: wilmade.com, 186 less 8
    code, out, _ = typed(capsys, "186 -8 --terms uk")
    assert code == 0
    assert out.startswith("186 stitches, 8 decreases in the round: 178 stitches")
    assert "23+24, 46+47" in out
    assert "dc2tog" in out


def test_json(capsys: pytest.CaptureFixture[str]) -> None:
    # worked_examples 7: blog.lionbrand.com 2011-07-03
    code, out, _ = typed(capsys, "18 6 --shift --format json")
    data = json.loads(out)
    assert code == 0
    assert data["on"] == [[2], [5], [8], [11], [14], [17]]
    assert (data["stitches"], data["changes"], data["makes"]) == (18, 6, 24)
    assert data["shift"] and not data["flat"]
    assert data["words"].startswith("Sc in next st, 2 sc in next st, *")


def test_csv_and_markdown(capsys: pytest.CaptureFixture[str]) -> None:
    # worked_examples 7: dummies.com, 40 sts, 4 increases, flat
    _, out, _ = typed(capsys, "40 4 --flat --format csv")
    rows = list(csv.DictReader(io.StringIO(out)))
    assert [row["on_stitch"] for row in rows] == ["8", "16", "24", "32"]
    _, out, _ = typed(capsys, "40 4 --flat --format markdown")
    assert "| 2 | 16 | 7 |" in out
    assert "8 plain after the last." in out


@pytest.mark.parametrize("line", ["10000 4999", "997 -331 --shift", "100 7 --flat --terms uk"])
def test_no_line_passes_the_page(capsys: pytest.CaptureFixture[str], line: str) -> None:
    code, out, _ = typed(capsys, line)
    assert code == 0
    assert max(map(len, out.splitlines())) <= 80


@pytest.mark.parametrize("stitch", ["hdc", "tr"])
def test_another_stitch(capsys: pytest.CaptureFixture[str], stitch: str) -> None:
    _, out, _ = typed(capsys, f"10 2 --stitch {stitch}")
    assert f"2 {stitch} in next st" in out


@pytest.mark.parametrize(
    ("line", "message"),
    [
        ("0 4", "STITCHES: found 0;"),
        ("-4 3", "STITCHES: found -4;"),
        ("1000000000 3", "STITCHES: found 1,000,000,000;"),
        ("9999999999999999999 3", "STITCHES: found '9999999999999999999'; a whole number"),
        ("x 3", "STITCHES: found 'x'; a whole number such as 96 would be right"),
        ("40 0", "CHANGES: found 0;"),
        ("40 1.5", "CHANGES: found '1.5'; a whole number, 6 or -6, would be right"),
        ("40 41", "CHANGES: found 41 increases;"),
        ("40 -21", "CHANGES: found 21 decreases;"),
        ("40 4 --stitch htr", "--stitch: found 'htr'; a stitch is one of sc, hdc, dc, tr (US"),
        ("40 4 --stitch hdc --terms uk", "a stitch is one of dc, htr, tr, dtr (UK"),
    ],
)
def test_bad_input_is_one_message(
    capsys: pytest.CaptureFixture[str], line: str, message: str
) -> None:
    code, out, err = typed(capsys, line)
    assert (code, out) == (2, "")
    assert message in err
    assert err.count("\n") == 1


@pytest.mark.parametrize("line", ["", "40", "40 4 --flta", "40 4 5"])
def test_a_line_that_is_none(capsys: pytest.CaptureFixture[str], line: str) -> None:
    assert typed(capsys, line)[0] == 2


@pytest.mark.parametrize("line", [["spread", "51", "4"], ["figures"], ["figures", "shell"]])
def test_nothing_heavy_is_loaded(line: list[str]) -> None:
    code = (
        "import sys\nfrom evenround.cli.app import run\n"
        f"code = run({line!r})\n"
        "heavy = {m.split('.')[0] for m in sys.modules} & {'ortools', 'pandas', 'numpy'}\n"
        "sys.exit(9 if heavy else code)"
    )
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, check=False)
    assert ran.returncode == 0, ran.stderr
