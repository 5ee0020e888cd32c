"""How long a page takes beyond the solve, and how large it is. Run it by hand:

    python tests/bench/page.py [runs]

Whole processes of ``evenround page`` against the solve alone, which a process of its own measures
in the same round (the import of CP-SAT counts as solve): what is ``beyond`` it is everything else,
from the interpreter's start to the last byte; ``page cold`` is what the whole takes beyond that
other process, which starts, reads the brief and solves it, as any command does. Beside it the page
alone in a process that has made one before. Medians; nothing here passes or fails. The nine sizes
are invented by us.
"""

from __future__ import annotations

import os
import sys
from functools import partial
from pathlib import Path
from statistics import median
from subprocess import run
from tempfile import TemporaryDirectory
from time import perf_counter

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from bench import EVENROUND, seconds
from page_reading import answers_of, example, with_family

from evenround.tables.page import page

BEST = 10
ENVIRONMENT = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
"""Compiled modules are kept, as where evenround is installed."""
SIZES = ((38, 13), (42, 14.5), (45, 15.5), (49, 16.5), (52, 17.5), (54, 18), (56, 19), (59, 20))
SOLVE = """
import sys
from pathlib import Path
from time import perf_counter
from evenround.solver import fit, grade
from evenround.tables.brief import family_of, plan, read_brief
brief = read_brief(Path(sys.argv[1]).read_bytes(), "bench")
kin = "family" in brief.raw
plans, rules = family_of(brief) if kin else ([plan(brief, name) for name in brief.sizes], None)
before = perf_counter()
if kin:
    grade([plan.piece for plan in plans], rules, best=10)
else:
    for each in plans:
        fit(each.piece, best=10)
print(perf_counter() - before)
"""


def briefs() -> dict[str, str]:
    """Nine sizes of the bucket hat one by one and as a family, and the garden hat alone."""
    head, _, rest = example("bucket").partition("sizes = [")
    sizes = "".join(
        f'  {{ name = "{place}", head = {around}, depth = {depth}, brim_width = 5 }},\n'
        for place, (around, depth) in enumerate((*SIZES, (62, 21)), 1)
    )
    nine = f"{head}sizes = [\n{sizes}{rest[rest.index(']') :]}"
    for old, new in (
        ("circumference = 1.25", "circumference = 2.5"),
        ("stitches = 0", "stitches = 4"),
        ("sector_range = [6, 16]", "sector_range = [4, 24]"),
    ):
        nine = nine.replace(old, new)
    return {
        "nine sizes": nine,
        "nine as a family": with_family(nine),
        "one size": example("garden"),
    }


def measured(text: str, runs: int, folder: Path) -> None:
    """One brief's line."""
    brief, out = folder / "brief.toml", folder / "page.html"
    brief.write_text(text, "utf-8")
    command = (*EVENROUND, "page", str(brief), "--best", str(BEST), "--out", str(out), "--force")
    whole, solve, cold = [], [], []
    alone = (sys.executable, "-c", SOLVE, str(brief))
    process = partial(run, check=True, capture_output=True, env=ENVIRONMENT)
    for _ in range(runs + 1):
        whole.append(seconds(partial(process, command)))
        before = perf_counter()
        solve.append(float(process(alone).stdout))
        cold.append(whole[-1] - (perf_counter() - before))
    # the first warms the disk
    took, solving, alone_cold = median(whole[1:]), median(solve[1:]), median(cold[1:])
    answers = answers_of(text, best=BEST)
    page(answers)
    again = median(seconds(partial(page, answers)) for _ in range(runs))
    size = out.stat().st_size / 1000
    print(
        f"{took:7.2f} {solving:7.2f} {took - solving:8.2f} {(took - solving) / solving:9.2f}"
        f" {alone_cold:9.2f} {again:9.2f} {again / solving:9.2f} {size:8.0f}"
    )


def main(runs: int) -> None:
    """Print a line a brief."""
    print(
        f"{'':18}  whole   solve   beyond  : solve page cold page warm  : solve      kB   "
        f"median of {runs}"
    )
    with TemporaryDirectory() as folder:
        for name, text in briefs().items():
            print(f"{name:18}", end="")
            measured(text, runs, Path(folder))


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 5)
