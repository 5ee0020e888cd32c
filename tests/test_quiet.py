"""``--quiet``: nothing on stderr but errors; completion and the version, which are quick."""

from __future__ import annotations

import os
import subprocess
import sys
from importlib.metadata import version
from pathlib import Path

import pytest
from every_command import CALLS, call, commands, options

from evenround.cli import main
from evenround.cli.errors import Exit

Caught = pytest.CaptureFixture[str]
RUN = "import sys; from evenround.cli import main; sys.exit(main())"


def test_every_command_can_be_quiet() -> None:
    assert {name for name in commands() if {"--quiet", "-q"} <= options(name)} == set(commands())


@pytest.mark.parametrize("name", list(CALLS))
def test_nothing_on_stderr(name: str, tmp_path: Path, capsys: Caught) -> None:
    arguments = [*call(name, tmp_path), "-q"]
    formats = {"csv", "json"} if "--format" in options(name) else set()
    for format in sorted(formats - ({"csv"} if name in ("write", "why") else set())):
        assert main([*arguments, "--format", format]) in (Exit.DONE, Exit.IN_PART)
        out, err = capsys.readouterr()
        assert out
        assert err == ""
    assert main([*arguments, "--out", str(tmp_path / "new")]) in (Exit.DONE, Exit.IN_PART)
    assert capsys.readouterr() == ("", "")


def test_it_is_loud_again_next_time(tmp_path: Path, capsys: Caught) -> None:
    assert main(["sample", "-q", "--out", str(tmp_path / "a")]) == 0
    assert capsys.readouterr().err == ""
    assert main(["sample", "--out", str(tmp_path / "b")]) == 0
    assert "wrote" in capsys.readouterr().err


@pytest.mark.parametrize("before", [True, False])
def test_before_or_after_the_command(before: bool, tmp_path: Path, capsys: Caught) -> None:
    arguments = ["sample", "--out", str(tmp_path / "a")]
    assert main(["--quiet", *arguments] if before else [*arguments, "--quiet"]) == 0
    assert capsys.readouterr() == ("", "")


@pytest.mark.parametrize(
    ("arguments", "code", "said"),
    [
        (["fit", "missing.toml", "-q"], Exit.BAD_INPUT, "there is no file missing.toml"),
        (["spread", "51", "x", "-q"], Exit.BAD_INPUT, "CHANGES: found 'x'"),
        (["fit", "--head", "56", "--gauge", "18 x 14 / 10cm", "--repeat", "41", "-q"], 4, "repeat"),
    ],
)
def test_errors_are_still_told(arguments: list[str], code: int, said: str, capsys: Caught) -> None:
    assert main(arguments) == code
    out, err = capsys.readouterr()
    assert out == ""
    assert said in err


def test_the_version(capsys: Caught) -> None:
    assert main(["--version"]) == 0
    assert capsys.readouterr() == (f"evenround {version('evenround')}\n", "")


def completed(words: str) -> list[str]:
    """What a shell is told for a line that ends in these words."""
    asked = {
        "_EVENROUND_COMPLETE": "complete_bash",
        "COMP_WORDS": f"evenround {words}",
        "COMP_CWORD": str(len(words.split(" "))),
    }
    done = subprocess.run(
        [sys.executable, "-c", RUN],
        env=os.environ | asked,
        capture_output=True,
        text=True,
        timeout=60,
    )
    assert done.stderr == ""
    return done.stdout.split()


@pytest.mark.parametrize(
    ("words", "found"),
    [("cov", ["coverage"]), ("fit --hea", ["--head"]), ("fit --format x", ["xlsx"])],
)
def test_a_shell_completes(words: str, found: list[str]) -> None:
    assert completed(words) == found


@pytest.mark.parametrize("flag", ["--install-completion", "--show-completion"])
def test_completion_can_be_asked_for(flag: str, capsys: Caught) -> None:
    assert main(["--help"]) == 0
    assert flag in capsys.readouterr().out
