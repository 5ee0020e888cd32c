"""A call of every command that has something to show, for tests that walk all of them."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from evenround.cli.app import application

PATTERN = """Rnd 1: 6 sc in a ring. (6 sc)
Rnd 2: 2 sc in each st around. (12 sc)
Rnd 3: *Sc in next st, 2 sc in next st; rep from * around. (18 sc)
Rnds 4-8: Sc in each st around. (18 sc)
"""
YARNS = """name,stitch,stitches,rounds,over
Fen cotton,hdc,18,13.5,10cm
Fen cotton,sc,18.5,21,10cm
"""
BRIEF = ("--example", "bucket")
ONE = (*BRIEF, "--size", "adult L")
CALLS: dict[str, tuple[str, ...]] = {
    "fit": ("fit", *ONE, "--best", "2"),
    "fit --count": ("fit", "--count", "60", "--repeat", "7"),
    "sample": ("sample",),
    "write": ("write", *ONE),
    "grade": ("grade", *BRIEF, "--best", "1"),
    "why": ("why", *ONE),
    "adapt": ("adapt", "PATTERN", "--repeat", "4", "--best", "2"),
    "rank": ("rank", *ONE, "--yarns", "YARNS", "--best", "1"),
    "audit": ("audit", "PATTERN"),
    "figures": ("figures", "shell"),
    "gauge": ("gauge", "19 x 15", "18.5 x 15", "--over", "10cm"),
    "coverage": ("coverage", *BRIEF, "--hats", "wished"),
    "spread": ("spread", "51", "4"),
}
"""A quick call of each command, or of one of its two ways; PATTERN and YARNS stand for files."""


def commands() -> dict[str, Any]:
    """Every command of the application by its name."""
    found: dict[str, Any] = application().commands
    return found


def options(name: str) -> set[str]:
    """The options the command of a call has."""
    return {option for each in commands()[name.split()[0]].params for option in each.opts}


def call(name: str, folder: Path) -> list[str]:
    """The call, with files of that folder where it needs some."""
    files = {"PATTERN": (folder / "cap.txt", PATTERN), "YARNS": (folder / "yarns.csv", YARNS)}
    words = []
    for word in CALLS[name]:
        if word in files:
            path, text = files[word]
            path.write_text(text, encoding="utf-8")
            word = str(path)
        words.append(word)
    return words
