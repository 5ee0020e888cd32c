"""``evenround grade`` at the terminal: what it shows, where it writes, how it ends.

The families are combined by hand (families_by_hand) and put in the search's place, so that
these tests are about the command; our own scenarios, no outside numbers.
"""

from __future__ import annotations

import csv
import io
import json
import sys
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from families_by_hand import grade_by_hand

from evenround.cli import main
from evenround.cli.errors import Exit
from evenround.solver.family import Grade, Rules
from evenround.solver.piece import Piece
from evenround.tables.facts import data_text

CAUTION = "off for sleep and when nobody watches"


def run(*arguments: str) -> int:
    return main(["grade", *arguments])


@pytest.fixture(autouse=True)
def asked(monkeypatch: pytest.MonkeyPatch) -> dict[str, Any]:
    """The search's place taken by families made by hand; what it was asked for."""
    seen: dict[str, Any] = {}

    def grade(
        pieces: Sequence[Piece], rules: Rules, best: int = 5, time_limit: float = 10.0
    ) -> Grade:
        seen.update(pieces=len(pieces), rules=rules, best=best, time_limit=time_limit)
        made = grade_by_hand(pieces, rules, best)
        return replace(made, status=seen["status"]) if "status" in seen else made

    monkeypatch.setitem(sys.modules, "evenround.solver.grade", SimpleNamespace(grade=grade))
    return seen


@pytest.fixture
def stuck(tmp_path: Path) -> str:
    """The bucket with eight brim sectors everywhere, which two of its sizes cannot have."""
    brief = tmp_path / "bucket8.toml"
    brief.write_text(data_text("bucket.toml").replace("[6, 16]", "[8, 8]"))
    return str(brief)


def test_the_table(capsys: pytest.CaptureFixture[str], asked: dict[str, Any]) -> None:
    assert run("--example", "bucket") == Exit.DONE
    out, err = capsys.readouterr()
    assert out.startswith("Tamsellick, a bucket hat in five sizes: 5 sizes;")
    assert out.endswith("\n") and not out.endswith("\n\n")
    assert max(map(len, out.splitlines())) <= 80
    assert err == ""
    assert (asked["pieces"], asked["best"], asked["time_limit"]) == (5, 5, 10.0)


def test_best_detail_and_time_limit(
    capsys: pytest.CaptureFixture[str], asked: dict[str, Any]
) -> None:
    assert run("--example", "bucket", "--best", "1", "--detail", "2", "--time-limit", "3") == 0
    out = capsys.readouterr().out
    assert (asked["best"], asked["time_limit"]) == (2, 3.0)
    assert "\n\nFamily 2, round by round:\n\n6-12 months:\n" in out
    assert out.endswith("\n") and not out.endswith("\n\n")
    assert run("--example", "bucket", "--best", "1", "--detail", "99") == Exit.BAD_INPUT
    assert "--detail: there is no family 99; there are " in capsys.readouterr().err


def test_units_are_the_brief_s_unless_said(capsys: pytest.CaptureFixture[str]) -> None:
    run("--example", "bucket", "--best", "1")
    assert "around cm" in capsys.readouterr().out
    run("--example", "bucket", "--best", "1", "--units", "in")
    assert "around in" in capsys.readouterr().out


def test_the_family_s_rules_reach_the_search(asked: dict[str, Any], tmp_path: Path) -> None:
    brief = tmp_path / "b.toml"
    brief.write_text(data_text("bucket.toml") + "\n[family]\nrising = true\ncounts.'adult L'=108\n")
    assert run(str(brief), "--best", "1") == Exit.DONE
    assert (asked["rules"].rising, dict(asked["rules"].counts)) == (True, {4: 108})


def test_json_is_data_and_the_rest_goes_beside(capsys: pytest.CaptureFixture[str]) -> None:
    assert run("--example", "bucket", "--best", "2", "--format", "json") == Exit.DONE
    out, err = capsys.readouterr()
    families = json.loads(out)
    assert [f["rank"] for f in families] == [1, 2]
    assert [s["side_count"] for s in families[0]["sizes"]] == [84, 88, 96, 104, 108]
    assert err.count(CAUTION) == 1


def test_csv_and_markdown(capsys: pytest.CaptureFixture[str]) -> None:
    assert run("--example", "bucket", "--best", "1", "--format", "csv") == Exit.DONE
    rows = list(csv.DictReader(io.StringIO(capsys.readouterr().out)))
    assert [(r["family"], r["size"], r["side_count"]) for r in rows][:2] == [
        ("1", "6-12 months", "84"),
        ("1", "1-3 years", "88"),
    ]
    assert run("--example", "bucket", "--format", "markdown", "--detail", "1") == Exit.DONE
    out = capsys.readouterr().out
    assert "| crown " in out
    assert "```text\nFamily 1, round by round:" in out


def test_into_a_file_and_never_over_one(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    out = tmp_path / "families.csv"
    line = ("--example", "bucket", "--best", "1", "--format", "csv", "--out", str(out))
    assert run(*line) == Exit.DONE
    shown = capsys.readouterr()
    assert shown.out == ""
    assert f"evenround: wrote {out}" in shown.err
    before = out.read_text()
    assert before.startswith("family,")
    out.write_text("mine")
    assert run(*line) == Exit.BAD_INPUT
    assert out.read_text() == "mine"
    assert "is there already; --force would write over it" in capsys.readouterr().err
    assert run(*line, "--force") == Exit.DONE
    assert out.read_text() == before


def test_no_family(capsys: pytest.CaptureFixture[str], stuck: str) -> None:
    assert run(stuck) == Exit.IMPOSSIBLE
    out, err = capsys.readouterr()
    assert out == ""
    words = " ".join(err.split())
    assert "no family of its sizes meets every requirement" in words
    # demos.md: 1.6 cm small at 80; 2.2 cm off either way at 104 and 112
    assert "80 and 88 sts, 44.4 and 48.9 cm (1.6 cm too small and 2.9 cm too big)" in words
    assert "104 and 112 sts, 57.8 and 62.2 cm (2.2 cm too small and 2.2 cm too big)" in words
    assert "Ways out, cheapest first: 1) allow 4 to 8 brim sectors (108 sts, 60.0 cm)" in words
    assert max(map(len, err.splitlines())) <= 80


def test_no_family_for_scripts(
    capsys: pytest.CaptureFixture[str], stuck: str, tmp_path: Path
) -> None:
    assert run(stuck, "--format", "json") == Exit.IMPOSSIBLE
    assert capsys.readouterr().out == "[]\n"
    out = tmp_path / "none.json"
    assert run(stuck, "--format", "json", "--out", str(out)) == Exit.IMPOSSIBLE
    assert out.read_text() == "[]\n"
    table = tmp_path / "none.txt"
    assert run(stuck, "--out", str(table)) == Exit.IMPOSSIBLE
    assert not table.exists()


def test_time_ran_out(
    capsys: pytest.CaptureFixture[str], asked: dict[str, Any], stuck: str
) -> None:
    asked["status"] = "unproven"
    assert run("--example", "bucket", "--best", "1", "--time-limit", "0.5") == Exit.NO_PROOF
    out, err = capsys.readouterr()
    assert "NOT PROVEN" in out
    assert "no proof within 0.5 s; what is listed is the best found so far" in err
    assert run(stuck, "--format", "json") == Exit.NO_PROOF
    out, err = capsys.readouterr()
    assert out == "[]\n"
    assert "nothing found within 10 s, and nothing proven impossible" in err


def test_the_whole_way_with_the_real_search(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, stuck: str
) -> None:
    run("--example", "bucket", "--best", "1")
    by_hand = capsys.readouterr().out
    monkeypatch.delitem(sys.modules, "evenround.solver.grade")
    assert run("--example", "bucket", "--best", "1") == Exit.DONE
    assert capsys.readouterr().out == by_hand
    assert run(stuck) == Exit.IMPOSSIBLE
    words = " ".join(capsys.readouterr().err.split())
    assert "80 and 88 sts, 44.4 and 48.9 cm (1.6 cm too small and 2.9 cm too big)" in words
    assert "104 and 112 sts, 57.8 and 62.2 cm (2.2 cm too small and 2.2 cm too big)" in words
    assert "Ways out, cheapest first: 1) allow 4 to 8 brim sectors (108 sts, 60.0 cm)" in words


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ((), "BRIEF: nothing to work on; name a brief with several sizes"),
        (("--example", "hat"), "--example: 'hat' is none; garden, bucket or cowl would be right"),
        (("x.toml", "--example"), "BRIEF: x.toml and --example garden: only one of them would do"),
        (("nowhere.toml",), "BRIEF: there is no file nowhere.toml"),
        (("--example", "--best", "0"), "--best: 0 is not between 1 and 100"),
        (("--example", "--best", "101"), "--best: 101 is not between 1 and 100"),
        (
            ("--example", "--time-limit", "0"),
            "--time-limit: 0 is not over 0 and up to 3600 seconds",
        ),
        (("--example", "--time-limit", "nan"), "--time-limit: nan is not over 0 and up to 3600"),
        (("--example", "--detail", "0"), "--detail: 0 is not a rank; 1 is the best family's"),
        (("--example", "--detail", "1", "--format", "csv"), "--detail: words do not go with"),
        (("--example", "--force"), "--force: there is nothing to write over without --out FILE"),
    ],
)
def test_what_is_refused(
    capsys: pytest.CaptureFixture[str], line: tuple[str, ...], words: str
) -> None:
    assert run(*line) == Exit.BAD_INPUT
    out, err = capsys.readouterr()
    assert out == ""
    assert err.startswith(f"evenround: {words}")
    assert len(err.splitlines()) == 1


def test_faults_of_the_brief_are_told(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    brief = tmp_path / "b.toml"
    brief.write_text(data_text("bucket.toml") + "\n[family]\nkeep = ['brims']\nyarn = 3\n")
    assert run(str(brief)) == Exit.BAD_INPUT
    err = capsys.readouterr().err
    assert "family.keep.1: found 'brims'; one of start, crown sectors" in err
    # a fault in one field is told before what fields mean together is looked at
    brief.write_text(data_text("bucket.toml") + "\n[family]\nyarn = 3\n")
    assert run(str(brief)) == Exit.BAD_INPUT
    err = capsys.readouterr().err
    assert "section 1 (crown) was not weighed; give it a swatch, or leave yarn out" in err
