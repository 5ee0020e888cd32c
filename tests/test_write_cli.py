"""``evenround write`` at the terminal: what it shows, where it writes, how it ends."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from evenround import solver
from evenround.cli import main
from evenround.cli.errors import Exit
from evenround.solver import InternalCheckError
from evenround.solver.candidate import Fit
from evenround.tables import pattern as patterns


def answers(monkeypatch: pytest.MonkeyPatch, fit: Fit) -> None:
    monkeypatch.setattr(solver, "fit", lambda *args, **kwargs: fit, raising=False)


def test_text_is_at_most_80_columns(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["write", "--example"]) == Exit.DONE
    out = capsys.readouterr().out
    assert out.startswith("Oskerrow Bay, a garden hat\n")
    assert all(len(line) <= 80 for line in out.splitlines())
    assert out.endswith("\n") and not out.endswith("\n\n")


def test_terms_are_the_briefs_unless_said(capsys: pytest.CaptureFixture[str]) -> None:
    main(["write", "--example", "cowl"])
    us = capsys.readouterr().out
    main(["write", "--example", "cowl", "--terms", "uk"])
    uk = capsys.readouterr().out
    assert "17 dc and 8.5 rnds = 10 cm" in us and "Gauge" in us
    assert "17 tr and 8.5 rnds = 10 cm" in uk and "Tension" in uk
    assert "2 dc in next" in us and "2 tr in next" in uk


def test_a_size_and_a_rank_are_picked(capsys: pytest.CaptureFixture[str]) -> None:
    main(["write", "--example", "bucket", "--size", "adult L", "--format", "json"])
    first = json.loads(capsys.readouterr().out)
    main(["write", "--example=bucket", "--size=adult L", "--format=json", "--pick=2"])
    second = json.loads(capsys.readouterr().out)
    assert first["size"] == second["size"] == "adult L"
    assert first["sections"] != second["sections"]


def test_markdown_shows_stars_as_stars(capsys: pytest.CaptureFixture[str]) -> None:
    main(["write", "--example", "--format", "markdown"])
    out = capsys.readouterr().out
    assert out.startswith("# Oskerrow Bay")
    line = next(line for line in out.splitlines() if line.startswith("- Rnd 3:"))
    assert line == (
        r"- Rnd 3: Ch 1, \*2 hdc in next st, hdc in next st; rep from \* around, join. (24 hdc)"
    )


def test_no_shift_and_inches(capsys: pytest.CaptureFixture[str]) -> None:
    main(["write", "--example", "--no-shift", "--units", "in"])
    out = capsys.readouterr().out
    assert "shifted" not in out
    assert "in along the last round" in out


def test_a_file_is_written_whole_and_not_over_another(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "hat.txt"
    assert main(["write", "--example", "--out", str(out)]) == Exit.DONE
    assert out.read_text().startswith("Oskerrow Bay")
    assert main(["write", "--example", "--out", str(out)]) == Exit.BAD_INPUT
    assert "--force" in capsys.readouterr().err
    assert main(["write", "--example", "--out", str(out), "--force"]) == Exit.DONE


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["write"], "nothing to work on"),
        (
            ["write", "--example", "--pick", "0"],
            "--pick: 0 is not a rank; 1 is the best candidate's, and 1000 the last",
        ),
        (["write", "--example", "bucket", "--pick", "900"], "--pick: there is no candidate 900"),
        (["write", "--example", "--time-limit", "nan"], "--time-limit"),
        (["write", "--example", "--size", "huge"], "huge"),
        (["write", "--example", "shawl"], "garden, bucket or cowl"),
        (["write", "nowhere.toml"], "nowhere.toml"),
        (["write", "nowhere.toml", "--example", "cowl"], "only one of them"),
        (["write", "--example", "--terms", "fr"], "--terms"),
        (["write", "--example", "--force"], "--force"),
    ],
)
def test_bad_input_is_one_message(
    arguments: list[str], words: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(arguments) == Exit.BAD_INPUT
    out, err = capsys.readouterr()
    assert out == ""
    assert words in err


def test_no_proof_is_exit_3_and_impossible_exit_4(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    from evenround.tables.brief import example_brief, plan

    best = solver.fit(plan(example_brief("garden")).piece, best=1, near=False)
    answers(monkeypatch, Fit("unproven", best.candidates, (), ()))
    assert main(["write", "--example"]) == Exit.NO_PROOF
    out, err = capsys.readouterr()
    assert "Rnd 1:" in out and "no proof within 10 s" in err
    answers(monkeypatch, Fit("unproven", (), (), ()))
    assert main(["write", "--example"]) == Exit.NO_PROOF
    answers(monkeypatch, Fit("impossible", (), (), ("depth",)))
    capsys.readouterr()
    assert main(["write", "--example"]) == Exit.IMPOSSIBLE
    out, err = capsys.readouterr()
    assert out == "" and "Giving up one requirement would do" in err


def test_a_pattern_that_does_not_count_is_not_shown(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def refuse(*args: object, **kwargs: object) -> None:
        raise InternalCheckError("Rnd 3 makes 25, not 24")

    monkeypatch.setattr(patterns, "write_pattern", refuse)
    assert main(["write", "--example"]) == Exit.INTERNAL
    out, err = capsys.readouterr()
    assert out == ""
    assert "Rnd 3 makes 25, not 24" in err
