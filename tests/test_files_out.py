"""``--out`` of every command: whole files or none, never over another, ``-`` is standard output."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from every_command import CALLS, call, commands, options

from evenround.cli import main
from evenround.cli.errors import Exit, RefusalError
from evenround.cli.files import hand_over, write_out

Caught = pytest.CaptureFixture[str]


def test_every_command_is_walked() -> None:
    quick = set(commands()) - {"draw", "page"}  # whose own tests look at their files
    assert set(CALLS) >= quick
    assert {name for name in commands() if {"--out", "--force"} <= options(name)} == set(commands())


@pytest.mark.parametrize("name", list(CALLS))
def test_a_file_has_what_the_terminal_shows(name: str, tmp_path: Path, capsys: Caught) -> None:
    arguments = call(name, tmp_path)
    ends = main(arguments)
    shown = capsys.readouterr().out
    assert shown.strip()
    target = tmp_path / "new" / "result"
    target.parent.mkdir()
    assert main([*arguments, "--out", str(target)]) == ends
    assert target.read_text(encoding="utf-8") == shown
    out, err = capsys.readouterr()
    assert out == ""
    assert f"evenround: wrote {target}" in err
    assert list(target.parent.iterdir()) == [target]  # no temporary file left


@pytest.mark.parametrize("name", list(CALLS))
def test_no_file_is_written_over_unasked(name: str, tmp_path: Path, capsys: Caught) -> None:
    target = tmp_path / "mine"
    target.write_text("mine")
    arguments = [*call(name, tmp_path), "--out", str(target)]
    assert main(arguments) == Exit.BAD_INPUT
    assert target.read_text() == "mine"
    assert "--force would write over it" in capsys.readouterr().err
    assert main([*arguments, "--force"]) in (Exit.DONE, Exit.IN_PART)
    assert target.read_text() != "mine"


@pytest.mark.parametrize("name", list(CALLS))
def test_a_minus_is_standard_output(
    name: str, tmp_path: Path, capsys: Caught, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    arguments = call(name, tmp_path)
    main(arguments)
    shown = capsys.readouterr().out
    main([*arguments, "--out", "-"])
    out, err = capsys.readouterr()
    assert out == shown
    assert "wrote" not in err
    assert not (tmp_path / "-").exists()
    assert main([*arguments, "--out", "-", "--force"]) == Exit.BAD_INPUT


@pytest.mark.parametrize("name", list(CALLS))
def test_a_disk_that_fills_up_leaves_nothing(
    name: str, tmp_path: Path, capsys: Caught, monkeypatch: pytest.MonkeyPatch
) -> None:
    class Full:
        """A file that takes half of what it is given."""

        def __init__(self, handle: int, mode: str) -> None:
            self.file = os.fdopen(handle, mode)

        def __enter__(self) -> Full:
            return self

        def __exit__(self, *error: object) -> None:
            self.file.close()

        def write(self, data: bytes) -> None:
            self.file.write(data[: len(data) // 2])
            raise OSError(28, "No space left on device")

    arguments = call(name, tmp_path)
    folder = tmp_path / "full"
    folder.mkdir()
    monkeypatch.setattr("evenround.cli.files._opened", Full)
    assert main([*arguments, "--out", str(folder / "hat")]) == Exit.BAD_INPUT
    assert list(folder.iterdir()) == []
    err = capsys.readouterr().err
    assert err.count("No space left on device") == 1
    assert "wrote" not in err


def test_a_full_disk_keeps_the_file_that_was_there(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    target = tmp_path / "hat"
    target.write_text("mine")

    def full(*args: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("evenround.cli.files._opened", full)
    with pytest.raises(RefusalError, match="No space left"):
        write_out(str(target), "new", force=True)
    assert target.read_text() == "mine"
    assert list(tmp_path.iterdir()) == [target]


def test_bytes_are_written_as_they_are(tmp_path: Path) -> None:
    write_out(str(tmp_path / "book"), b"PK\x03\x04\xff\r\n", force=False)
    assert (tmp_path / "book").read_bytes() == b"PK\x03\x04\xff\r\n"


def test_a_text_in_a_file_is_utf_8_with_its_own_line_ends(tmp_path: Path) -> None:
    hand_over("\u00bd in\n", str(tmp_path / "hat"), force=False, format="table")
    assert (tmp_path / "hat").read_bytes() == b"\xc2\xbd in\n"


@pytest.mark.skipif(os.name != "posix", reason="closed by a shell's >&-")
@pytest.mark.parametrize(
    ("closed", "ends", "out", "said"),
    [
        (">&-", Exit.IN_PART, "", "evenround: standard output is closed; --out FILE would do\n"),
        ("--out new.toml >&-", Exit.DONE, "", "evenround: wrote new.toml\n"),
        ("--out new.toml 2>&-", Exit.DONE, "", ""),
        ("--nonsense 2>&-", Exit.BAD_INPUT, "", ""),
    ],
)
def test_streams_that_are_closed(
    closed: str, ends: Exit, out: str, said: str, tmp_path: Path
) -> None:
    code = "from evenround.cli import start; start()"
    done = subprocess.run(
        f'"{sys.executable}" -c "{code}" sample {closed}',
        shell=True,
        cwd=tmp_path,
        capture_output=True,
        text=True,
        timeout=60,
    )
    assert (done.returncode, done.stdout, done.stderr) == (ends, out, said)


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no such device here")
@pytest.mark.parametrize("name", ["figures", "spread", "audit"])
def test_a_full_disk_behind_standard_output(name: str, tmp_path: Path) -> None:
    code = "import sys; from evenround.cli import main; sys.exit(main())"
    with Path("/dev/full").open("wb", buffering=0) as full:
        done = subprocess.run(
            [sys.executable, "-c", code, *call(name, tmp_path)],
            stdout=full,
            stderr=subprocess.PIPE,
            timeout=60,
        )
    assert done.returncode == Exit.IN_PART
    assert done.stderr.count(b"\n") == 1
    assert b"could not be written in full" in done.stderr
