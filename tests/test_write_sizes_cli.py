"""``evenround write --all-sizes`` at the terminal: what it shows and how it ends."""

from __future__ import annotations

import json
import sys
from collections.abc import Sequence
from pathlib import Path
from types import SimpleNamespace

import pytest
from written_families import family

from evenround.cli import main
from evenround.cli.errors import Exit
from evenround.solver import Candidate, InternalCheckError, Piece
from evenround.solver.family import Conflict, Family, Grade, Rules, Shared
from evenround.tables.facts import data_text
from evenround.tables.pattern import all_sizes

Shown = pytest.CaptureFixture[str]


def by_hand(members: Sequence[Candidate], rank: int = 1) -> Family:
    """A family of ready members; what it costs is not looked at here."""
    cost = sum(member.measures.cost_nm for member in members)
    return Family(rank, tuple(members), Shared(), {"sizes": cost}, cost, 0)


def graded(monkeypatch: pytest.MonkeyPatch, answer: Grade) -> list[dict[str, object]]:
    """``grade`` gives this answer; what it was asked is kept."""
    asked: list[dict[str, object]] = []

    def grade(pieces: Sequence[Piece], rules: Rules, **more: object) -> Grade:
        asked.append({"sizes": len(pieces), "rules": rules, **more})
        return answer

    monkeypatch.setitem(sys.modules, "evenround.solver.grade", SimpleNamespace(grade=grade))  # type: ignore[arg-type]
    return asked


@pytest.fixture
def bucket(monkeypatch: pytest.MonkeyPatch) -> list[dict[str, object]]:
    """The bucket graded: one family, each brim growing every second round."""
    _, members = family("bucket")
    return graded(monkeypatch, Grade("proven", (by_hand(members),), tuple(members)))


def test_the_pattern_for_all_sizes(bucket: list[dict[str, object]], capsys: Shown) -> None:
    assert main(["write", "--example", "bucket", "--all-sizes", "--time-limit=7"]) == Exit.DONE
    out = capsys.readouterr().out
    assert out.startswith("Tamsellick, a bucket hat in five sizes\n\nSizes\n")
    assert "Rnds 12-19 (12-20, 13-22, 14-24, 15-25): " in out
    assert all(len(line) <= 80 for line in out.splitlines())
    assert out.endswith("\n") and not out.endswith("\n\n")
    assert bucket[0] == {"sizes": 5, "rules": Rules(), "best": 1, "time_limit": 7.0}


@pytest.mark.parametrize("terms", ["us", "uk"])
@pytest.mark.parametrize("units", ["cm", "in"])
def test_the_audit_finds_nothing_wrong(
    bucket: list[object], tmp_path: Path, capsys: Shown, terms: str, units: str
) -> None:
    file = tmp_path / "bucket.txt"
    words = ["write", "--example=bucket", "--all-sizes", f"--terms={terms}", f"--units={units}"]
    assert main([*words, "--out", str(file)]) == Exit.DONE
    assert main(["audit", str(file)]) == Exit.DONE
    assert "in 5 sizes; all agree" in capsys.readouterr().out


def test_one_size_of_the_family_alone(bucket: list[object], capsys: Shown) -> None:
    words = ["write", "--example=bucket", "--all-sizes", "--size", "adult l", "--format=json"]
    assert main(words) == Exit.DONE
    found = json.loads(capsys.readouterr().out)
    assert found["size"] == "adult L"
    brim = next(s for s in found["sections"] if s["section"] == "brim")
    assert brim["before"] == ["Grows by 9 sts in every 2nd round."]  # its own best: 6, 2 of 3
    main(["write", "--example=bucket", "--size", "adult L", "--format=json"])
    alone = json.loads(capsys.readouterr().out)
    assert alone["sections"] != found["sections"]


def test_json_and_markdown(bucket: list[object], capsys: Shown) -> None:
    words = ["write", "--example=bucket", "--all-sizes"]
    assert main([*words, "--format=json"]) == Exit.DONE
    data = json.loads(capsys.readouterr().out)
    assert [size["size"] for size in data["sizes"]][-2:] == ["adult S/M", "adult L"]
    assert [size["mark"] for size in data["sizes"]] == ["A", "B", "C", "D", "E"]
    assert main([*words, "--format=markdown"]) == Exit.DONE
    assert "\n## Brim, in hdc\n" in capsys.readouterr().out


def test_a_family_is_picked_by_rank(monkeypatch: pytest.MonkeyPatch, capsys: Shown) -> None:
    _, members = family("bucket")
    second = by_hand(family("garden")[1], rank=2)
    asked = graded(monkeypatch, Grade("proven", (by_hand(members), second), tuple(members)))
    assert main(["write", "--example=bucket", "--all-sizes", "--pick=3"]) == Exit.BAD_INPUT
    assert "--pick: there is no family 3; there are 2" in capsys.readouterr().err
    assert asked[0]["best"] == 3


def test_one_size_has_no_family(capsys: Shown) -> None:
    assert main(["write", "--example=garden", "--all-sizes"]) == Exit.BAD_INPUT
    assert "--all-sizes: the brief has one size" in capsys.readouterr().err


def test_an_unknown_size_is_refused(bucket: list[object], capsys: Shown) -> None:
    words = ["write", "--example=bucket", "--all-sizes", "--size=XXL"]
    assert main(words) == Exit.BAD_INPUT
    assert "XXL" in capsys.readouterr().err


def test_too_many_sizes_for_one_pattern(tmp_path: Path, capsys: Shown) -> None:
    rows = ", ".join(f'{{ name = "size {n}", head = {40 + n} }}' for n in range(21))
    file = tmp_path / "many.toml"
    file.write_text(f'sizes = [{rows}]\nstitch = "sc"\n[gauge]\nsc = "18 x 20 / 10cm"\n')
    with file.open("a") as more:
        more.write('[[sections]]\nkind = "crown"\n[[sections]]\nkind = "even"\n')
    assert main(["write", str(file), "--all-sizes"]) == Exit.BAD_INPUT
    err = capsys.readouterr().err
    assert "--all-sizes: the brief has 21 sizes; one pattern holds at most 20" in err


def test_no_proof_in_time_still_shows_the_best(
    monkeypatch: pytest.MonkeyPatch, capsys: Shown
) -> None:
    _, members = family("bucket")
    graded(monkeypatch, Grade("unproven", (by_hand(members),), tuple(members)))
    assert main(["write", "--example=bucket", "--all-sizes"]) == Exit.NO_PROOF
    shown = capsys.readouterr()
    assert "no proof within 10 s" in shown.err and "Rnd 1: " in shown.out


def test_nothing_found_in_time(monkeypatch: pytest.MonkeyPatch, capsys: Shown) -> None:
    graded(monkeypatch, Grade("unproven", (), (None,) * 5))
    assert main(["write", "--example=bucket", "--all-sizes"]) == Exit.NO_PROOF
    shown = capsys.readouterr()
    assert shown.out == "" and "nothing found within 10 s" in shown.err


def test_no_family_is_explained(monkeypatch: pytest.MonkeyPatch, capsys: Shown) -> None:
    _, members = family("bucket")
    conflict = Conflict((0, 4), ("brim rhythm",))
    graded(monkeypatch, Grade("impossible", (), tuple(members), (conflict,)))
    assert main(["write", "--example=bucket", "--all-sizes"]) == Exit.IMPOSSIBLE
    shown = capsys.readouterr()
    assert shown.out == ""
    assert "6-12 months" in shown.err and "adult L" in shown.err


def test_nothing_is_shown_where_the_text_reads_otherwise(
    bucket: list[object], monkeypatch: pytest.MonkeyPatch, tmp_path: Path, capsys: Shown
) -> None:
    def otherwise(*_: object) -> None:
        raise InternalCheckError("size B, round 3 prints 17, not 16")

    monkeypatch.setattr(all_sizes, "prove_sizes", otherwise)
    file = tmp_path / "hat.txt"
    words = ["write", "--example=bucket", "--all-sizes"]
    assert main([*words, "--out", str(file)]) == Exit.INTERNAL
    assert main(words) == Exit.INTERNAL
    shown = capsys.readouterr()
    assert shown.out == "" and "size B, round 3 prints 17" in shown.err
    assert not file.exists()


# --- with the search itself ----------------------------------------------------------------


def test_the_buckets_own_family(capsys: Shown) -> None:
    # demos.md: 84, 88, 96, 104, 108; brims of 7, 8, 8, 8, 9 every second round; edges 112 to 144
    assert main(["write", "--example=bucket", "--all-sizes"]) == Exit.DONE
    out = capsys.readouterr().out
    assert "(84 (88, 96, 104, 108) hdc)" in out
    assert "Grows by 7 (8, 8, 8, 9) sts in every 2nd round." in out
    assert "(112 (120, 128, 136, 144) places;" in out


def test_no_family_with_eight_brim_sectors(tmp_path: Path, capsys: Shown) -> None:
    # demos.md: the first size would be 1.6 cm small, the last 2.2 cm off either way
    file = tmp_path / "bucket.toml"
    text = data_text("bucket.toml").replace("sector_range = [6, 16]", "sector_range = [8, 8]")
    file.write_text(text, encoding="utf-8")
    out = tmp_path / "bucket.txt"
    words = ["write", str(file), "--all-sizes", "--out", str(out)]
    assert main(words) == Exit.IMPOSSIBLE
    shown = " ".join(capsys.readouterr().err.split())
    assert "no family of its sizes" in shown
    assert "1.6 cm too small" in shown and "2.2 cm too small" in shown
    assert not out.exists()


def test_the_rules_of_the_brief_are_kept(tmp_path: Path, capsys: Shown) -> None:
    file = tmp_path / "bowls.toml"
    file.write_text(BOWLS, encoding="utf-8")
    assert main(["write", str(file), "--all-sizes"]) == Exit.DONE
    out = capsys.readouterr().out
    # the words stay, the sectors follow the count: 10 (11, 12) of them
    assert "Rnd 1: Ch 2, 10 (11, 12) dc in ring, join. (10 (11, 12) dc)" in out
    assert "Rnd 3: Ch 2, *2 dc in next st, dc in next st; rep from * around, join." in out
    assert "(30 (33, 36) dc)" in out


BOWLS = """
title = "three bowls"
stitch = "dc"
sizes = [
  { name = "S", circumference = 40, depth = 14 },
  { name = "M", circumference = 44, depth = 15 },
  { name = "L", circumference = 48, depth = 16 },
]
[gauge]
dc = "10 x 6 / 10cm"
[tolerances]
circumference = 0.2
[nudge]
stitches = 0
[family]
keep = ["crown gaps"]
[[sections]]
kind = "crown"
start_range = [8, 12]
rates = 1
part_round = false
[[sections]]
kind = "even"
"""
