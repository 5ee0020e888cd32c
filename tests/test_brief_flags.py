"""Flags alone, and flags over a brief. No outside numbers here but those named beside them."""

from __future__ import annotations

import pytest

from evenround.solver.piece import Band, Brim, Crown, Edging, Even
from evenround.tables.brief import (
    BriefError,
    Flags,
    brief_from_flags,
    example_brief,
    plan,
    with_flags,
)

HEAD_AND_GAUGE = Flags(head="56cm", gauge="16 x 12 / 10cm")


def refusal(flags: Flags, example: str | None = None, size: str | None = None) -> str:
    with pytest.raises(BriefError) as caught:
        if example is None:
            brief_from_flags(flags)
        else:
            with_flags(example_brief(example), flags, size)
    return str(caught.value)


def test_head_and_gauge_are_a_hat() -> None:
    made = plan(brief_from_flags(HEAD_AND_GAUGE))
    assert [type(s) for s in made.piece.sections] == [Crown, Even]
    assert (made.piece.around_cm, made.section_stitches) == (56, ("hdc", "hdc"))


def test_every_flag_arrives() -> None:
    flags = Flags(
        head="22in",
        ease="-1in",
        gauge='14 x 10 / 4"',
        stitch="dc",
        depth="20cm",
        repeat="8+t",
        repeat_width="5.2",
        brim="6cm",
        flare="30",
        edge_repeat="4",
        tolerance="2",
        sectors="12",
    )
    piece = plan(brief_from_flags(flags)).piece
    crown, _, band, brim, edging = piece.sections
    assert isinstance(crown, Crown) and isinstance(band, Band)
    assert isinstance(brim, Brim) and isinstance(edging, Edging)
    assert piece.around_cm == pytest.approx(21 * 2.54)
    assert (piece.depth_cm, piece.limits.around_cm) == (20, 2)
    assert crown.sectors_wished == 12
    assert crown.gauge.width_cm == pytest.approx(10.16 / 14)
    assert (band.figure.counts, band.figure.give, band.repeat_wish_cm) == ((8, 8), (1, 1), 5.2)
    assert (brim.width_cm, brim.flare_deg) == (6, 30)
    assert edging.figure.counts == (4, 4)


def test_a_published_hat_by_flags() -> None:
    # worked_examples 1: mamas2hands.com 2017-03-04: head 22 in, an inch snug, 4 sts per inch
    made = plan(brief_from_flags(Flags(head="22 in", ease="-1 in", gauge="4 / 1in")))
    crown = made.piece.sections[0]
    assert made.piece.around_cm == pytest.approx(84 * crown.gauge.width_cm)
    assert crown.gauge.flat_rate == pytest.approx(8)
    assert made.gauge_assumed


@pytest.mark.parametrize(
    ("flags", "words"),
    [
        (Flags(gauge="16 x 12 / 10cm"), "--head: missing"),
        (Flags(head="56"), "--gauge: missing"),
        (Flags(head="56", gauge="16 x 12 / 10cm", flare="3"), "--flare: found a flare without wid"),
        (Flags(head="56", gauge="16 x 12 / 10cm", brim="6"), "bucket 25 to 40, sun 55 to 75"),
        (Flags(head="56", gauge="16 x 12 / 10cm", repeat_width="6"), "--repeat-width: found no"),
        (Flags(head="nan", gauge="16 x 12 / 10cm"), "--head: found 'nan'; a length is"),
        (Flags(head="5", gauge="16 x 12 / 10cm"), "--head: found '5'; a head is between"),
        (Flags(head="56", gauge="16 x 12"), "--gauge: found '16 x 12'; say what it is over"),
        (Flags(head="56", gauge="0 x 12 / 4in"), "--gauge: found '0 x 12 / 4in'; the stitches"),
        (Flags(head="56", gauge="1 x 1 / 1in", stitch="zz"), "--stitch: found 'zz'; a stitch is"),
        (Flags(head="56", gauge="16 x 12 / 4in", repeat="0"), "--repeat: found '0'; a repeat"),
        (Flags(head="56", gauge="16 x 12 / 4in", repeat="10000"), "--repeat: found '10000'"),
        (Flags(head="56", gauge="16 x 12 / 4in", sectors="8.5"), "--sectors: found '8.5'; sectors"),
        (Flags(head="56", gauge="16 x 12 / 4in", sectors="50"), "--sectors: found 50; sector_ra"),
        (Flags(head="56", gauge="16 x 12 / 4in", edge_repeat="x"), "--edge-repeat: found 'x'"),
        (Flags(head="56", gauge="16 x 12 / 4in", tolerance="-1"), "--tolerance: found '-1'"),
        (Flags(head="56", gauge="16 x 12 / 4in", ease="inf"), "--ease: found 'inf'; a length"),
        (Flags(head="56", gauge="16 x 12 / 4in", brim="6", flare="91"), "--flare: found '91'; a"),
        (Flags(head="56", gauge="16 x 12 / 4in", depth="-2"), "--depth: found '-2'; a depth is"),
    ],
)
def test_flags_that_make_no_hat(flags: Flags, words: str) -> None:
    message = refusal(flags)
    assert words in message
    assert message.startswith("--")


def test_every_wrong_flag_has_a_line_of_its_own() -> None:
    lines = refusal(Flags(head="0", gauge="16", stitch="zz", depth="x")).splitlines()
    assert sorted(line.split(":")[0] for line in lines) == [
        "--depth",
        "--gauge",
        "--head",
        "--stitch",
    ]


def test_replacing_says_what_was_there() -> None:
    flags = Flags(ease="1cm", flare="50", sectors="9", tolerance="2", repeat_width="5", brim="8cm")
    brief, sentences = with_flags(example_brief("garden"), flags)
    assert sentences == [
        "--ease 1cm replaces ease 0.5",
        "--tolerance 2 replaces tolerances circumference 1.5",
        "--sectors 9 replaces crown sectors 8",
        "--repeat-width 5 replaces open fan repeat_width 5.2",
        "--brim 8cm replaces brim width 8.5",
        "--flare 50 replaces brim flare 60",
    ]
    made = plan(brief)
    assert made.notes == tuple(sentences)
    assert made.piece.around_cm == 58
    assert made.piece.limits.around_cm == 2
    assert plan(example_brief("garden")).piece.around_cm == 57.5


def test_no_flags_change_nothing() -> None:
    brief, sentences = with_flags(example_brief("bucket"), Flags())
    assert sentences == []
    assert plan(brief) == plan(example_brief("bucket"))


def test_another_repeat_is_another_figure() -> None:
    brief, sentences = with_flags(example_brief("garden"), Flags(repeat="6"))
    assert "open fan lost its figure, measured_height" in sentences[0]
    fan = plan(brief).piece.sections[2]
    assert isinstance(fan, Band)
    assert (fan.figure.counts, fan.rounds, fan.measured_height_cm) == ((6, 6), (4, 4), None)
    assert fan.repeat_wish_cm == 5.2


def test_the_same_repeat_keeps_its_figure() -> None:
    brief, _ = with_flags(example_brief("garden"), Flags(repeat="8 + t"))
    fan = plan(brief).piece.sections[2]
    assert isinstance(fan, Band)
    assert fan.figure.counts == (8, 10, 8)


def test_another_stitch_takes_the_gauge_flag_with_it() -> None:
    brief, _ = with_flags(example_brief("garden"), Flags(stitch="dc", gauge="18 x 9 / 10cm"))
    made = plan(brief)
    assert made.section_stitches[:2] == ("dc", "dc")
    assert (made.gauge_stitches, made.gauge_assumed) == (18, False)


def test_an_edging_of_another_repeat() -> None:
    brief, sentences = with_flags(example_brief("garden"), Flags(edge_repeat="4"))
    edging = plan(brief).piece.sections[-1]
    assert isinstance(edging, Edging)
    assert edging.figure.counts == (4, 4)
    assert "picot edge lost its figure" in sentences[0]


def test_one_size_is_meant() -> None:
    brief, sentences = with_flags(example_brief("bucket"), Flags(head="57", depth="18"), "adult l")
    assert sentences[0] == "--head 57 replaces adult L head 59"
    assert (plan(brief, "adult L").piece.around_cm, plan(brief, "adult L").piece.depth_cm) == (
        58,
        18,
    )
    assert plan(brief, "adult S/M").piece.around_cm == 57


def test_a_brim_for_every_size() -> None:
    brief, sentences = with_flags(example_brief("bucket"), Flags(brim="7cm"))
    assert sentences == ["--brim 7cm replaces the brim's width in every size"]
    sections = [s for size in brief.sizes for s in plan(brief, size).piece.sections]
    widths = [s.width_cm for s in sections if isinstance(s, Brim)]
    assert widths == [7, 7, 7, 7, 7]


@pytest.mark.parametrize(
    ("example", "flags", "size", "words"),
    [
        ("cowl", Flags(head="57"), None, "--head: the brief states a circumference, not a head"),
        ("cowl", Flags(ease="1"), None, "--ease: the brief states a circumference, not a head"),
        ("cowl", Flags(repeat="6"), None, "--repeat: the brief has 4 bands; change the one meant"),
        ("cowl", Flags(flare="30"), None, "--flare: the brief has no brim"),
        ("cowl", Flags(sectors="8"), None, "--sectors: the brief has no crown"),
        ("cowl", Flags(edge_repeat="3"), None, "--edge-repeat: the brief has no edging"),
        ("bucket", Flags(head="57"), None, "--head: the brief has several sizes; say with --size"),
        ("bucket", Flags(depth="20"), None, "--depth: the brief has several sizes; say with --si"),
        ("bucket", Flags(sectors="9"), None, "--sectors: found 9; sector_range goes from 8 to 8"),
        ("bucket", Flags(head="1"), "adult L", "--head: found '1'; a head is between 25 and 80 cm"),
        ("garden", Flags(flare="nan"), None, "--flare: found 'nan'; a flare is from 0"),
        ("garden", Flags(gauge="16"), None, "--gauge: found '16'; say what it is over"),
    ],
)
def test_contradictions_that_cannot_be_met(
    example: str, flags: Flags, size: str | None, words: str
) -> None:
    assert words in refusal(flags, example, size)


def test_a_size_that_is_not_there() -> None:
    message = refusal(Flags(head="57"), "bucket", "giant")
    assert message.startswith("--size: found 'giant'; the sizes are: 6-12 months")
