"""Families of sizes that others published, written by us for all sizes: the counts come out as
theirs, and the audit finds nothing wrong. The wording is ours throughout."""

from __future__ import annotations

import pytest
from written_families import of_brief

from evenround.solver import Candidate
from evenround.solver.piece import Rhythm
from evenround.tables.audit import audit_pattern
from evenround.tables.brief import read_brief
from evenround.tables.pattern import (
    SizesPattern,
    sizes_to_text,
    to_text,
    write_all_sizes,
    write_pattern,
)
from evenround.tables.plan import Plan
from evenround.tables.rounds.reader import read_pattern

Rates = tuple[tuple[int, int], ...]

# worked_examples 2: crown-down hat, sizes S (M, L), discmaster.textfiles.com: dc, 16 in the ring;
# 16, 32, 48, then 6 a round to 60 (66, 72); a band of shells, 10 (11, 12) of 6 stitches. Its
# gauge is not stated: this one, and the depths, are ours.
SHELLS = """
title = "a hat with a band of shells"
stitch = "dc"
ease = 0
sizes = [
  { name = "S", head = 43.54, depth = 16 },
  { name = "M", head = 47.9, depth = 17 },
  { name = "L", head = 52.25, depth = 18 },
]
gauge = { dc = "14 x 7.33 / 4in" }
[[sections]]
kind = "crown"
start_range = [16, 16]
sector_range = [16, 16]
rates = 2
[[sections]]
kind = "even"
[[sections]]
kind = "band"
figure = "shell"
"""

# worked_examples 3: rolled-brim hat, ThriftyFun tip tf41072356: 14 dc = 4 in; 12 a round to 60,
# then 66, the large size 72; brim in sc, every second round, 11 (12) more, three times, then six
# plain rounds. Depths are ours.
ROLLED = """
title = "a hat with a rolled brim"
stitch = "dc"
ease = 0
sizes = [{ name = "M", head = 47.9, depth = 18 }, { name = "L", head = 52.25, depth = 19 }]
gauge = { dc = "14 / 4in" }
[[sections]]
kind = "crown"
[[sections]]
kind = "even"
[[sections]]
kind = "brim"
stitch = "sc"
width = 7.6
flare = 30
firm_rounds = 6
"""

# case C12 (a child's beanie, hdc, sizes 2 (4-6-8-10)): 8 a round to 64 (68-72-76-78), the odd
# rest in a last round of 4 or 6; 16 hdc and 10.5 rounds = 10 cm.
BEANIE = """
title = "a beanie in five sizes"
stitch = "hdc"
ease = 0
sizes = [
  { name = "2", head = 40, depth = 15 },
  { name = "4", head = 42.5, depth = 16 },
  { name = "6", head = 45, depth = 17 },
  { name = "8", head = 47.5, depth = 18 },
  { name = "10", head = 48.75, depth = 18 },
]
gauge = { hdc = "16 x 10.5 / 10cm" }
[[sections]]
kind = "crown"
sector_range = [8, 8]
[[sections]]
kind = "even"
"""


def _worked(candidate: Candidate) -> Rates:
    """The crown's rates, then what a brim that grows every second round adds each time."""
    rates, brim = candidate.tally.crown_rates or (), candidate.tally.brim
    if brim is None or brim.sectors is None or brim.rhythm != Rhythm(1, 2):
        return rates
    return (*rates, (brim.sectors, sum(change > 0 for change in brim.changes)))


def family(text: str, rates: dict[str, Rates]) -> tuple[SizesPattern, list[Candidate]]:
    """The pattern of the sizes with the crowns published, among the best of each."""

    def published(plan: Plan, candidates: object) -> Candidate:
        assert isinstance(candidates, tuple)
        return next(c for c in candidates if _worked(c) == rates[plan.size])

    plans, members = of_brief(read_brief(text.encode(), "published"), published, among=400)
    return write_all_sizes(plans, members), members


def read_back(pattern: SizesPattern) -> str:
    """The page on long lines; the audit finds nothing wrong in it."""
    text = sizes_to_text(pattern)
    assert audit_pattern(read_pattern(text, "us"), text=text).agrees
    return text.replace("\n    ", " ")


def test_two_rates_and_a_band_of_shells() -> None:
    rates: dict[str, Rates] = {
        name: ((16, 2), (6, more)) for name, more in (("S", 2), ("M", 3), ("L", 4))
    }
    pattern, members = family(SHELLS, rates)
    assert [m.measures.side_count for m in members] == [60, 66, 72]
    text = read_back(pattern)
    assert "10 (11, 12) repeats of 6 places" in text
    assert "(60 (66, 72) sts; 10 (11, 12) sc, 50 (55, 60) dc)" in text
    assert "Sizes M (L) only - Rnd 6: " in text and "Size L only - Rnd 7: " in text


def test_brim_sectors_that_follow_the_size() -> None:
    rates: dict[str, Rates] = {"M": ((12, 4), (6, 1), (11, 3)), "L": ((12, 4), (6, 2), (12, 3))}
    pattern, _ = family(ROLLED, rates)
    text = read_back(pattern)
    assert "Grows by 11 (12) sts in every 2nd round." in text
    assert all(count in text for count in ("(77 (84) sc)", "(88 (96) sc)", "(99 (108) sc)"))


def test_a_beanie_whose_last_rounds_differ() -> None:
    rates: dict[str, Rates] = {
        "2": ((8, 7),),
        "4": ((8, 7), (4, 1)),
        "6": ((8, 8),),
        "8": ((8, 8), (4, 1)),
        "10": ((8, 8), (6, 1)),
    }
    pattern, _ = family(BEANIE, rates)
    text = read_back(pattern)
    assert pattern.marks == ("2", "4", "6", "8", "10")
    assert "join. (64 (68, 72, 76, 78) hdc)" in text
    # size 4 makes 4 more where 6, 8 and 10 make 8 more; then 8 makes 4 more and 10 makes 6
    assert "Sizes 4, 6, 8, 10 only - Rnd 9: " in text and "(68 (72, 72, 72) hdc)" in text
    assert "Sizes 8, 10 only - Rnd 10: " in text and "(76 (78) hdc)" in text


@pytest.mark.parametrize("text", [SHELLS, ROLLED, BEANIE])
def test_families_of_sizes_own_bests_read_back(text: str) -> None:
    plans, members = of_brief(read_brief(text.encode(), "published"))
    assert "Rnd 1: " in read_back(write_all_sizes(plans, members))


def test_what_is_assumed_is_not_read_as_work() -> None:
    # "shell: its height was not measured; taken as 0.8 dc" stands before the rounds
    plans, members = of_brief(read_brief(SHELLS.encode(), "published"))
    assert plans[0].assumptions
    text = to_text(write_pattern(plans[0], members[0]))
    assert text.index("\nAssumed\n") < text.index("\nRnd 1: ")
    read = read_pattern(text, "us")
    assert read.unread == () and audit_pattern(read, text=text).agrees
