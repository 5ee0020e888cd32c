"""What the audit says of gauge, sizes, discs and brims, on patterns built from steps."""

from __future__ import annotations

from dataclasses import replace

from audit_patterns import (
    HERE,
    SC,
    gaps,
    gauge,
    measure,
    of_count,
    pattern_of,
    ring,
    round_text,
    words,
)

from evenround.tables.audit import audit_pattern
from evenround.tables.rounds.pattern import Printed, RoundText
from evenround.tables.rounds.steps import (
    Chain,
    Join,
    Repeat,
    Skip,
    Step,
    Stitch,
    Work,
    increase,
)

HDC, DC = Stitch("hdc"), Stitch("dc")
INCH = 2.54
FOUR_INCHES = 10.16


# --- gauge, size, discs ----------------------------------------------------------------------


def test_a_stated_size_against_the_counts_and_the_crown_against_flat() -> None:
    """Numbers: "I challenge any crocheter to work this...", backyardchickens.com forum."""
    rounds = [
        round_text(1, ring(12, DC), 12),
        round_text(2, [Repeat((increase(DC),))], 24),
        round_text(3, [gaps(1, DC)], 36),
        round_text(4, [gaps(2, DC)], 48),
        round_text(5, [gaps(5, DC)], 56),
        round_text(6, [Work(DC, None)], last=14),
    ]
    text = words(
        pattern_of(
            rounds,
            gauges=(gauge(11, 7, FOUR_INCHES, DC),),
            measures=(measure("around", 21 * INCH),),
        )
    )
    assert "56 sts are 20.36 in around" in text
    assert "0.64 in less than the 21.00 in stated" in text
    assert "9.87 sts a round lie flat" in text
    assert "1.22 after Rnd 4 and 1.13 after Rnd 5: a waved crown that turns into a bowl" in text
    assert "14 rounds are 8.00 in deep" in text


def test_stitches_and_rounds_stated_apart_are_one_gauge() -> None:
    pattern = of_count(56, Work(DC, None))
    apart = (gauge(11, 0, FOUR_INCHES, DC), gauge(0, 7, FOUR_INCHES, DC))
    apart = (replace(apart[0], rounds=None), replace(apart[1], stitches=None))
    text = words(replace(pattern, gauges=apart))
    assert "56 sts are 20.36 in around at 11 dc x 7 rounds over 4 in" in text


def test_sizes_that_no_one_gauge_can_give() -> None:
    """Numbers: "Smooth and Shiny Long Triple Interlocking Ribbed Beanie",
    gracefullymadecrochet.com."""
    steps = tuple((Work(DC, n, "ring"), Join()) for n in (40, 44, 48))
    first = replace(round_text(1, ()), steps=steps)
    pattern = pattern_of(
        [first, round_text(2, [Work(DC, None)], last=5)],
        sizes=("S", "M", "L"),
        measures=(measure("around", 18 * INCH, 19 * INCH, 20 * INCH),),
    )
    text = words(pattern)
    assert "40 / 18 = 2.22, 44 / 19 = 2.32 and 48 / 20 = 2.40 sts per in" in text
    assert "16.67 in, 18.33 in and 20.00 in" in text
    fitting = replace(pattern, measures=(measure("around", 40.0, 44.0, 48.0),))
    assert "one gauge cannot" not in words(fitting)


def test_discs_are_measured_by_the_largest() -> None:
    """Numbers: "Free Crochet Sun Hat for Boys", crochetdreamz.com (40 after rnd 5 is stated, 8 a
    round after that is our reading)."""
    rounds = [round_text(1, ring(8), 8), round_text(2, [Repeat((increase(SC),))], 16)]
    rounds += [round_text(k + 2, [gaps(k)], 8 * (k + 2)) for k in range(1, 7)]
    across = [(5, 4.5), (6, 5.0), (7, 6.0), (8, 6.5)]
    hats = measure("around", *(n * INCH for n in (14, 16, 19, 21)))
    discs = [measure("across", inches * INCH, after_round=n) for n, inches in across]
    text = words(pattern_of(rounds, measures=(*discs, hats)))
    for around in ("14.14 in", "15.71 in", "18.85 in", "20.42 in"):
        assert f"{around} around after round" in text
    assert "0.353 in wide by the first disc and 0.319 in by the last, 10 % apart" in text
    assert "14.14 in, 16.96 in, 19.79 in and 22.62 in around" in text
    assert "largest disc" in text


def test_a_stated_gauge_that_can_hardly_be_is_a_hint() -> None:
    """Numbers: "Make it Monday - Dainty Flower Beanie", mandobugcrafts.blogspot.com."""
    rounds = [round_text(1, ring(6), 6), round_text(2, [Repeat((increase(SC),))], 12)]
    rounds += [round_text(k + 2, [gaps(k)], 6 * (k + 2)) for k in range(1, 7)]
    pattern = pattern_of(rounds, gauges=(gauge(16, 9, FOUR_INCHES, SC),))
    audit = audit_pattern(pattern)
    assert audit.agrees
    text = words(pattern)
    assert "11.2 sc a round, where about 6 are usual; 6 a round would be a cone of 32" in text
    sound = replace(pattern, gauges=(gauge(16, 18, FOUR_INCHES, SC),))
    assert "hint" not in words(sound)


def test_a_brim_against_what_lies_flat() -> None:
    """Numbers: "Helping our users. Beach Raffia Crochet Hat", craftorator.com: 19 x 21 before
    blocking, 17 x 21 after, per 4 in, which is not said."""
    counts = [110, 120, 132, 132, 144, 144, 156, 156, 168, 168, 180, 180]
    rounds = [round_text(1, ring(100), 100), round_text(2, [Work(SC, None)], 100, last=12)]
    below = 100
    for at, count in enumerate(counts):
        more = count - below
        steps: list[Step] = [Work(SC, None)]
        if more:
            k = below // more - 1
            steps = [gaps(k, times=more), Work(SC, below - more * (k + 1))]
            steps = steps[:1] if below % more == 0 else steps
        rounds.append(round_text(at + 1, steps, count, section="Brim"))
        below = count
    stated = (gauge(19, 21, FOUR_INCHES), gauge(17, 21, FOUR_INCHES))
    gauges = tuple(replace(g, over_cm=None) for g in stated)
    measures = (measure("brim", 6 * INCH), measure("around", 23 * INCH))
    text = words(pattern_of(rounds, gauges=gauges, measures=measures))
    assert "17 sts x 21 rounds is taken as over 4 in, which is not said" in text
    assert "100 sts are 21.05 in around or 23.53 in around" in text
    assert "Rnd 1 to Rnd 3 of the brim add 32 where 15 to 17 lie flat" in text
    assert "add 6.0 sts a round on average; at this gauge 5.1 to 5.7 would lie flat: it" in text
    assert "a brim of 6.00 in is 31.5 rounds; 12 are written" in text


# --- sizes, labels, cautions -----------------------------------------------------------------


def test_rounds_for_some_sizes_only_keep_their_own_counts() -> None:
    """Numbers: "Beanie crochet pattern", portacraft.com.au."""
    sizes = ("2", "4", "6", "8", "10")
    rounds = [
        round_text(1, ring(8, HDC), 8),
        round_text(2, [Repeat((increase(HDC),))], 16),
        *(round_text(n, [gaps(n - 2, HDC)], 8 * n) for n in range(3, 9)),
        round_text(9, [gaps(15, HDC)], 68, sizes=("4",)),
        round_text(9, [gaps(7, HDC)], 72, sizes=("6", "8", "10")),
        round_text(10, [gaps(17, HDC)], 76, sizes=("8",)),
        round_text(10, [gaps(11, HDC)], 78, sizes=("10",)),
    ]
    counts = tuple((Printed(n, "hdc"),) for n in (64, 68, 72, 76, 78))
    following = RoundText("Next round", None, None, HERE, "", ((Work(HDC, None),),), printed=counts)
    pattern = pattern_of([*rounds, following], sizes=sizes, gauges=(gauge(16, 10.5, 10.0, HDC),))
    audit = audit_pattern(pattern)
    assert audit.agrees, audit.faults
    last = [[r for r in audit.rounds if r.size == size][-1] for size in sizes]
    assert [r.makes for r in last] == [64, 68, 72, 76, 78]
    text = words(pattern)
    assert "9.57 sts a round lie flat" in text
    assert "8 a round are 0.84 of flat: a cone of half-angle 57 degrees" in text


def test_a_fault_in_one_size_is_that_size_s_alone() -> None:
    first = replace(round_text(1, ()), steps=tuple((Work(SC, n, "ring"), Join()) for n in (60, 66)))
    second = replace(round_text(2, [gaps(5)]), printed=((Printed(70),), (Printed(78),)))
    audit = audit_pattern(pattern_of([first, second], sizes=("S", "M")))
    assert [(f.label, f.size) for f in audit.faults] == [("Rnd 2", "M")]
    assert [r.size for r in audit.rounds] == ["S", "M", "S", "M"]


def test_cautions_for_small_heads_baby_words_and_openwork() -> None:
    mesh = of_count(60, Repeat((Work(SC), Chain(1), Skip(1))))
    small = replace(mesh, measures=(measure("head", 48.0),))
    both = audit_pattern(small).cautions
    assert [c.split(":")[0] for c in both] == [
        "For a baby or small child",
        "Openwork lets sun through",
    ]
    large = replace(mesh, measures=(measure("head", 57.0),))
    assert len(audit_pattern(large).cautions) == 1
    plain = of_count(60, Work(SC, None))
    assert audit_pattern(plain, text="HAT FOR AN INFANT").cautions[0].startswith("For a baby")
    assert audit_pattern(plain, text="HAT for an adult").cautions == ()
    assert audit_pattern(plain, text="A basket for a baby").cautions == ()
