"""What a way out promises is what the changed brief gives: written, read and solved again.

Our own small briefs; no outside numbers.
"""

from __future__ import annotations

import tomllib

import pytest
from helpers import CALM
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from stuck_briefs import STUCK, hat

from evenround.solver.exists import can_be_made
from evenround.solver.fit import fit
from evenround.solver.measure import measure
from evenround.tables.brief import (
    Brief,
    Flags,
    brief_from_flags,
    plan,
    read_brief,
    with_flags,
)
from evenround.tables.facts import data_text
from evenround.tables.plan import Plan
from evenround.tables.why.document import Source, applied
from evenround.tables.why.explained import explain_plan
from evenround.tables.why.promised import Way

FEW = settings(CALM, max_examples=20, suppress_health_check=list(HealthCheck))


def promised(brief: Brief, asked: Plan) -> tuple[Way, ...]:
    """The ways out as ``why`` shows them."""
    return explain_plan(brief, asked, seconds=10.0).ways


def source(text: str, size: str | None = None) -> Source:
    brief = read_brief(text.encode(), "brief")
    return Source(text, brief, Flags(), size, brief)


def keeps_its_promise(found: Source, asked: Plan, way: Way) -> str:
    """The changed brief's text, after ``fit`` has found in it just the hat that was shown."""
    text = applied(found, way)
    changed = plan(read_brief(text.encode(), "changed"), asked.size)
    best = fit(changed.piece, best=1)
    assert best.status == "proven"
    assert best.candidates[0].tally == way.candidate.tally
    assert best.candidates[0].measures == way.candidate.measures
    assert way.price_nm == measure(asked.piece, way.candidate.tally).cost_nm
    return text


def every_promise(text: str, size: str | None = None) -> list[Way]:
    """The ways out of a brief that nothing fits, each tried."""
    found = source(text, size)
    asked = plan(found.brief, size)
    assert not can_be_made(asked.piece)
    ways = promised(found.brief, asked)
    for way in ways:
        keeps_its_promise(found, asked, way)
    assert [way.number for way in ways] == list(range(1, len(ways) + 1))
    assert [way.price_nm for way in ways] == sorted(way.price_nm for way in ways)
    return list(ways)


# three where there are so many; every way out makes that one change there, and what others add to
# it gives no better hat (the second of "repeat width" is another repeat)
FEWER = {"edge circumference": 2, "repeat width": 2, "wished width": 1, "brim width": 1}


@pytest.mark.parametrize("kind", STUCK)
def test_every_kind_of_change_keeps_its_promise(kind: str) -> None:
    ways = every_promise(STUCK[kind])
    assert len(ways) >= FEWER.get(kind, 3)
    assert kind in {change.what for way in ways for change in way.changes}


@pytest.mark.parametrize("kind", STUCK)
def test_comments_and_all_that_is_not_changed_stay(kind: str) -> None:
    text = STUCK[kind]
    found = source(text)
    way = promised(found.brief, plan(found.brief))[0]
    changed = applied(found, way)
    for line in text.splitlines():
        comment = line.partition("#")[2]
        assert comment in changed
    kept = [line for line in text.splitlines() if line in changed.splitlines()]
    assert len(kept) >= len(text.splitlines()) - 4
    assert changed != text


@st.composite
def small_briefs(draw: st.DrawFn) -> str:
    repeat = draw(st.sampled_from(["5", "6", "7", '"4+t"', "9"]))
    band = draw(st.sampled_from([None, f"repeat = {repeat}", f"repeat = {repeat}\nrounds = 2"]))
    flare = draw(st.integers(20, 75))
    low = draw(st.integers(6, 9))
    brim = f"width = 5\nflare = {flare}\nsector_range = [{low}, {low + 1}]"
    tolerances = f"flare = {draw(st.sampled_from([1, 4]))}\nedge = 1"
    return hat(
        head=str(draw(st.integers(34, 46))),
        around=draw(st.sampled_from(["0.2", "0.6"])),
        nudge=draw(st.sampled_from(["0", "1"])),
        tolerances=tolerances,
        crown=f"rates = {draw(st.sampled_from([1, 2]))}\npart_round = false",
        band=band,
        brim=draw(st.sampled_from([None, brim])),
        edging=draw(st.sampled_from([None, "repeat = 4"])),
    )


@FEW
@given(small_briefs())
def test_briefs_that_nothing_fits_get_what_was_promised(text: str) -> None:
    assume(not can_be_made(plan(read_brief(text.encode(), "brief")).piece))
    every_promise(text)


EXAMPLES = {
    "garden, no part round": (
        "garden",
        None,
        ("rates = 1", "sector_range = [8, 8]\nrates = 1\npart_round = false"),
        ("[prices]", "[nudge]\nstitches = 0\n\n[prices]"),
    ),
    "garden, one sector number": ("garden", None, ("[6, 24]", "[7, 7]")),
    "bucket, first": ("bucket", "6-12 months", ("[6, 16]", "[8, 8]")),
    "bucket, last": ("bucket", "adult L", ("[6, 16]", "[8, 8]")),
    "bucket, middle": ("bucket", "4-8 years", ("circumference = 1.25", "circumference = 0.2")),
    "cowl, fewer": ("cowl", None, ("stitches = 8", "stitches = 2")),
    "cowl, nearer": ("cowl", None, ("circumference = 2", "circumference = 0.3")),
}


def made_impossible(case: str) -> tuple[str, str | None]:
    name, size, *changes = EXAMPLES[case]
    text = data_text(f"{name}.toml")
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    return text, size


@pytest.mark.parametrize("case", EXAMPLES)
def test_the_examples_made_impossible(case: str) -> None:
    text, size = made_impossible(case)
    found = source(text, size)
    asked = plan(found.brief, size)
    assert not can_be_made(asked.piece)
    ways = promised(found.brief, asked)
    assert ways
    for way in ways[:4]:
        keeps_its_promise(found, asked, way)


def first_with(found: Source, what: str) -> str:
    """The text with the first way out of a kind."""
    asked = plan(found.brief, found.size)
    ways = promised(found.brief, asked)
    way = next(way for way in ways if [c.what for c in way.changes] == [what])
    return keeps_its_promise(found, asked, way)


def test_a_tolerance_is_written_with_its_unit() -> None:
    text = first_with(source(STUCK["circumference"]), "circumference")
    assert 'circumference = "2cm" # tight' in text
    inches = hat(band="repeat = 7", around='"0.2in"')
    inches = inches.replace('stitch = "hdc"', 'stitch = "hdc"\nunit = "in"', 1)
    inches = inches.replace("head = 40", 'head = "40cm"').replace("depth = 14", 'depth = "14cm"')
    # two centimetres are 0.787 in: rounded up, so that what is allowed is enough
    assert 'circumference = "0.79in" # tight' in first_with(source(inches), "circumference")


@pytest.mark.parametrize(
    ("gauge", "written"),
    [
        ('hdc = "10 x 8 / 10cm"', 'hdc = "10.5 x 8.4 / 10cm"'),
        ('hdc = "10 sts and 8 rounds per 10 cm"', 'hdc = "10.5 sts and 8.4 rounds per 10 cm"'),
        (
            'hdc = { stitches = [9.9, 10.1], rounds = [8], over = "10cm" }',
            'hdc = { stitches = [10.4, 10.61], rounds = [8.4], over = "10cm" }',
        ),
        (
            'hdc = { rounds = 4, stitches = 32, across = "10.19cm", lies_flat = true }',
            'hdc = { rounds = 4, stitches = 32, across = "9.7cm", lies_flat = true }',
        ),
    ],
)
def test_a_gauge_is_scaled_in_the_form_it_was_given(gauge: str, written: str) -> None:
    """Every one is about 10 stitches in 10 cm, and 5 % more of them make 42 stitches 40 cm."""
    text = STUCK["gauge"].replace('hdc = "10 x 8 / 10cm"', gauge)
    text = text.replace("depth = 14", "")
    changed = first_with(source(text), "gauge")
    assert f"{written} # washed" in changed


def test_what_was_measured_on_a_figure_shrinks_with_the_gauge() -> None:
    band = 'figure = "eyelet"\nrounds = 2\nmeasured_repeat = 3.0\nmeasured_height = "2.5cm"'
    text = hat(band=band, around="0.2", head="40.8")
    changed = tomllib.loads(first_with(source(text), "gauge"))
    mesh = changed["sections"][2]
    share = float(changed["gauge"]["hdc"].split()[0]) / 10
    assert mesh["measured_repeat"] == pytest.approx(3.0 / share, abs=0.02)
    assert float(mesh["measured_height"].removesuffix("cm")) == pytest.approx(2.5 / share, abs=0.02)


def test_a_yarn_class_becomes_the_gauge_it_stood_for() -> None:
    text = hat(band="repeat = 7", around="0.3").replace(
        '[gauge]\nhdc = "10 x 8 / 10cm" # washed\n', ""
    )
    text = text.replace('stitch = "hdc"', 'stitch = "hdc"\nyarn_class = 5')
    changed = tomllib.loads(first_with(source(text), "gauge"))
    assert "yarn_class" not in changed
    assert changed["gauge"]["sc"].endswith(" / 4in")


def test_firm_rounds_of_a_size_are_changed_where_the_size_says_them() -> None:
    sizes = '[{ name = "one", head = 40, brim_firm_rounds = 4 }, { name = "two", head = 40 }]'
    text = hat(brim="width = 5\nflare = 60\nfirm_rounds = 1")
    text = text.replace("head = 40\n", f"sizes = {sizes}\n")
    found = source(text, "one")
    asked = plan(found.brief, "one")
    way = next(
        way
        for way in promised(found.brief, asked)
        if "firm rounds" in {change.what for change in way.changes}
    )
    changed = tomllib.loads(keeps_its_promise(found, asked, way))
    assert changed["sizes"][0]["brim_firm_rounds"] < 4
    assert changed["sections"][2]["firm_rounds"] == 1


@pytest.mark.parametrize(
    "band",
    [
        'figure = "shell"\nrounds = 1',
        'work = ["*hdc in next 6 sts, ch 1, sk next st; rep from * around"]',
        'counts = ["7", "8", "7"]',
        "repeat = 7\nmeasured_repeat = 7.0",
    ],
)
def test_only_a_bare_repeat_takes_another_number(band: str) -> None:
    """A figure's own rounds, counts or swatch say nothing of a figure of another number."""
    ways = every_promise(hat(band=band, around="0.3", head="41"))
    assert ways and "repeat" not in {change.what for way in ways for change in way.changes}


def test_a_bare_repeat_said_as_counts_or_with_what_it_leaves_changes_as_a_whole() -> None:
    for band in ('counts = ["7", "7"]', "repeat = 7\nleaves = 7", 'repeat = "7 + 1"'):
        text = first_with(source(hat(band=band, around="0.5")), "repeat")
        mesh = tomllib.loads(text)["sections"][2]
        assert "7" not in str(mesh) and str(mesh["repeat"])[0] in "456"


def test_flags_alone_and_over_a_brief() -> None:
    flags = Flags(head="40", gauge="10 x 8 / 10cm", repeat="7", tolerance="0.3")
    brief = brief_from_flags(flags)
    found = Source(None, brief, Flags(), None, brief)
    ways = promised(brief, plan(brief))
    text = keeps_its_promise(found, plan(brief), ways[0])
    assert 'title = "a hat from flags"' in text

    before = read_brief(hat(band="repeat = 4").encode(), "brief")
    change = Flags(repeat="7", tolerance="0.3")
    after: Brief = with_flags(before, change)[0]
    found = Source(hat(band="repeat = 4"), before, change, None, after)
    way = promised(after, plan(after))[0]
    text = keeps_its_promise(found, plan(after), way)
    assert "# a hat that cannot be" in text and "# the holes" in text


def test_a_text_that_tomlkit_reads_otherwise_is_written_from_its_tables() -> None:
    """Comments are lost then, never the meaning."""
    text = STUCK["circumference"]
    brief = read_brief(text.encode(), "brief")
    way = promised(brief, plan(brief))[0]
    for odd in ("= no TOML", text.replace("head = 40", "head = 41")):
        found = Source(odd, brief, Flags(), None, brief)
        changed = keeps_its_promise(found, plan(brief), way)
        assert "head = 40" in changed and "#" not in changed
