"""Pages of several sizes, of a family, and where nothing fits. Our own scenarios (demos.md)."""

from __future__ import annotations

import pytest
from page_reading import Element, answers_of, example, read_page, with_family

from evenround.tables.page import Answers, page

BUCKET = example("bucket")
NAMES = ["6-12 months", "1-3 years", "4-8 years", "adult S/M", "adult L"]
SIDES = [84, 88, 96, 104, 108]
"""Tamsellick's side counts as one family (demos.md)."""
EDGES = [112, 120, 128, 136, 144]
EIGHTS = BUCKET.replace("sector_range = [6, 16]", "sector_range = [8, 8]")
"""Asking for 8 brim sectors everywhere: the first size and the last cannot be made (demos.md)."""


@pytest.fixture(scope="module")
def bucket() -> Answers:
    return answers_of(BUCKET, best=3)


@pytest.fixture(scope="module")
def family() -> tuple[Answers, Element]:
    answers = answers_of(with_family(BUCKET), best=2)
    return answers, read_page(page(answers))


@pytest.fixture(scope="module")
def eights() -> Element:
    return read_page(page(answers_of(EIGHTS, best=2)))


def cells(table: Element, name: str) -> list[str]:
    """A measure of every size."""
    row = next(r for r in table.every("tr") if r.one("th").text.endswith(name))
    return [cell.text for cell in row.every("td")]


def heads(table: Element) -> list[str]:
    return [th.text for th in table.one("thead").every("th")][1:]


def test_every_size_at_its_best_side_by_side(bucket: Answers) -> None:
    root = read_page(page(bucket))
    table = root.by_id("beside").one("table")
    best = [each.fit.candidates[0] for each in bucket.sizes]
    assert heads(table) == NAMES
    counts = [f"{c.measures.side_count} =" for c in best]
    found = cells(table, "stitches = repeats")
    assert [text[: len(count)] for text, count in zip(found, counts, strict=True)] == counts
    for place, each in enumerate(bucket.sizes, 1):
        section = root.by_id(f"s{place}")
        rows = list(section.one(look="compared").one("tbody").every("tr"))
        assert len(rows) == len(each.fit.candidates)
        assert len(list(section.every("article"))) == 1
        assert [r.attributes["data-target"] for r in rows] == [
            f"s{place}-c1",
            *[""] * (len(rows) - 1),
        ]
    text = root.one(look="cautions").text
    assert "off for sleep" in text
    assert "no sun protection" in text


def test_one_size_of_several(bucket: Answers) -> None:
    root = read_page(page(answers_of(BUCKET, size="adult L", best=2)))
    assert root.one("article").one("h3").text.startswith("Candidate 1: 108 ")
    assert "off for sleep" not in root.text
    assert root.one(look="under").text == "size adult L, 2 candidates"


def test_a_family_side_by_side(family: tuple[Answers, Element]) -> None:
    answers, root = family
    assert answers.graded is not None
    table = root.one("section", "kin").one("table")
    assert heads(table) == NAMES
    assert [int(text.split()[0]) for text in cells(table, "stitches = repeats")] == SIDES
    assert [int(text.split()[0]) for text in cells(table, "ends on")] == EDGES
    assert len(list(root.every("section", "kin"))) == len(answers.graded.grade.families)
    assert "8 crown sectors" in root.one("section", "kin").text


def test_a_family_has_one_pattern_and_a_drawing_of_every_size(
    family: tuple[Answers, Element],
) -> None:
    _, root = family
    lines = [line.text for line in root.by_id("pattern").every("p", "round")]
    assert lines[0].startswith("Rnd 1: ")
    assert any("112 (120, 128, 136, 144)" in line for line in lines)
    assert len(list(root.every(look="pattern"))) == 1
    articles = list(root.every("article"))
    assert len(articles) == len(NAMES)
    for article, edge in zip(articles, EDGES, strict=True):
        assert f"ends on {edge}" in article.text
        assert article.one("figure", "side").one("svg").attributes["data-picture"] == "side"


def test_where_a_size_cannot_be_made_the_conflict_and_ways_out_stand(eights: Element) -> None:
    table = eights.by_id("beside").one("table")
    assert heads(table) == NAMES[1:4]
    assert "No design for 6-12 months and adult L" in eights.by_id("beside").one("p", "status").text
    for place in (1, 5):
        section = eights.by_id(f"s{place}")
        assert not list(section.every("article"))
        stuck = section.one(look="stuck")
        assert "Conflict: " in stuck.text
        assert "second opinion" in stuck.text
        assert stuck.one("caption").text == "Ways out, cheapest first"
        rows = list(stuck.one("tbody").every("tr"))
        assert len(rows) >= 2
        prices = [float(list(row.every("td"))[-1].text) for row in rows]
        assert prices == sorted(prices)


def test_where_no_family_can_be_made_the_conflict_stands() -> None:
    root = read_page(page(answers_of(with_family(EIGHTS), best=1)))
    text = root.by_id("beside").text
    assert "no family of its sizes meets every requirement" in text
    assert "6-12 months cannot be made at all" in text
    assert "Near misses" not in text
    names = [root.by_id(f"s{place}").one("h2").text for place in (1, 2)]
    assert names == ["Size 6-12 months", "Size adult L"]
    for place in (1, 2):
        captions = [each.text for each in root.by_id(f"s{place}").every("caption")]
        assert captions == ["Ways out, cheapest first", "Near misses: each breaks one requirement"]
    assert not list(root.every("article"))


def test_a_piece_without_crown_or_brim() -> None:
    root = read_page(page(answers_of(example("cowl"), best=2)))
    kinds = {f.attributes["class"] for f in root.every("figure")}
    assert "crown" not in kinds
    assert {"side", "counts", "band"} <= kinds
    assert "114 (rnds " in root.one("p", "counts").text
