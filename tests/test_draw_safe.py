"""Pictures are valid, ask for nothing, keep texts as texts, and nothing written overlaps."""

from __future__ import annotations

import re
import struct
import sys
from collections.abc import Callable
from dataclasses import replace
from functools import partial
from xml.etree import ElementTree as Tree

import pytest
from drawn import HATS, PIECES, SVG, having, read, solved, texts, title_of

from evenround.solver.candidate import Candidate
from evenround.tables.draw import (
    STYLE,
    PngError,
    bands_chart,
    counts_plot,
    crown_view,
    sector_chart,
    side_view,
    to_png,
)
from evenround.tables.draw.sheet import Sheet, number, points
from evenround.tables.plan import Plan

Picture = Callable[[Plan, Candidate], str]
CROWNS: tuple[Picture, ...] = (
    crown_view,
    sector_chart,
    partial(crown_view, left_handed=True),
    partial(sector_chart, left_handed=True),
)
PICTURES: tuple[Picture, ...] = (
    side_view,
    bands_chart,
    counts_plot,
    partial(bands_chart, left_handed=True),
)
EVERY = [
    *((*piece, picture) for piece in PIECES for picture in PICTURES),
    *((*piece, picture) for piece in HATS for picture in CROWNS),
]
NASTY = "<script>alert(1)</script> & \"quoted\" 'x' ]]>"


def drawn(example: str, size: str | None, picture: Picture) -> Tree.Element:
    return read(picture(*solved(example, size)))


@pytest.mark.parametrize(("example", "size", "picture"), EVERY)
def test_asks_for_nothing_and_has_no_ids(example: str, size: str | None, picture: Picture) -> None:
    root = drawn(example, size, picture)
    for element in root.iter():
        assert element.tag.removeprefix(SVG) not in {"script", "image", "use", "foreignObject"}
        for name, value in element.attrib.items():
            assert "href" not in name and name != "id" and not name.startswith("on")
            assert "url(" not in value and "://" not in value
            assert name not in {"fill", "stroke", "style"}  # colours are classes
    assert "url(" not in STYLE and "@import" not in STYLE
    assert "prefers-color-scheme:dark" in (root.findtext(f"{SVG}style") or "")


@pytest.mark.parametrize(("example", "size", "picture"), EVERY)
def test_nothing_written_overlaps_or_is_cut(
    example: str, size: str | None, picture: Picture
) -> None:
    apart(drawn(example, size, picture))


def apart(root: Tree.Element) -> None:
    """Every text lies inside the sheet, and none on another."""
    wide, high = (float(v) for v in root.attrib["viewBox"].split()[2:])
    boxes = [box(text) for text in texts(root)]
    assert len(boxes) > 4
    for x1, y1, x2, y2, words in boxes:
        assert x1 >= 0 and x2 <= wide and y1 >= 0 and y2 <= high, words
    for place, one in enumerate(boxes):
        for two in boxes[place + 1 :]:
            clear = one[0] >= two[2] or two[0] >= one[2] or one[1] >= two[3] or two[1] >= one[3]
            assert clear, (one, two)


def box(text: Tree.Element) -> tuple[float, float, float, float, str]:
    """About the room a text takes in a wide typeface (DejaVu Sans, measured)."""
    size, words = float(text.attrib["font-size"]), text.text or ""
    bold = 1.12 if "strong" in text.attrib["class"] else 1.0
    long = sum(map(wide_as, words)) * size * bold
    x, y = float(text.attrib["x"]), float(text.attrib["y"])
    anchor = text.attrib.get("text-anchor", "start")
    start = x - {"start": 0.0, "middle": long / 2, "end": long}[anchor]
    return start, y - 0.75 * size, start + long, y + 0.1 * size, words


def wide_as(letter: str) -> float:
    """How wide a letter is, its height being 1."""
    if letter in "iljtfr.,:;'()| ":
        return 0.36
    return 0.97 if letter in "mwMW" else 0.72 if letter.isupper() else 0.63


def test_long_names_and_large_counts_stay_apart() -> None:
    """Whatever a brief calls things: titles, sizes and sections are cut, not written over."""
    plan, candidate = solved("garden")
    plan = replace(plan, title="W" * 90, size="an adult of the widest kind " * 3, sizes=("a", "b"))
    sections = tuple(
        replace(
            s, name="MWMW " * 9, count_in=s.count_in * 12, changes=tuple(12 * c for c in s.changes)
        )
        for s in candidate.tally.sections
    )
    tally = replace(candidate.tally, sections=sections)
    widths = tuple(12 * w for w in candidate.measures.round_widths_cm)
    measures = replace(candidate.measures, round_widths_cm=widths)
    for picture in (side_view, counts_plot):
        apart(read(picture(plan, replace(candidate, tally=tally, measures=measures))))


@pytest.mark.parametrize(("example", "size", "picture"), EVERY)
def test_small_writing_is_not_too_small(example: str, size: str | None, picture: Picture) -> None:
    """A sheet is 360 units wide: at 360 pixels its smallest writing is 11 pixels high."""
    root = drawn(example, size, picture)
    assert float(root.attrib["viewBox"].split()[2]) == 360
    assert min(float(text.attrib["font-size"]) for text in texts(root)) >= 11


@pytest.mark.parametrize("picture", (*PICTURES, *CROWNS))
def test_a_title_of_script_stays_a_title(picture: Picture) -> None:
    plan, candidate = solved("garden")
    root = read(picture(replace(plan, title=NASTY, size=NASTY, sizes=(NASTY, "M")), candidate))
    assert title_of(root).startswith('<script>alert(1)</script> & "quoted"')
    assert not [e for e in root.iter() if e.tag.endswith("script")]


def test_a_nasty_section_name_stays_a_name() -> None:
    plan, candidate = solved("garden")
    name = 'x"><img src=q onerror=1>\x00\ud800\n\t'
    sections = tuple(replace(s, name=name) for s in candidate.tally.sections)
    tally = replace(candidate.tally, sections=sections)
    for picture in (*PICTURES, *CROWNS):
        root = read(picture(plan, replace(candidate, tally=tally)))
        assert not [e for e in root.iter() if e.tag.endswith("img")]
    named = having(read(side_view(plan, replace(candidate, tally=tally))), "name")
    assert 'x"><img src=q onerror=1>' in {e.attrib["data-name"] for e in named}


def test_a_page_may_carry_the_colours() -> None:
    plan, candidate = solved("garden")
    bare = side_view(plan, candidate, styled=False)
    assert "<style>" not in bare
    classes = set(re.findall(r"er-[a-z-]+", bare)) - {"er-draw"}
    for name in classes:
        assert f".{name}{{" in STYLE or f".{name}," in STYLE, name


def test_the_same_candidate_gives_the_same_picture() -> None:
    for picture in (*PICTURES, *CROWNS):
        assert picture(*solved("garden")) == picture(*solved("garden"))


# --- the sheet ----------------------------------------------------------------------------


def test_numbers_are_short() -> None:
    assert [number(v) for v in (1.0, 1.25, -0.04, 12.34)] == ["1", "1.2", "0", "12.3"]
    assert points((0, 1), (2.5, -3)) == "M0 1L2.5 -3"


def test_groups_nest_and_end() -> None:
    sheet = Sheet("t", "d", what="x")
    with sheet.group("odd", round=1):
        with sheet.group(letter="A"):
            sheet.line(0, 0, 1, 1, "thin")
        sheet.line(0, 0, 2, 2, "thin")
    sheet.line(0, 0, 3, 3, "thin")
    root = read(sheet.svg(10))
    (outer,) = having(root, "round")
    (inner,) = having(root, "letter")
    assert outer[0] is inner and len(list(outer)) == 2 and len(list(inner)) == 1
    assert root[-1].attrib["d"] == "M0 0L3 3"


# --- PNG ----------------------------------------------------------------------------------


@pytest.mark.parametrize("width", [360, 1080])
def test_png_has_the_size_asked_for(width: int) -> None:
    pytest.importorskip("resvg_py")
    svg = side_view(*solved("garden"))
    data = to_png(svg, width)
    assert data.startswith(b"\x89PNG\r\n\x1a\n")
    found, high = struct.unpack(">II", data[16:24])
    asked = [float(v) for v in read(svg).attrib["viewBox"].split()]
    assert found == width
    assert high == pytest.approx(width * asked[3] / asked[2], abs=1)


def test_without_the_extra_the_message_says_what_helps(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "resvg_py", None)
    with pytest.raises(PngError, match=r"pip install 'evenround\[png\]'"):
        to_png("<svg/>")


def test_what_is_no_picture_is_refused() -> None:
    pytest.importorskip("resvg_py")
    with pytest.raises(PngError, match="could not be made into a PNG"):
        to_png("no picture")
