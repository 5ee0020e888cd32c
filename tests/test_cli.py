"""The command line: exit codes, one message for bad input, files written whole or not at all."""

from __future__ import annotations

import os
import stat
import subprocess
import sys
from pathlib import Path

import pytest
from every_command import commands
from test_tables_out_sample import garden_fit

from evenround import solver
from evenround.cli import main
from evenround.cli.arguments import spelled_out
from evenround.cli.errors import Exit, RefusalError, ending
from evenround.cli.files import LARGEST_BRIEF, check_out, read_input, write_out
from evenround.solver.candidate import Fit

HEAVY = ("ortools", "pandas", "pydantic", "numpy")


@pytest.fixture
def quick(monkeypatch: pytest.MonkeyPatch) -> list[dict[str, object]]:
    """A solver that answers at once, and what it was asked."""
    asked: list[dict[str, object]] = []

    def answer(piece: object, best: int = 10, time_limit: float = 10.0) -> Fit:
        asked.append({"piece": piece, "best": best, "time_limit": time_limit})
        return garden_fit()

    monkeypatch.setattr(solver, "fit", answer, raising=False)
    return asked


def answers(monkeypatch: pytest.MonkeyPatch, fit: Fit) -> None:
    monkeypatch.setattr(solver, "fit", lambda *args, **kwargs: fit, raising=False)


def python(code: str, *arguments: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-c", code, *arguments], capture_output=True, text=True, timeout=60
    )


RUN = "import sys; from evenround.cli import main; sys.exit(main())"


@pytest.mark.parametrize("arguments", [["--help"], ["fit", "--help"], ["sample"], ["--version"]])
def test_help_and_sample_load_nothing_heavy(arguments: list[str]) -> None:
    code = (
        "import sys; from evenround.cli import main; code = main(); "
        f"print([m for m in {HEAVY!r} if m in sys.modules], code, file=sys.stderr)"
    )
    done = python(code, *arguments)
    assert done.stderr.strip() == "[] 0"
    assert done.stdout


def test_no_summary_of_a_command_is_cut(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    assert main(["--help"]) == 0
    summaries = capsys.readouterr().out.partition("Commands:\n")[2].splitlines()
    assert len(summaries) == len(commands())  # a line each
    assert [line for line in summaries if not line.endswith(".") or "..." in line] == []


@pytest.mark.parametrize(
    ("given", "meant"),
    [
        (["fit", "--example"], ["fit", "--example=garden"]),
        (["fit", "--example", "--format", "json"], ["fit", "--example=garden", "--format", "json"]),
        (["fit", "--example", "bucket"], ["fit", "--example", "bucket"]),
        (["fit", "--example=cowl"], ["fit", "--example=cowl"]),
        (["fit", "--", "--example"], ["fit", "--", "--example"]),
    ],
)
def test_a_bare_example_is_the_garden_hat(given: list[str], meant: list[str]) -> None:
    assert spelled_out(given) == meant


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        ([], "nothing to work on"),
        (["missing.toml"], "no file missing.toml"),
        (["."], "is a directory"),
        (["bad\0name"], "cannot be read"),
        ([""], "BRIEF: found an empty name"),
        (["--example", "--out", ""], "--out: found an empty name"),
        (["--example", "nope"], "garden, bucket or cowl"),
        (["x.toml", "--example"], "only one"),
        (["--example", "--best", "0"], "--best: 0"),
        (["--example", "--best", "x"], "--best"),
        (["--example", "--time-limit", "nan"], "--time-limit: nan"),
        (["--example", "--time-limit", "inf"], "--time-limit: inf"),
        (["--example", "--time-limit", "0"], "--time-limit: 0"),
        (["--example", "--detail", "0"], "--detail: 0"),
        (["--example", "--detail", "1", "--format", "json"], "--detail: words"),
        (["--example", "--detail", "3"], "there is no candidate 3; there are 2"),
        (["--example", "--format", "pdf"], "--format"),
        (["--example", "--units", "mm"], "--units"),
        (["--example", "bucket", "--size", "X"], "--size: found 'X'"),
        (["--example", "--head", "-3cm"], "--head"),
        (["--example", "--force"], "--force"),
        (["--example", "--out", "."], "--out: . is a directory"),
        (["--example", "--out", "no/such/file"], "no folder"),
        (["--example", "--nonsense"], "--nonsense"),
    ],
)
def test_bad_input_is_one_message_and_nothing_else(
    quick: list[dict[str, object]],
    capsys: pytest.CaptureFixture[str],
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    arguments: list[str],
    said: str,
) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(["fit", *arguments]) == Exit.BAD_INPUT
    out, err = capsys.readouterr()
    assert out == ""
    assert said in err
    assert "Traceback" not in err
    assert list(tmp_path.iterdir()) == []


def test_an_unreadable_brief_is_no_traceback(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    for name, data in {
        "latin.toml": b'title = "caf\xe9"\n',
        "empty.toml": b"",
        "not.toml": b"head: 57\n",
        "unknown.toml": b'titel = "x"\n',
    }.items():
        path = tmp_path / name
        path.write_bytes(data)
        assert main(["fit", str(path)]) == Exit.BAD_INPUT
        out, err = capsys.readouterr()
        assert out == ""
        assert name in err
        assert "Traceback" not in err


def test_a_file_of_50_mb_is_not_read(tmp_path: Path) -> None:
    path = tmp_path / "large.toml"
    with path.open("wb") as file:
        file.truncate(50_000_000)
    with pytest.raises(RefusalError, match="50,000,000 bytes"):
        read_input(str(path))
    # A file that says it is empty and never ends is stopped as well.
    with pytest.raises(RefusalError, match=f"more than {LARGEST_BRIEF:,}"):
        read_input("/dev/zero")


def test_negative_values_are_values(
    quick: list[dict[str, object]], capsys: pytest.CaptureFixture[str]
) -> None:
    base = ["fit", "--head", "56cm", "--gauge", "16 x 12 / 10cm", "--stitch", "hdc"]
    assert main([*base, "--ease", "-1in"]) == 0
    assert main([*base, "--ease=-1in"]) == 0
    around = [asked["piece"].around_cm for asked in quick]  # type: ignore[attr-defined]
    assert around == [pytest.approx(53.46)] * 2
    assert capsys.readouterr().out


def test_the_solver_is_asked_for_enough(quick: list[dict[str, object]]) -> None:
    assert main(["fit", "--example", "--best", "1", "--detail", "2", "--time-limit", "3"]) == 0
    assert (quick[0]["best"], quick[0]["time_limit"]) == (2, 3.0)


def test_units_override_the_briefs(
    quick: list[dict[str, object]], capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["fit", "--example", "--units", "in"]) == 0
    assert "22.44 in" in capsys.readouterr().out


@pytest.mark.parametrize("format", ["json", "csv"])
def test_stdout_is_data_only(
    quick: list[dict[str, object]], capsys: pytest.CaptureFixture[str], format: str
) -> None:
    assert main(["fit", "--example", "--format", format]) == 0
    out, err = capsys.readouterr()
    assert out.startswith("[" if format == "json" else "rank,")
    assert "Caution: Openwork" in err
    assert "Caution" not in out


def test_no_proof_is_exit_3(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    best = garden_fit()
    answers(monkeypatch, Fit("unproven", best.candidates, (), ()))
    assert main(["fit", "--example"]) == Exit.NO_PROOF
    out, err = capsys.readouterr()
    assert "12 x 9" in out
    assert "NOT PROVEN" in out
    assert "no proof within 10 s" in err
    answers(monkeypatch, Fit("unproven", (), (), ()))
    assert main(["fit", "--example"]) == Exit.NO_PROOF
    out, err = capsys.readouterr()
    assert out == ""
    assert "nothing found" in err


def test_impossible_is_exit_4(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    answers(monkeypatch, Fit("impossible", (), garden_fit().near_misses, ("depth",)))
    assert main(["fit", "--example"]) == Exit.IMPOSSIBLE
    out, err = capsys.readouterr()
    assert out == ""
    assert "would do: the depth" in err
    assert "Near misses" in err
    assert main(["fit", "--example", "--format", "json"]) == Exit.IMPOSSIBLE
    out, err = capsys.readouterr()
    assert out == "[]\n"
    assert "would do: the depth" in err
    target = tmp_path / "out.txt"
    assert main(["fit", "--example", "--out", str(target)]) == Exit.IMPOSSIBLE
    assert not target.exists()


def test_a_failed_check_is_exit_5(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    from evenround.solver.recount import InternalCheckError

    def fail(*args: object, **kwargs: object) -> Fit:
        raise InternalCheckError("a round leaves 1 of 109 stitches unworked")

    monkeypatch.setattr(solver, "fit", fail, raising=False)
    assert main(["fit", "--example"]) == Exit.INTERNAL
    out, err = capsys.readouterr()
    assert out == ""
    assert "a round leaves 1 of 109" in err
    assert "Traceback" not in err


def test_stopping_by_hand_is_quiet(capsys: pytest.CaptureFixture[str]) -> None:
    def work() -> int:
        raise KeyboardInterrupt

    assert ending(work) == 130
    assert capsys.readouterr().err == "evenround: stopped\n"


# --- files -------------------------------------------------------------------------------


def test_out_is_never_written_over_unasked(
    quick: list[dict[str, object]], capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    target = tmp_path / "hats.csv"
    target.write_text("mine")
    arguments = ["fit", "--example", "--format", "csv", "--out", str(target)]
    assert main(arguments) == Exit.BAD_INPUT
    assert target.read_text() == "mine"
    assert quick == []  # refused before any work
    assert "--force" in capsys.readouterr().err
    assert main([*arguments, "--force"]) == 0
    assert target.read_text().startswith("rank,")
    assert capsys.readouterr().out == ""
    assert list(tmp_path.iterdir()) == [target]  # no temporary file left


def test_a_file_that_appears_meanwhile_is_kept(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    target = tmp_path / "hat.txt"
    target.write_text("mine")
    monkeypatch.setattr("evenround.cli.files.check_out", lambda out, *, force: None)
    with pytest.raises(RefusalError, match="there already"):
        write_out(str(target), "new", force=False)
    assert target.read_text() == "mine"
    assert list(tmp_path.iterdir()) == [target]


def test_a_write_that_fails_leaves_nothing(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    def full(*args: object, **kwargs: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("evenround.cli.files._put", full)
    with pytest.raises(RefusalError, match="No space left"):
        write_out(str(tmp_path / "hat.txt"), "text", force=False)
    assert list(tmp_path.iterdir()) == []


def test_files_have_the_mode_of_any_other(tmp_path: Path) -> None:
    plain, ours = tmp_path / "plain", tmp_path / "ours"
    plain.write_text("x")
    write_out(str(ours), "x", force=False)
    assert stat.S_IMODE(ours.stat().st_mode) == stat.S_IMODE(plain.stat().st_mode)


def test_force_writes_through_a_link(tmp_path: Path) -> None:
    real, link = tmp_path / "real", tmp_path / "link"
    real.write_text("old")
    link.symlink_to(real)
    write_out(str(link), "new", force=True)
    assert link.is_symlink()
    assert real.read_text() == "new"


def test_devices_are_not_replaced() -> None:
    with pytest.raises(RefusalError, match="no ordinary file"):
        check_out("/dev/null", force=True)


def test_sample_writes_a_brief_that_works(
    quick: list[dict[str, object]], capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    target = tmp_path / "mine.toml"
    assert main(["sample"]) == 0
    text = capsys.readouterr().out
    assert main(["sample", "--out", str(target)]) == 0
    assert target.read_text(encoding="utf-8") == text
    assert main(["sample", "--out", str(target)]) == Exit.BAD_INPUT
    assert main(["fit", str(target)]) == 0


# --- pipes and terminals -----------------------------------------------------------------


def test_a_reader_who_has_seen_enough_is_no_error() -> None:
    process = subprocess.Popen(
        [sys.executable, "-c", RUN, "sample"], stdout=subprocess.PIPE, stderr=subprocess.PIPE
    )
    assert process.stdout is not None
    process.stdout.close()  # before anything can have been written
    assert process.stderr is not None
    err = process.stderr.read()
    process.stderr.close()
    assert process.wait(timeout=60) == 0
    assert err == b""


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no such device here")
def test_a_full_disk_is_told_and_done_in_part() -> None:
    with Path("/dev/full").open("wb", buffering=0) as full:
        done = subprocess.run(
            [sys.executable, "-c", RUN, "sample"], stdout=full, stderr=subprocess.PIPE, timeout=60
        )
    assert done.returncode == Exit.IN_PART
    assert b"could not be written in full" in done.stderr
    assert b"Traceback" not in done.stderr


@pytest.mark.skipif(not hasattr(os, "openpty"), reason="no terminals here")
@pytest.mark.parametrize(("no_colour", "bold"), [("", True), ("1", False)])
def test_colour_is_for_terminals(no_colour: str, bold: bool) -> None:
    code = (
        "from evenround.cli import colour; import sys; "
        "print(colour.embolden('Near misses:\\n') if colour.wanted() else 'Near misses:')"
    )
    ours, theirs = os.openpty()
    subprocess.run(
        [sys.executable, "-c", code],
        stdout=theirs,
        env={**os.environ, "NO_COLOR": no_colour, "TERM": "xterm"},
        check=True,
        timeout=60,
    )
    shown = os.read(ours, 1000)
    os.close(theirs)
    os.close(ours)
    assert b"Near misses:" in shown
    assert (b"\x1b[" in shown) is bold


def test_a_pipe_gets_no_colour(
    quick: list[dict[str, object]], capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["fit", "--example", "--detail", "1"]) == 0
    out = capsys.readouterr().out
    assert "Near misses" in out
    assert "\x1b" not in out


def test_a_narrow_encoding_is_no_traceback() -> None:
    code = "from evenround.cli.files import show; show('caf\\u00e9 \\u2713\\n')"
    done = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        env={**os.environ, "PYTHONIOENCODING": "ascii"},
        timeout=60,
    )
    assert done.stdout == b"caf? ?\n"
    assert done.returncode == 0
