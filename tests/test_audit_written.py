"""What ``write`` writes, ``audit`` reads and finds right: every example, every size, both terms."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from evenround.cli import main

PIECES = (
    ("garden", None),
    ("bucket", "6-12 months"),
    ("bucket", "1-3 years"),
    ("bucket", "4-8 years"),
    ("bucket", "adult S/M"),
    ("bucket", "adult L"),
    ("cowl", None),
)


def audited(
    path: Path,
    name: str,
    size: str | None,
    terms: str,
    shape: str,
    capsys: pytest.CaptureFixture[str],
) -> tuple[int, dict[str, object], str]:
    """The exit code, the audit and the text of an example written and read back."""
    asked = ["write", "--example", name, "--terms", terms, "--format", shape, "--out", str(path)]
    assert main(asked + (["--size", size] if size is not None else [])) == 0
    capsys.readouterr()
    code = main(["audit", str(path), "--format", "json"])
    return code, json.loads(capsys.readouterr().out), path.read_text(encoding="utf-8")


@pytest.mark.parametrize("terms", ["us", "uk"])
@pytest.mark.parametrize(("name", "size"), PIECES)
def test_every_example_passes(
    name: str, size: str | None, terms: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    code, audit, _ = audited(tmp_path / "written.txt", name, size, terms, "text", capsys)
    assert code == 0, audit["faults"] or audit["unread"]
    assert audit["terms"] == terms
    rounds = audit["rounds"]
    assert isinstance(rounds, list) and len(rounds) > 10
    assert {r["standing"] for r in rounds} <= {"ok", "note"}
    assert all(r["agrees"] for r in rounds if r["printed"] is not None)
    assert sum(r["printed"] is not None for r in rounds) > 10


@pytest.mark.parametrize("terms", ["us", "uk"])
def test_a_spoilt_count_is_found(
    terms: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "written.txt"
    _, _, text = audited(path, "garden", None, terms, "text", capsys)
    word = {"us": "hdc", "uk": "htr"}[terms]
    assert text.count(f"(40 {word})") == 1
    path.write_text(text.replace(f"(40 {word})", f"(41 {word})"), encoding="utf-8")
    assert main(["audit", str(path)]) == 1
    assert f"makes 40 {word}, not 41" in capsys.readouterr().out
