"""Each stitch measured by its own gauge, each size by its own lengths; units; what is said of it.

Numbers are worked out by hand beside each; the patterns are ours.
"""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from evenround.cli import main
from evenround.tables.audit import Audit, audit_pattern
from evenround.tables.audit.page import folded, summary, to_page, word_blocks
from evenround.tables.audit.units import over_words, unit_of
from evenround.tables.rounds.reader import read_pattern

CROWN = "Rnd 1: 8 htr in ring, join. (8)\nRnd 2: 2 htr in each st around, join. (16)\n" + "".join(
    f"Rnd {n}: *{n - 2} htr, 2 htr in next st; rep from * around, join. ({8 * n})\n"
    for n in range(3, 11)
)
"""Eighty htr in ten rounds; the gap is written before its stitch."""
SIDES = "Sides\nRnds 11-18: htr in each st around, join. (80)\n"
BRIM = (
    "Brim\nRnd 19: *dc in next 9 sts, 2 dc in next st; rep from * around, join. (88)\n"
    "Rnds 20-21: dc in each st around, join. (88)\n"
)
EDGE = "Edging\nRnd 22: dc in each st around, join. (88)\n"
TWO = "UK terms.\nTension: 14 htr and 11 rounds = 10 cm\n18 dc and 20 rounds = 10 cm\n"


def audited(text: str) -> Audit:
    return audit_pattern(read_pattern(text, "auto"), text=text)


def found(text: str, *about: str) -> list[str]:
    return [f.words for f in audited(text).findings if f.about in about]


@pytest.mark.parametrize("swapped", [False, True])
def test_body_and_brim_have_the_gauge_of_their_own_stitch(swapped: bool) -> None:
    """80 / 14 x 10 = 57.1 cm; 18 rounds at 11 to 10 cm are 16.4 cm; brim: 8 sts at 18 to 10 cm
    are 8 x 0.5556 / 2 pi = 0.7 cm outward on 3 rounds of 0.5 cm: asin 0.4716 = 28.1 degrees."""
    first, *gauges = TWO.splitlines()
    if swapped:
        gauges = ["Tension: 18 dc and 20 rounds = 10 cm", "14 htr and 11 rounds = 10 cm"]
    text = "\n".join([first, *gauges, CROWN + SIDES + BRIM + EDGE])
    (size,) = found(text, "size")
    assert size == "80 sts are 57.1 cm around at 14 htr x 11 rounds over 10 cm."
    assert found(text, "depth") == ["18 rounds are 16.4 cm deep."]
    (brim,) = found(text, "brim")
    assert "grows by 8 over 3 rounds, 0.7 cm outward on 1.5 cm: 28.1 degrees" in brim


def test_rounds_in_several_stitches_are_left_out_of_the_depth() -> None:
    band = "Rnd 19: *dc in next st, htr in next st; rep from * around, join. (80)\nBrim\n"
    text = TWO + CROWN + SIDES + band + "Rnd 20: dc in each st around, join. (80)\n"
    (depth,) = found(text, "depth")
    assert depth == "18 rounds are 16.4 cm deep (1 more is in another stitch than the gauge)."


def test_a_nudge_is_no_part_of_the_crown() -> None:
    """Rnd 11 adds 3, of which neither 80 nor 83 is a multiple. At 14 x 11 in 10 cm
    8.00 lie flat: 80 / (10 x 8.00) = 1.00."""
    nudge = (
        "Rnd 11: htr in next 20 sts, 2 htr in next st, htr in next 26 sts, 2 htr in next st, "
        "htr in next 26 sts, 2 htr in next st, htr in next 5 sts, join. (83)\n"
    )
    text = TWO + CROWN + nudge + "Sides\nRnds 12-18: htr in each st around, join. (83)\n"
    assert audited(text).agrees
    (crown,) = found(text, "crown")
    assert crown.endswith("fullness 1.00 after Rnd 10: a flat crown.")
    assert found(text, "sectors") == ["the crown adds 8 a round."]


def test_a_crown_that_is_not_quite_flat_may_cup() -> None:
    """At 14 x 10 in 10 cm 2 pi 1.4 = 8.80 lie flat; 8 a round are 0.91 of that."""
    text = f"UK terms.\nTension: 14 htr and 10 rounds = 10 cm\n{CROWN}{SIDES}"
    (crown,) = found(text, "crown")
    assert "fullness 0.91 after Rnd 10: nearly flat, a crown that may cup a little" in crown


@pytest.mark.parametrize(
    ("rounds", "says"),
    [
        ("11.8", "fullness 0.94 after Rnd 10: nearly flat, a crown that may cup a little"),
        ("12", "fullness 0.95 after Rnd 10: a flat crown."),
        ("13", "fullness 1.03 after Rnd 10: a flat crown."),
        ("13.3", "fullness 1.06 after Rnd 10: nearly flat, a crown that may ripple a little."),
        ("14", "fullness 1.11 after Rnd 10: a waved crown."),
    ],
)
def test_a_crown_is_flat_where_the_solver_has_it_flat(rounds: str, says: str) -> None:
    """8 a round at 16 sts in 10 cm are 8 / (2 pi 16 / rounds) of flat; the solver warns outside
    0.95 to 1.05."""
    text = f"UK terms.\nTension: 16 htr and {rounds} rounds = 10 cm\n{CROWN}{SIDES}"
    (crown,) = found(text, "crown")
    assert says in crown


def test_sizes_are_compared_in_the_same_part_or_not_at_all() -> None:
    """Of A the longest run is the rib's 68, of B the sides' 66: 68 sts are not what 50.8 cm are
    of. At 13 to 10 cm 66 sts are 50.8 cm, 72 are 55.4 cm."""
    text = (
        "US terms. Sizes: A (B)\nGauge: 13 hdc and 10 rnds = 10 cm\nAround: 50.8 (55.4) cm\n"
        "Sides\nRnd 1: 66 (72) hdc in ring, join. (66 (72))\n"
        "Rnds 2-3 (2-6): hdc in each st around, join. (66 (72))\n"
        "Size A only - Rnd 4: hdc in next 32 sts, 2 hdc in next st, hdc in next 32 sts, 2 hdc in "
        "next st, join. (68)\n"
        "Rib\nRnds 5-9 (7-9): hdc in each st around, join. (68 (72))\n"
    )
    audit = audited(text)
    assert audit.agrees, audit.faults
    assert not [f for f in audit.findings if "one gauge" in f.text]
    sizes = found(text, "size")
    assert sizes[0].startswith("A: 66 sts are 50.8 cm") and "stated wants" in sizes[0]
    assert sizes[1].startswith("B: 72 sts are 55.4 cm") and "stated wants" in sizes[1]


SIZES = (
    "US terms. Sizes: A (B)\nGauge: 14 hdc and 11 rnds = 10 cm\n"
    "Rnd 1: 8 hdc in ring, join. (8)\nRnd 2: 2 hdc in each st around, join. (16)\n"
    "Rnd 3: *hdc in next st, 2 hdc in next st; rep from * around, join. (24)\n"
    "Size B only - Rnd 4: *hdc in next 2 sts, 2 hdc in next st; rep from * around, join. (32)\n"
)


@pytest.mark.parametrize("broken", [" ", "\n"])
def test_discs_and_brims_belong_to_their_size(broken: str) -> None:
    """Three rounds of 10 / 11 cm are 2 x 2.727 = 5.5 cm across, four 7.3 cm; 3 cm of brim are
    3.3 rounds, 4 cm 4.4."""
    text = (
        f"{SIZES}Measure: after Rnd 3 (4) the disc is{broken}5.5 (7.3) cm across.\n"
        "Brim: 3 (4) cm wide\n"
        "Sides\nRnds 4-5 (5-6): hdc in each st around, join. (24 (32))\n"
        "Brim\nRnds 6-8 (7-10): hdc in each st around, join. (24 (32))\n"
    )
    assert found(text, "disc") == [
        "A: the disc of 5.5 cm after round 3 is as wide as 3 rounds are at the gauge.",
        "B: the disc of 7.3 cm after round 4 is as wide as 4 rounds are at the gauge.",
    ]
    assert found(text, "brim") == [
        "A: a brim of 3.0 cm is 3.3 rounds.",
        "B: a brim of 4.0 cm is 4.4 rounds.",
    ]


def test_a_disc_without_a_gauge_is_set_beside_the_size_stated() -> None:
    """18.2 cm across are 57.2 cm around; 60 - 57.2 = 2.8."""
    text = f"UK terms.\nFinished: 60 cm around\n{CROWN}Disc measures 18.2 cm across.\n"
    (disc,) = found(text, "disc")
    assert disc.endswith("57.2 cm around after round 10, 2.8 cm less than the 60.0 cm stated.")


def test_a_cowl_is_measured_where_it_is_as_wide_as_stated() -> None:
    """100 sts at 17 to 10 cm are 58.8 cm; the longest run has 108, which are 63.5 cm."""
    text = (
        "US terms.\nGauge: 17 dc and 8.5 rnds = 10 cm\nAround: 58.8 cm\nCh 100, join into a ring.\n"
        "Rnds 1-3: dc in each st around, join. (100)\n"
        "Rnd 4: *dc in next 11 sts, 2 dc in next st; rep from * 8 times, dc in last 4 sts, join. "
        "(108)\nRnds 5-9: dc in each st around, join. (108)\n"
    )
    assert found(text, "size")[0].startswith("100 sts are 58.8 cm around")
    (wider,) = found(text.replace("Around: 58.8", "Around: 70"), "size")
    assert "108 sts are 63.5 cm" in wider and "less than the 70.0 cm stated" in wider


# --- units -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("said", "unit"),
    [
        ("Gauge: 16 hdc and 12 rnds = 4 in", "in"),
        ("Gauge: 16 hdc and 12 rnds = 4 in\nFor a head of 22.4 in", "in"),
        ("Gauge: 16 hdc and 12 rnds = 10 cm\nFor a head of 22.4 in\nDepth: 7.9 in", "in"),
        ("Gauge: 16 hdc and 12 rnds = 4 in\nFor a head of 56.9 cm\nDepth: 20.1 cm", "cm"),
        ("Gauge: 16 hdc and 12 rnds = 10 cm", "cm"),
        (
            "Sizes: A (B)\nGauge: 16 hdc and 12 rnds = 10 cm\nHead: 17.72 (19.29) in\n"
            "Around: 18.37 (19.25) in",
            "in",
        ),
        ("", "cm"),
    ],
)
def test_the_unit_is_that_of_most_lengths_stated(said: str, unit: str) -> None:
    text = f"US terms.\n{said}\nRnd 1: 8 hdc in ring, join. (8)\n"
    assert unit_of(read_pattern(text, "auto"), text) == unit


def test_lengths_without_their_words_are_told_by_being_round() -> None:
    """22.4 in are 56.896 cm, no tenth of a centimetre; 25.4 cm are 10 in as well, and say
    nothing."""
    text = "US terms.\nFor a head of 22.4 in\nRnd 1: 8 hdc in ring, join. (8)\n"
    assert unit_of(read_pattern(text, "auto")) == "in"
    assert unit_of(read_pattern(text.replace("22.4 in", "25.4 cm"), "auto")) == "cm"


def test_what_a_gauge_is_over_is_said_as_it_was() -> None:
    assert [over_words(cm, "in") for cm in (10.0, 10.16, 5.08)] == ["10 cm", "4 in", "2 in"]


def test_units_can_be_asked_for(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """80 / 14 x 10 cm = 57.1 cm = 22.50 in."""
    path = tmp_path / "hat.txt"
    path.write_text(TWO + CROWN + SIDES, encoding="utf-8")
    assert main(["audit", str(path), "--units", "in"]) == 0
    assert "80 sts are 22.50 in around" in capsys.readouterr().out
    assert main(["audit", str(path)]) == 0
    assert "80 sts are 57.1 cm around" in capsys.readouterr().out
    assert main(["audit", str(path), "--units", "ell"]) == 2


# --- words -----------------------------------------------------------------------------------


def test_a_left_over_is_told_in_the_headline() -> None:
    text = (
        "US terms.\nRnd 1: 20 hdc in ring, join. (20)\n"
        "Rnd 2: *hdc in next 2 sts, 2 hdc in next st; rep from * around, join. (26)\n"
    )
    audit = audited(text)
    assert audit.agrees
    assert summary(audit) == "2 rounds counted; all agree; 1 round with a left-over, see its note."


RIB = (
    "US terms. Sizes: 2 (4, 6)\nRnd 1: 60 (62, 66) hdc in ring, join. (60 (62, 66) hdc)\n"
    "Rnds 2-4 (2-5, 2-6): hdc in each st around, join. (60 (62, 66) hdc)\n"
)


def test_a_size_named_by_a_number_is_called_a_size() -> None:
    page = to_page(audited(RIB.replace("Rnd 1: 60", "Rnd 1: 61")))
    assert "Rnd 1, size 2 (line 2)" in page
    assert "Rnd 1, 2" not in page


def test_a_band_open_in_some_sizes_is_told_once() -> None:
    """62 and 66 are no multiples of 4, and of 5 over 62: 2, over 66: 1."""
    rib = (
        "Rnd 5 (6, 7): *FPdc around next 2 sts, BPdc around next 2 sts; rep from * around, join. "
        "(60 (62, 66) dc)\n"
    )
    (band,) = found(RIB + rib, "band")
    assert band.startswith("Rnd 5 (6, 7): a rib of 2 + 2")
    assert "Size 2, 60: closes; size 4, 62: 4 FPdc stand together" in band
    shells = (
        "Rnd 5 (6, 7): *5 dc in next st, skip next 2 sts, sc in next st, skip next st; rep from * "
        "around, join.\n"
    )
    (band,) = found(RIB + shells, "band")
    assert "Size 2, 60: closes; size 4, 62: 2 over; size 6, 66: 1 over" in band


def test_rounds_alike_are_folded_size_by_size() -> None:
    lines = folded(audited(RIB).rounds)
    assert [(line.first.label, line.last, line.sizes) for line in lines[3:]] == [
        ("Rnd 2", "Rnd 4", ("2",)),
        ("Rnd 2", "Rnd 5", ("4",)),
        ("Rnd 2", "Rnd 6", ("6",)),
    ]
    same = RIB.replace("60 (62, 66)", "60").replace("2-4 (2-5, 2-6)", "2-4")
    lines = folded(audited(same).rounds)
    assert [(line.first.label, line.last) for line in lines] == [("Rnd 1", ""), ("Rnd 2", "Rnd 4")]
    assert {line.sizes for line in lines} == {("2", "4", "6")}


# --- what `write` writes ---------------------------------------------------------------------

ALARMS = ("less than", "more than", "cannot", "ruffle", "wave", "would be wanted", "hint", "cone")


@pytest.mark.parametrize("terms", ["us", "uk"])
@pytest.mark.parametrize("asked", [["garden"], ["bucket", "--all-sizes"], ["cowl"]])
def test_nothing_alarming_is_said_of_our_own(
    asked: list[str], terms: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "written.txt"
    name, *more = asked
    told = ["write", "--example", name, "--terms", terms, "--out", str(path)]
    assert main([*told, *more]) == 0
    capsys.readouterr()
    main(["audit", str(path), "--format", "json"])
    audit = json.loads(capsys.readouterr().out)
    texts = [f["text"] for f in audit["findings"]]
    assert any("as the" in text and "stated wants" in text for text in texts)
    assert [text for text in texts if any(word in text for word in ALARMS)] == []
    written = re.findall(r"(\d+)(?=[\d (,)]* degrees from)", path.read_text(encoding="utf-8"))
    angles = [float(n) for text in texts for n in re.findall(r"([\d.]+) degrees from", text)]
    assert len(angles) == 0 or (written and abs(min(angles) - float(written[0])) < 1)


def test_a_shallow_slope_is_said_so_that_it_is_understood() -> None:
    brim = (
        "Brim\nRnd 19: *dc in next 9 sts, 2 dc in next st; rep from * around, join. (88)\n"
        "Rnd 20: dc in each st around, join. (88)\n"
        "Rnd 21: *dc in next 10 sts, 2 dc in next st; rep from * around, join. (96)\n"
        "Rnds 22-24: dc in each st around, join. (96)\n"
    )
    texts = found(TWO + CROWN + SIDES + brim, "brim")
    assert (
        "Rnd 21 to Rnd 24 of the brim add 2.0 sts a round on average; at this gauge 5.7 would lie "
        "flat, so it slopes down."
    ) in texts
    blocks = dict(word_blocks(audited(TWO + CROWN + SIDES + brim)))
    assert "Shape" in blocks
