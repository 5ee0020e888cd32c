"""The page of one size: its numbers are the candidates', its words the pattern's, its markup its
own. Our own scenarios (demos.md)."""

from __future__ import annotations

import re
import sys
from base64 import b64encode
from dataclasses import replace
from hashlib import sha256
from itertools import pairwise

import pytest
from page_reading import Element, answers_of, example, read_page

from evenround.solver import fit
from evenround.tables.page import Answers, page
from evenround.tables.pattern import write_pattern
from evenround.tables.reasons import breach_words

BEST = 10


@pytest.fixture(scope="module")
def answers() -> Answers:
    return answers_of(example("garden"), best=BEST)


@pytest.fixture(scope="module")
def html(answers: Answers) -> str:
    return page(answers)


@pytest.fixture(scope="module")
def root(html: str) -> Element:
    return read_page(html)


def rows_of(table: Element) -> list[Element]:
    return list(table.one("tbody").every("tr"))


def test_the_table_has_every_candidate_with_its_numbers(answers: Answers, root: Element) -> None:
    candidates = answers.sizes[0].fit.candidates
    rows = rows_of(root.one(look="compared").one("table"))
    assert len(rows) == len(candidates) == BEST
    for row, candidate in zip(rows, candidates, strict=True):
        cells = {cell.attributes["data-label"]: cell for cell in row.every("td")}
        m = candidate.measures
        assert row.attributes["data-rank"] == str(candidate.rank)
        assert cells["around cm, off"].text == f"{m.around_cm:.1f} {m.around_miss_cm:+.1f}"
        assert cells["stitches = repeats"].text.startswith(f"{m.side_count} = ")
        assert cells["score mm"].text == f"{m.score_mm:.1f}"
        assert ("efficient" in row.one("th").text) == candidate.pareto


def test_what_a_column_is_sorted_by(answers: Answers, root: Element) -> None:
    rows = rows_of(root.one(look="compared").one("table"))
    for row, candidate in zip(rows, answers.sizes[0].fit.candidates, strict=True):
        by = {c.attributes["data-label"]: c.attributes.get("data-sort") for c in row.every("td")}
        m = candidate.measures
        assert float(by["around cm, off"] or "nan") == pytest.approx(abs(m.around_miss_cm or 9))
        assert float(by["depth cm, off"] or "nan") == pytest.approx(abs(m.depth_miss_cm or 9))
        assert float(by["stitches = repeats"] or "nan") == m.side_count
        assert float(by["nudges"] or "nan") == sum(abs(n.change) for n in m.nudges)
        assert float(by["ends on"] or "nan") == candidate.tally.round_counts[-1]


def test_each_candidate_has_its_pattern_round_by_round(answers: Answers, root: Element) -> None:
    plan = answers.sizes[0].plan
    articles = list(root.every("article"))
    assert len(articles) == BEST
    for article, candidate in zip(articles, answers.sizes[0].fit.candidates, strict=True):
        written = write_pattern(plan, candidate, answers.known)
        lines = list(article.every("p", "round"))
        assert [line.one("b").text for line in lines] == [f"{r.label}:" for r in written.rounds]
        for line, each in zip(lines, written.rounds, strict=True):
            assert re.findall(r"\d+", line.one(look="count").text)[0] == str(each.counts[0])
        assert article.one("p", "counts").text.endswith(_last(candidate.tally.round_counts))


def _last(counts: tuple[int, ...]) -> str:
    """The last run of equal counts as the page has it."""
    first = len(counts)
    while first > 1 and counts[first - 2] == counts[-1]:
        first -= 1
    return (
        f" {counts[-1]}" if first == len(counts) else f"{counts[-1]} (rnds {first}-{len(counts)})"
    )


def test_each_candidate_has_its_drawings_with_words(root: Element) -> None:
    for article in root.every("article"):
        looks = [figure.attributes["class"] for figure in article.every("figure")]
        assert looks == ["side", "crown", "counts", "sector", "band", "band"]
        for figure in article.every("figure"):
            svg = figure.one("svg")
            assert svg.attributes["role"] == "img"
            assert svg.one("title").text
            assert re.search(r"\d", svg.one("desc").text), "the words have no count"


def test_near_misses_say_what_they_break(answers: Answers, root: Element) -> None:
    misses = answers.sizes[0].fit.near_misses
    assert misses
    near = next(t for t in root.every("table") if "Near misses" in t.one("caption").text)
    assert [row.one("th").text for row in rows_of(near)] == [
        f"stitches {miss.side_count}" for miss in misses
    ]
    for row, miss in zip(rows_of(near), misses, strict=True):
        assert breach_words(miss.breach, "cm") in row.text


def test_cautions_brief_and_remarks(root: Element) -> None:
    assert "it is no sun protection" in root.one(look="cautions").text
    asked = root.by_id("asked").text
    assert "57.0 cm" in asked
    assert "57.5 cm, give or take 1.5 cm" in asked
    assert "19 hdc and 15 rnds = 10 cm" in asked
    assert "Half a stitch off in 10 cm" in root.by_id("remarks").text
    source = root.one("details", "source").text
    assert source.endswith(" ".join(example("garden").split()))


def test_nothing_is_asked_for_from_anywhere(html: str, root: Element) -> None:
    for element in root.every():
        assert not {"src", "srcset", "xlink:href", "action", "poster"} & set(element.attributes)
        assert element.attributes.get("href", "#").startswith("#")
        assert element.name not in {"link", "img", "iframe", "object", "form", "base"}
    assert "url(" not in html
    assert "@import" not in html
    addresses = set(re.findall(r"https?://[^\s\"'<]+", html))
    assert addresses <= {"http://www.w3.org/2000/svg", "http://www.w3.org/1999/xlink"}


def test_only_its_own_script_may_run(root: Element) -> None:
    scripts = list(root.every("script"))
    assert len(scripts) == 1
    text = "".join(each for each in scripts[0].inside if isinstance(each, str))
    digest = b64encode(sha256(text.encode()).digest()).decode()
    policy = next(
        m.attributes["content"] for m in root.every("meta") if "http-equiv" in m.attributes
    )
    assert f"script-src 'sha256-{digest}'" in policy
    assert "default-src 'none'" in policy
    assert not [a for e in root.every() for a in e.attributes if a.startswith("on")]


def test_it_can_be_read_without_eyes_or_script(root: Element) -> None:
    levels = [int(e.name[1]) for e in root.every() if re.fullmatch("h[1-6]", e.name)]
    assert levels.count(1) == 1
    assert all(b - a <= 1 for a, b in pairwise(levels))
    anchors = [e.attributes["id"] for e in root.every() if "id" in e.attributes]
    assert len(anchors) == len(set(anchors))
    for element in root.every():
        href = element.attributes.get("href")
        assert href is None or href[1:] in anchors
        for pointed in element.attributes.get("aria-labelledby", "").split():
            assert pointed in anchors
    for table in root.every("table"):
        assert table.one("caption").text
        assert all(th.attributes["scope"] in ("col", "row") for th in table.every("th"))
    assert all("aria-label" in each.attributes for each in root.every("input"))
    # what only a script can work is not there without one
    assert all("hidden" in e.attributes for e in root.every(look="scripted"))


def test_it_is_small(html: str) -> None:
    assert len(html.encode()) < 1_000_000


def test_it_solves_nothing(answers: Answers, html: str, monkeypatch: pytest.MonkeyPatch) -> None:
    def never(*_: object, **__: object) -> None:
        raise AssertionError("solved a second time")

    monkeypatch.setattr(sys.modules["evenround.solver.fit"], "search", never)
    monkeypatch.setattr("evenround.solver.model.PieceModel.solve", never)
    with pytest.raises(AssertionError):
        fit(answers.sizes[0].plan.piece)
    assert page(answers) == html


def test_an_unproven_answer_is_called_one(answers: Answers) -> None:
    size = answers.sizes[0]
    one = replace(
        size, fit=replace(size.fit, status="unproven", candidates=size.fit.candidates[:1])
    )
    status = [p.text for p in read_page(page(replace(answers, sizes=(one,)))).every("p", "status")]
    assert status == ["Not proven: time ran out, these are the best found so far."]


def test_inches() -> None:
    root = read_page(page(answers_of(example("garden"), best=1, unit="in")))
    assert "22.44 in" in root.by_id("asked").text
    headings = [th.text for th in root.one(look="compared").every("th")]
    assert "around in, off" in headings


@pytest.mark.parametrize("name", ["<script>alert(1)</script>", '"><img src=x onerror=alert(1)>'])
def test_markup_in_a_name_is_a_name(name: str) -> None:
    quoted = name.replace('"', '\\"')
    text = example("garden").replace("Oskerrow Bay, a garden hat", quoted)
    text = text.replace('name = "open fan"', f'name = "{quoted}"')
    root = read_page(page(answers_of(text, best=1)))
    assert root.one("h1").text == name
    assert root.one("head").one("title").text == name
    assert len(list(root.every("script"))) == 1
    assert not list(root.every("img"))
    assert any(name in each.text for each in root.every("figcaption"))
    assert name in root.one("details", "source").text.replace('\\"', '"')
