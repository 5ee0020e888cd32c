"""How ranking grows with yarns and sizes: seconds and peak memory, each run a process of its own.

Every yarn here is invented. Run: python tests/bench/yarns.py
"""

from __future__ import annotations

import random
import resource
import subprocess
import sys
import tempfile
from pathlib import Path
from time import perf_counter

HEADS = (45, 47, 49, 51, 53, 55, 57, 59, 61)
RUNS = ((10, 1), (100, 1), (1000, 1), (100, 9), (1000, 3), (1000, 9))


def brief(example: str, sizes: int) -> str:
    """An example's text with so many sizes in place of its own."""
    from evenround.tables.facts import data_text

    lines = data_text(f"{example}.toml").splitlines()
    kept, inside = [], False
    for line in lines:
        inside = inside or line.startswith("sizes = [")
        if not inside and not line.startswith(("head =", "depth =")):
            kept.append(line)
        inside = inside and line.strip() != "]"
    width = ", brim_width = 5.5" if example == "bucket" else ""
    rows = [
        f'  {{ name = "{head} cm", head = {head}, depth = {round(head * 0.34, 1)}{width} }},'
        for head in HEADS[:sizes]
    ]
    at = next(i for i, line in enumerate(kept) if line.startswith("["))
    return "\n".join([*kept[:at], "sizes = [", *rows, "]", *kept[at:]])


def yarns(many: int, seed: int = 1) -> str:
    """Invented yarns: hdc from 13 to 27 stitches in 10 cm, sc a little tighter."""
    dice = random.Random(seed)
    rows = ["name,stitch,stitches,rounds,over,ball_grams,swatch_grams,swatch_area"]
    for i in range(many):
        stitches = dice.uniform(13, 27)
        rounds = stitches * dice.uniform(0.7, 0.85)
        tight = stitches * dice.uniform(0.98, 1.02)
        swatch = round(dice.uniform(3, 5), 2)
        rows.append(f"invented {i},hdc,{stitches:.2f},{rounds:.2f},10cm,50,{swatch},10cm x 10cm")
        rows.append(f"invented {i},sc,{tight:.2f},{tight * 1.15:.2f},10cm,50,{swatch},100cm2")
    return "\n".join(rows) + "\n"


def main() -> None:
    """One line a run."""
    print("Yarns are invented. Scoring, and the best 5 yarns solved and proven, start-up included.")
    print(f"{'design':8} {'yarns':>6} {'sizes':>6} {'pairs':>6} {'seconds':>8} {'peak MB':>8}")
    with tempfile.TemporaryDirectory() as folder:
        for example in ("garden", "bucket"):
            for many, sizes in RUNS:
                one_run(Path(folder), example, many, sizes)


def one_run(folder: Path, example: str, many: int, sizes: int) -> None:
    """Write the files, run the command, print what it took."""
    (folder / "brief.toml").write_text(brief(example, sizes), encoding="utf-8")
    (folder / "yarns.csv").write_text(yarns(many), encoding="utf-8")
    began = perf_counter()
    done = subprocess.run(
        [sys.executable, __file__, str(folder / "brief.toml"), str(folder / "yarns.csv")],
        capture_output=True,
        text=True,
        check=False,
    )
    seconds = perf_counter() - began
    if done.returncode:
        print(done.stderr[-400:])
    peak = done.stderr.strip().splitlines()[-1]
    print(f"{example:8} {many:6} {sizes:6} {many * sizes:6} {seconds:8.2f} {peak:>8}", flush=True)


def command(brief_file: str, yarns_file: str) -> None:
    """The work of the command, and this process's peak memory on stderr."""
    from evenround.cli.errors import ending
    from evenround.cli.rank import rank

    def work() -> int:
        import typer

        try:
            rank(brief_file, yarns_file)
        except typer.Exit as end:
            return end.exit_code
        return 0

    code = ending(work)
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(f"{peak:.0f}", file=sys.stderr)
    sys.exit(code)


if __name__ == "__main__":
    command(*sys.argv[1:]) if len(sys.argv) == 3 else main()
