"""``evenround audit``: formats, exit codes, one message for what cannot be read."""

from __future__ import annotations

import csv
import io
import json
import subprocess
import sys
from pathlib import Path

import pytest

from evenround.cli import main

SOUND = """\
PLAIN CAP (US terms)
Rnd 1: 6 sc in a ring (6)
Rnd 2: *2 sc in next st; rep from * around (12)
Rnd 3: *Sc in next st, 2 sc in next st; rep from * around (18)
Rnds 4-6: Sc in each st around (18)
"""
SPOILT = SOUND.replace("around (18)\nRnds", "around (19)\nRnds")
HALF_READ = SOUND + "Rnd 7: Flumph thrice widdershins (18)\n"


def write(folder: Path, text: str | bytes) -> str:
    path = folder / "pattern.txt"
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return str(path)


def test_a_sound_pattern_ends_with_0(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    assert main(["audit", write(tmp_path, SOUND)]) == 0
    out, err = capfd.readouterr()
    assert "6 rounds counted; all agree." in out
    assert "Rnd 4 to Rnd 6" in out
    assert err == ""


def test_a_wrong_round_ends_with_1_and_is_told_in_words(
    tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    assert main(["audit", write(tmp_path, SPOILT)]) == 1
    out, _ = capfd.readouterr()
    (row,) = [line for line in out.splitlines() if line.startswith("Rnd 3 ")]
    assert row.split() == ["Rnd", "3", "12", "12", "18", "19", "WRONG"]
    assert "Rnd 3 (line 4): makes 18, not 19" in out
    assert "print 18 instead of 19" in out
    assert max(map(len, out.splitlines())) <= 80


def test_an_unread_line_ends_with_1_and_claims_nothing(
    tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    assert main(["audit", write(tmp_path, HALF_READ), "--format", "json"]) == 1
    whole = json.loads(capfd.readouterr().out)
    assert whole["first_fault"] is None
    assert whole["unread"][0]["line"] == 6
    last = whole["rounds"][-1]
    assert (last["label"], last["agrees"], last["makes"]) == ("Rnd 7", None, None)
    assert last["standing"] == "not counted"


def test_json_has_the_keys_promised(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    assert main(["audit", write(tmp_path, SPOILT), "--format", "json"]) == 1
    whole = json.loads(capfd.readouterr().out)
    assert list(whole)[:6] == [
        "terms",
        "chain_counts",
        "repeat_means",
        "rounds",
        "first_fault",
        "unread",
    ]
    third = whole["rounds"][2]
    assert list(third)[:9] == [
        "label",
        "size",
        "uses",
        "has",
        "makes",
        "printed",
        "agrees",
        "readings",
        "note",
    ]
    assert (third["uses"], third["has"], third["makes"], third["printed"]) == (12, 12, 18, 19)
    assert third["agrees"] is False
    assert third["readings"] == {}
    assert whole["first_fault"]["label"] == "Rnd 3"
    assert whole["terms"] == "us"


def test_csv_has_a_line_a_round(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    assert main(["audit", write(tmp_path, SPOILT), "--format", "csv"]) == 1
    rows = list(csv.DictReader(io.StringIO(capfd.readouterr().out)))
    assert [row["label"] for row in rows] == [f"Rnd {n}" for n in range(1, 7)]
    assert (rows[2]["makes"], rows[2]["printed"], rows[2]["agrees"]) == ("18", "19", "no")
    assert rows[0]["uses"] == ""


def test_markdown_has_one_table_and_the_fault(
    tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    assert main(["audit", write(tmp_path, SPOILT), "--format", "markdown"]) == 1
    out = capfd.readouterr().out
    assert "| Rnd 3 |" in out
    assert "## First fault" in out


def test_standard_input_and_out(tmp_path: Path) -> None:
    out = tmp_path / "audit.json"
    command = [sys.executable, "-m", "evenround.cli", "audit", "-", "--format", "json"]
    done = subprocess.run(
        [*command, "--out", str(out)], input=SOUND, text=True, capture_output=True, check=False
    )
    assert done.returncode == 0, done.stderr
    assert done.stdout == ""
    assert json.loads(out.read_text(encoding="utf-8"))["agrees"] is True
    again = subprocess.run(
        [*command, "--out", str(out)], input=SOUND, text=True, capture_output=True, check=False
    )
    assert again.returncode == 2
    assert "--force would write over it" in again.stderr


@pytest.mark.parametrize(
    ("content", "message"),
    [
        (b"", "is empty"),
        (b"Rnd 1: \xff\xfe", "is not UTF-8 text (line 1)"),
        pytest.param(b"x" * 1_000_001, "has 1,000,001 bytes; at most 1,000,000", id="large"),
        (b"Dear diary, nothing to count today.\n", "evenround: FILE: "),
    ],
)
def test_what_cannot_be_read_ends_with_2_and_one_message(
    tmp_path: Path, capfd: pytest.CaptureFixture[str], content: bytes, message: str
) -> None:
    assert main(["audit", write(tmp_path, content)]) == 2
    out, err = capfd.readouterr()
    assert out == ""
    assert message in err
    assert err.count("\n") == 1


def test_a_directory_and_a_missing_file_end_with_2(
    tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    assert main(["audit", str(tmp_path)]) == 2
    assert "is a directory" in capfd.readouterr().err
    assert main(["audit", str(tmp_path / "none.txt")]) == 2
    assert "there is no file" in capfd.readouterr().err
    assert main(["audit", str(tmp_path), "--terms", "fr"]) == 2


def test_neither_the_solver_s_engine_nor_tables_of_data_are_loaded(tmp_path: Path) -> None:
    code = (
        "import sys; from evenround.cli import main; "
        f"code = main(['audit', {write(tmp_path, SOUND)!r}, '--format', 'csv']); "
        "heavy = {'ortools', 'pandas', 'numpy'} & set(sys.modules); "
        "print(sorted(heavy), file=sys.stderr); sys.exit(code)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    assert done.stderr.strip() == "[]"


def test_the_opening_chain_by_flag(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    text = (
        "Rnd 1: 8 hdc in a ring, join (8)\n"
        "Rnd 2: Ch 2, 2 hdc in each st around, join (16)\n"
        "Rnd 3: Ch 2, *hdc in next st, 2 hdc in next st; rep from * around, join (24)\n"
    )
    assert main(["audit", write(tmp_path, text), "--format", "json"]) == 0
    assert json.loads(capfd.readouterr().out)["chain_counts"] == "no"
    code = main(["audit", write(tmp_path, text), "--format", "json", "--chain-counts", "yes"])
    forced = json.loads(capfd.readouterr().out)
    assert code == 1 or any(r["standing"] == "note" for r in forced["rounds"])
    assert forced["chain_counts"] == "yes"
    assert forced["chain_why"] == "as asked for"
