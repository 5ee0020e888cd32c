"""Drawings for the left hand: every place mirrored, no number, letter or symbol mirrored.

That a left hand works a round seen from its right side with the clock, and reads a chart from
left to right: common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path
from statistics import mean
from xml.etree import ElementTree as Tree

import pytest
from drawn import desc_of, having, read, solved, texts, title_of
from page_reading import read_page

from evenround.cli.app import run
from evenround.tables.draw import bands_chart, crown_view, sector_chart, side_view

Draw = Callable[..., str]
PICTURES: list[tuple[Draw, str, str | None]] = [
    (crown_view, "garden", None),
    (crown_view, "bucket", "adult L"),
    (sector_chart, "garden", None),
    (sector_chart, "bucket", "adult L"),
    (bands_chart, "bucket", "adult L"),
    (bands_chart, "cowl", None),
]
MADE_OF_LINES = ("sc", "hdc", "dc")
_STROKE = re.compile(r"M([-\d.]+) ([-\d.]+)((?:L[-\d.]+ [-\d.]+)+)")
_DOT = re.compile(r"M([-\d.]+) [-\d.]+a([-\d.]+) ")
TWO_TENTHS = 0.2001  # coordinates are rounded to a tenth


def both(draw: Draw, example: str, size: str | None) -> tuple[Tree.Element, Tree.Element]:
    """The picture for the right hand and the one for the left."""
    plan, candidate = solved(example, size)
    right = draw(plan, candidate)
    left = draw(plan, candidate, left_handed=True)
    assert "transform" not in left  # nothing is turned over as a whole
    return read(right), read(left)


def middles(path: Tree.Element) -> list[float]:
    """How far across the middle of every stroke and dot of a path lies."""
    d = path.attrib["d"]
    found = [float(x) + float(r) for x, r in _DOT.findall(d)]
    for x, y, more in _STROKE.findall(d):
        pairs = [(x, y), *re.findall(r"L([-\d.]+) ([-\d.]+)", more)]
        found.append(mean(float(across) for across, _ in pairs))
    return found


def places(root: Tree.Element) -> list[float]:
    """Where symbols made of lines, or increases, lie across the sheet, in order."""
    marked = having(root, "increase-round") + having(root, "symbol", "many")
    return [
        across
        for path in marked
        if path.attrib.get("data-symbol", "sc") in MADE_OF_LINES
        for across in middles(path)
    ]


@pytest.mark.parametrize(("draw", "example", "size"), PICTURES)
def test_every_place_is_mirrored(draw: Draw, example: str, size: str | None) -> None:
    right, left = both(draw, example, size)
    wide = float(right.attrib["width"])
    shown = places(right)
    assert len(shown) > 8
    assert places(left) == pytest.approx([wide - x for x in shown], abs=TWO_TENTHS)
    assert max(abs(a - b) for a, b in zip(places(left), shown, strict=True)) > 10


@pytest.mark.parametrize(("draw", "example", "size"), PICTURES)
def test_the_same_counts_and_the_hand_is_told(draw: Draw, example: str, size: str | None) -> None:
    right, left = both(draw, example, size)
    assert title_of(left) == f"{title_of(right)}, left-handed"
    assert desc_of(left) == desc_of(right)
    for name in ("round", "count", "symbol", "many", "key"):
        kept = [e.attrib[f"data-{name}"] for e in having(right, name)]
        assert [e.attrib[f"data-{name}"] for e in having(left, name)] == kept
    words = " ".join(e.text or "" for e in texts(left))
    assert "right to left" not in words
    assert "left-handed" in words.lower()
    numbers = sorted(e.text for e in texts(right) if (e.text or "").isdigit())
    assert sorted(e.text for e in texts(left) if (e.text or "").isdigit()) == numbers


def test_the_crown_grows_with_the_clock() -> None:
    """The increases of a round from its start at the foot: to the right first for a right hand,
    to the left first for a left one."""
    right, left = both(crown_view, "garden", None)
    for root, sign in ((right, 1), (left, -1)):
        first = middles(having(root, "increase-round")[1])[0]
        assert sign * (first - 180) > 0


def test_a_chart_begins_at_the_left() -> None:
    """Stitches of one round come in the order they are worked."""
    right, left = both(bands_chart, "cowl", None)
    for root, sign in ((right, -1), (left, 1)):
        rib = having(root, "round", "per-repeat")[0]
        (path,) = having(rib, "symbol")
        stems = middles(path)[::3]
        assert len(stems) == 8
        assert all(sign * (b - a) > 5 for a, b in pairwise(stems))


def test_the_key_and_hooked_feet_are_not_turned_over() -> None:
    """A front post is told from a back post by the side its foot is hooked to."""
    right, left = both(bands_chart, "cowl", None)
    keys = [[path.attrib["d"] for e in having(root, "key") for path in e] for root in (right, left)]
    assert len(keys[0]) > 3
    assert keys[0] == keys[1]
    hooks = []
    for root in (right, left):
        path = next(e for e in having(root, "symbol") if e.attrib["data-symbol"] == "FPdc")
        neck, end = re.findall(r"L([-\d.]+) [-\d.]+C[-\d. ]+ ([-\d.]+) [-\d.]+", path.attrib["d"])[
            0
        ]
        hooks.append(float(end) - float(neck))
    assert hooks[0] * hooks[1] > 0


def test_at_the_terminal(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["draw", "--example", "--what", "sector", "--left-handed"]) == 0
    assert capsys.readouterr().out == sector_chart(*solved("garden"), left_handed=True)
    assert run(["draw", "--example", "--left-handed"]) == 0  # from the side there is no hand
    assert capsys.readouterr().out == side_view(*solved("garden"))
    out = tmp_path / "hat.html"
    asked = ["page", "--example", "--best", "1", "--left-handed", "--out", str(out)]
    assert run(asked) == 0
    root = read_page(out.read_text("utf-8"))
    hands = {
        each.attributes["class"]: "left-handed" in each.one("title").text
        for each in root.every("figure")
    }
    assert {kind for kind, told in hands.items() if told} == {"crown", "sector", "band"}
    assert {kind for kind, told in hands.items() if not told} == {"side", "counts"}
