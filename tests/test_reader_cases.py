"""The case texts read completely, and the rounds that tell, step by step.

Texts: tests/cases/, their sources in tests/cases/SOURCES.md. The notation of the rounds is that
of the cases' own list of inputs, in our steps; every number beside a source is that page's.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from evenround.tables.rounds.pattern import Pattern, Printed, RoundText
from evenround.tables.rounds.reader import read_pattern
from evenround.tables.rounds.steps import (
    Chain,
    Into,
    Join,
    Repeat,
    Several,
    Skip,
    StartChain,
    Step,
    Stitch,
    Together,
    Work,
    increase,
)

CASES = Path(__file__).parent / "cases"
NAMES = sorted(path.stem for path in CASES.glob("C*.txt"))
SC, HDC, DC = Stitch("sc"), Stitch("hdc"), Stitch("dc")
POST = Stitch("dc", post="front")
JOIN = Join()


def read(name: str) -> Pattern:
    return read_pattern((CASES / f"{name}.txt").read_text(encoding="utf-8"))


def round_(pattern: Pattern, label: str, section: str | None = None) -> RoundText:
    found = [
        r for r in pattern.rounds if r.label == label and (section is None or r.section == section)
    ]
    assert len(found) == 1, (label, [r.label for r in pattern.rounds])
    return found[0]


def steps(pattern: Pattern, label: str, section: str | None = None) -> tuple[Step, ...]:
    told = round_(pattern, label, section).steps
    assert told is not None and len(told) == 1
    return told[0]


def to_end(*inner: Step) -> Repeat:
    return Repeat(inner)


def test_every_case_has_its_source() -> None:
    sources = (CASES / "SOURCES.md").read_text(encoding="utf-8")
    assert len(NAMES) == 13
    assert all(f"`{name}.txt`:" in sources for name in NAMES)


@pytest.mark.parametrize("name", NAMES)
def test_every_case_reads_completely_in_us_terms(name: str) -> None:
    pattern = read(name)
    assert pattern.unread == ()
    assert pattern.terms == "us" and "US" in pattern.terms_why
    assert all(r.steps is not None for r in pattern.rounds)


@pytest.mark.parametrize(
    ("name", "said", "joined"),
    [
        ("C01", True, True),
        ("C03", False, False),
        ("C04", False, True),
        ("C05", True, True),
        ("C07", True, True),
        ("C08", True, True),
        ("C09", None, False),
        ("C12", False, True),
        ("C14", None, True),
        ("C14b", True, True),
        ("C15", None, False),
        ("C15b", None, False),
        ("C18", True, True),
    ],
)
def test_whether_the_opening_chain_counts_and_the_rounds_are_joined(
    name: str, said: bool | None, joined: bool
) -> None:
    pattern = read(name)
    assert (pattern.chain_said, pattern.joined) == (said, joined)


def test_c01() -> None:
    # "I challenge any crocheter to work this...", backyardchickens.com forum
    cap = read("C01")
    three = StartChain(3, DC)
    assert steps(cap, "ROUND 1") == (three, Work(DC, 11, "ring"), JOIN)
    assert steps(cap, "ROUND 2") == (three, Work(DC, 1, "same"), to_end(increase(DC)), JOIN)
    repeat = to_end(Work(DC, 2), increase(DC))
    assert steps(cap, "ROUND 4") == (three, increase(DC), increase(DC), repeat, JOIN)
    assert round_(cap, "ROUND 4").printed == ((Printed(48, "dc"),),)
    last = round_(cap, "RNDS 6-14")
    assert (last.first, last.last, last.printed) == (6, 14, ())
    (gauge,), (measure,) = cap.gauges, cap.measures
    assert (gauge.stitches, gauge.rounds, gauge.over_cm) == (11, 7, pytest.approx(10.16))
    assert gauge.stitch == DC
    assert (measure.what, measure.values_cm) == ("around", (pytest.approx(53.34),))
    assert cap.starts == ()


def test_c03() -> None:
    # "Crochet Basket with Pumpkins", craftorator.com
    basket = read("C03")
    assert steps(basket, "Rnd 1", "Base") == (Work(SC, 6, "ring"),)
    assert steps(basket, "Rnd 12", "Base") == (to_end(Work(SC, 10), increase(SC)), JOIN)
    back = Stitch("sc", loop="back")
    assert steps(basket, "Rnd 1", "Sides") == (StartChain(1), Work(back, None), JOIN)
    assert (round_(basket, "Rnd 2-17").first, round_(basket, "Rnd 2-17").last) == (2, 17)
    handle = (Chain(17), Skip(14))
    assert steps(basket, "Rnd 18") == (
        StartChain(1), Work(SC), Work(SC, 15), *handle, Work(SC), Work(SC, 21), *handle,
        Work(SC), Work(SC, 6), JOIN,
    )  # fmt: skip
    last = round_(basket, "Rnd 19")
    assert last.remaining == 6
    assert sum(s.n or 0 for s in steps(basket, "Rnd 19") if isinstance(s, Work)) == 78


def test_c04() -> None:
    # "Helping our users. Crochet Beach Hat", craftorator.com
    hat = read("C04")
    assert hat.figures == ("CS", "OS", "V")
    two = StartChain(2)
    vee = (Several(DC), Chain(1), Several(DC))
    closed = (Several(DC, 5),)
    open_ = (Several(DC), Chain(1), Several(DC), Chain(1), Several(DC))
    assert steps(hat, "Row 3") == (two, to_end(Into(vee, 1, "next", "V"), Skip(1)), JOIN)
    slip = Work(Stitch("sl st"), 1, "space")
    row4 = (slip, two, to_end(Into(vee, 1, "space", "V"), Chain(1)), JOIN)
    assert steps(hat, "Row 4") == row4
    assert round_(hat, "Row 4").printed == ((Printed(12, "V"), Printed(12, "ch-1 sps")),)
    assert steps(hat, "Row 5") == (
        two, Skip(1),
        to_end(Into(closed, 1, "space", "CS"), Skip(3), Into(open_, 1, "space", "OS")), JOIN,
    )  # fmt: skip
    assert round_(hat, "Row 5").printed == ((Printed(6, "CS"), Printed(6, "OS")),)
    middle = to_end(Into(open_, 1, "middle", "OS"), Skip(4), Into(closed, 1, "middle", "CS"))
    assert steps(hat, "Round 6") == (two, Skip(2), middle, JOIN)
    assert round_(hat, "Rounds 8-9").as_rounds == (6, 7)
    assert steps(hat, "Round 12") == (
        two, Work(DC, 3), Repeat((increase(DC), Work(DC, 5)), times=10, more=True),
        increase(DC), Work(DC, 3), JOIN,
    )  # fmt: skip
    assert round_(hat, "Round 12").remaining == 3
    assert steps(hat, "Round 13") == (two, to_end(increase(DC), Work(DC, 6)), JOIN)


def test_c05() -> None:
    # "Tutorial Tuesday - crocheted simple bucket hat", thatmomof6.blogspot.com
    bucket = read("C05")
    assert bucket.sizes == ("0-3 months", "3-9 months")
    small = [r for r in bucket.rounds if r.sizes == ("0-3 months",)]
    large = [r for r in bucket.rounds if r.sizes == ("3-9 months",)]
    assert len(small) == 9 and len(large) == 9
    two = StartChain(2, HDC)
    brim = (two, Work(HDC, 1, "same"), Work(HDC, 2), to_end(increase(HDC), Work(HDC, 2)), JOIN)
    thirteen = next(r for r in small if r.first == 13)
    assert thirteen.steps == (brim,) and thirteen.printed == ((Printed(52),),)
    assert small[1].steps == ((two, Work(HDC, 1, "same"), increase(HDC, None), JOIN),)
    nine = (two, Work(HDC, 1, "same"), Work(HDC, 9), to_end(increase(HDC), Work(HDC, 9)))
    assert next(r for r in large if r.first == 6).steps == (nine,)
    (gauge,) = bucket.gauges
    assert (gauge.stitches, gauge.rounds, gauge.over_cm) == (7, 5, pytest.approx(5.08))


def test_c07() -> None:
    # "Smooth and Shiny Long Triple Interlocking Ribbed Beanie", gracefullymadecrochet.com
    beanie = read("C07")
    assert beanie.sizes == ("small", "medium", "large")
    first = beanie.rounds[0]
    two = StartChain(2, DC)
    assert first.steps == tuple((two, Work(DC, n, "ring"), JOIN) for n in (9, 10, 11))
    assert first.printed == tuple((Printed(n, "dc"),) for n in (10, 11, 12))
    rib = (two, Work(DC), to_end(Work(POST, 3), Work(DC, 3)), JOIN)
    assert beanie.rounds[4].steps == (rib,)
    assert beanie.rounds[5].as_rounds == (5, 5)
    assert [p[0].number for p in beanie.rounds[5].printed] == [40, 44, 48]
    shifted = (two, Work(POST), to_end(Work(DC, 3), Work(POST, 3)), JOIN)
    assert beanie.rounds[6].steps == (shifted,)
    (measure,) = beanie.measures
    assert measure.values_cm == pytest.approx((18 * 2.54, 19 * 2.54, 20 * 2.54))


def test_c08() -> None:
    # "Crochet Sun Hat for My Bestfriend", craftyguild.com
    hat = read("C08")
    two, foot = StartChain(2, DC), Work(DC, 1, "same")
    assert steps(hat, "Round 2") == (two, foot, increase(DC, None), JOIN)
    assert steps(hat, "Round 5") == (
        two, foot, Work(DC, 10), to_end(increase(DC), Work(DC, 10)), JOIN,
    )  # fmt: skip
    assert steps(hat, "Round 8-11") == (two, Work(DC, None), JOIN)
    # a chain of two is a dc, so four are a dc and two chains
    assert steps(hat, "Round 12") == (
        two, Chain(2), to_end(Skip(1), Work(DC), Chain(2)), JOIN,
    )  # fmt: skip
    assert round_(hat, "Round 12").printed == ((Printed(74, "sts"),),)
    assert steps(hat, "Round 13") == (Work(SC, None), Work(SC, 1, "same"), JOIN)


def test_c09() -> None:
    # "Helping our users. Beach Raffia Crochet Hat", craftorator.com
    hat = read("C09")
    five = Repeat((increase(SC), Work(SC, 4)), times=5)
    assert steps(hat, "Rnd 5", "Crown") == (Work(SC, 2), five, increase(SC), Work(SC, 2))
    assert round_(hat, "Rnd 22 to Rnd 31").last == 31
    hole = (Chain(1), Skip(1))
    assert steps(hat, "Rnd 32") == (
        Work(SC, 11), Repeat((*hole, Work(SC), *hole, Work(SC, 22)), times=3),
        *hole, Work(SC), *hole, Work(SC, 11),
    )  # fmt: skip
    assert steps(hat, "Rnd 1", "Brim") == (to_end(Work(SC, 9), increase(SC)),)
    assert [(g.stitches, g.rounds, g.over_cm) for g in hat.gauges] == [
        (19, 21, None),
        (17, 21, None),
    ]
    assert [(m.what, m.values_cm) for m in hat.measures] == [
        ("around", (pytest.approx(58.42),)),
        ("brim", (pytest.approx(15.24),)),
    ]


def test_c12() -> None:
    # "Beanie crochet pattern", portacraft.com.au
    beanie = read("C12")
    assert beanie.sizes == ("2", "4", "6", "8", "10")
    assert steps(beanie, "4th round") == (
        StartChain(2), to_end(increase(HDC), Work(HDC, 2)), JOIN,
    )  # fmt: skip
    restricted = [(r.first, r.sizes, r.printed[0][0].number) for r in beanie.rounds if r.sizes]
    assert restricted == [
        (9, ("4",), 68),
        (9, ("6", "8", "10"), 72),
        (10, ("8",), 76),
        (10, ("10",), 78),
    ]
    last = beanie.rounds[-1]
    assert (last.first, last.sizes) == (None, None)
    assert [p[0].number for p in last.printed] == [64, 68, 72, 76, 78]
    (gauge,) = beanie.gauges
    assert (gauge.stitches, gauge.rounds, gauge.over_cm, gauge.stitch) == (16, 10.5, 10, HDC)


def test_c14() -> None:
    # "Summer hat crochet pattern", infantilli.blogspot.com
    hat = read("C14")
    assert round_(hat, "Row 3").as_rounds == (2, 2)
    assert steps(hat, "Row 5") == (to_end(Work(DC), Work(DC), increase(DC)),)
    assert steps(hat, "Row 6") == (to_end(Work(DC, 4), increase(DC)),)
    assert all(r.printed == () for r in hat.rounds)
    assert round_(hat, "Row 24").section == "Brim"
    (gauge,), (measure,) = hat.gauges, hat.measures
    assert (gauge.stitches, gauge.rounds, gauge.over_cm) == (21, 15, 10)
    assert (measure.what, measure.values_cm) == ("head", (56,))


def test_c14b() -> None:
    # "Free crochet hats pattern", rahooqa.com
    hat = read("C14b")
    three = StartChain(3, DC)
    assert steps(hat, "R2") == (three, increase(DC, None))
    assert steps(hat, "R4") == (three, increase(DC), to_end(Work(DC, 2), increase(DC)))
    assert steps(hat, "R12-R18") == (three, Work(DC, None))
    assert steps(hat, "R19") == (
        three, Work(DC, 12), Together(DC), to_end(Work(SC, 11), Together(SC)),
    )  # fmt: skip
    assert steps(hat, "R23-R24") == (StartChain(2, open=True), Work(DC, 50), Work(HDC, None))
    last = round_(hat, "R27")
    assert last.over == 51
    slip = Work(Stitch("sl st"))
    assert steps(hat, "R27") == (
        slip, Work(SC), Work(HDC), Work(DC, 46), Work(HDC), Work(SC), slip,
    )  # fmt: skip


def test_c15_and_c15b_leave_open_what_n_times_means() -> None:
    # "Infant Sun Hat Crochet Pattern", hlburkeblog.com
    sun = read("C15")
    assert steps(sun, "R2") == (increase(SC, None),)
    for label, k in (("R3", 1), ("R4", 2), ("R5", 3), ("R6", 4), ("R11", 9)):
        assert steps(sun, label) == (Repeat((increase(SC), Work(SC, k)), times=5, more=None),)
    assert steps(sun, "R12-21") == (Work(Stitch("sc", loop="back"), None),)
    # "Crochet Cascading Cables Hat", craftorator.com
    cable = read("C15b")
    assert steps(cable, "Rnd 4") == (Repeat((Work(SC, 2), increase(SC)), times=6, more=None),)
    assert steps(cable, "Rnd 11") == (Repeat((Work(SC, 14), increase(SC)), times=4, more=None),)


def test_c18() -> None:
    # "Make it Monday - Dainty Flower Beanie", mandobugcrafts.blogspot.com
    shells = read("C18")
    shell = Into((Several(DC, 2), Chain(1), Several(DC, 2)), 1, "next", "shell")
    once = (Skip(2), shell, Skip(2))
    assert steps(shells, "Rnd 9") == (StartChain(3, DC), *once, to_end(Work(DC), *once), JOIN)
    assert steps(shells, "Rnd 10") == (StartChain(1), Work(SC, None), JOIN)
    (gauge,) = shells.gauges
    assert (gauge.stitches, gauge.rounds, gauge.stitch) == (16, 9, SC)
