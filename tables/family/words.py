"""A family in a maker's words: what its sizes share, where they differ, what its score is."""

from __future__ import annotations

from collections import Counter
from collections.abc import Hashable, Sequence
from itertools import pairwise
from typing import TypeVar

from evenround.solver.candidate import Candidate
from evenround.solver.family import (
    FAMILY_PARTS,
    Family,
    Kept,
    Rule,
    Shared,
    crown_way,
    nudge_way,
)
from evenround.solver.units import MM
from evenround.tables.words import clean, listed, number, plural, rhythm_words

from .graded import Graded

_Way = TypeVar("_Way", bound=Hashable)

PARTS = {
    "sizes": "the sizes",
    "odd_crown": "odd crowns",
    "odd_nudge": "odd nudges",
    "further_sectors": "further sectors",
}
"""The parts of a family's score as they are shown."""

KEPT_WORDS: dict[Kept, str] = {
    "start": "the same stitches to start with",
    "crown sectors": "the same crown sectors",
    "crown gaps": "the same gaps between the crown's increases",
    "band rounds": "the same rounds of the figure",
    "brim rhythm": "the same rhythm in the brim",
    "brim gaps": "the same gap between the brim's increases",
}


def rule_words(rule: Kept | Rule, graded: Graded) -> str:
    """What a family keeps or must obey, as one would say it when giving it up."""
    rules = graded.rules
    match rule:
        case "rising":
            return "side counts that rise from size to size"
        case "sides" if rules.sides == "alike":
            return "bands that begin on the same side"
        case "sides":
            return f"{rules.sides} rounds before the band"
        case "yarn":
            return f"{rules.yarn_grams:g} g for all sizes together"
        case "counts":
            kept = [f"{graded.names[i]} {n}" for i, n in sorted(rules.counts.items())]
            return f"the counts kept ({', '.join(kept)})"
        case _:
            return KEPT_WORDS[rule]


def shared_words(shared: Shared, bands: Sequence[str], *, brim: bool) -> list[str]:
    """What is shared, a phrase each; ``brim`` says whether there is one to have a rhythm."""
    words = []
    if shared.start is not None:
        words.append(f"{shared.start} stitches to start with")
    if shared.crown_sectors is not None:
        words.append(f"{shared.crown_sectors} crown sectors")
    if shared.crown_gaps is not None:
        words.append(f"the crown's increases {_gaps(shared.crown_gaps)} stitches apart")
    if shared.band_rounds is not None:
        pairs = zip(bands, shared.band_rounds, strict=True)
        words += [f"{name} of {plural(rounds, 'round')}" for name, rounds in pairs]
    if shared.brim_rhythm is not None:
        words.append(f"brim increases {rhythm_words(shared.brim_rhythm)}")
    elif brim:
        words.append("a straight brim")
    if shared.brim_gap is not None:
        words.append(f"the brim's first increases {shared.brim_gap:g} stitches apart")
    return words


def family_shared(graded: Graded, family: Family) -> str:
    """``All sizes: 8 stitches to start with, 8 crown sectors.``; a plain word where nothing is."""
    brim = "brim rhythm" in graded.rules.kept and family.members[0].tally.brim is not None
    words = shared_words(family.shared, graded.bands, brim=brim)
    return (
        f"All sizes: {', '.join(words)}." if words else "Nothing has to be the same in all sizes."
    )


def _gaps(gaps: tuple[float, ...]) -> str:
    """``1, 2, 3, ... 10, 21``: a run that rises evenly by its first three and its last."""
    texts = [f"{gap:.3g}" for gap in gaps]
    steps = [round(b - a, 6) for a, b in pairwise(gaps)]
    run = next((i for i, step in enumerate(steps, 1) if step != steps[0]), len(texts))
    if run > 5:
        texts[3:run] = [f"... {texts[run - 1]}"]
    return ", ".join(texts)


def score_line(family: Family) -> str:
    """The family's score, its parts and the price of coherence, in mm."""
    shown = [(part, family.parts.get(part, 0) / MM) for part in FAMILY_PARTS]
    words = [f"{PARTS[part]} {number(mm, 1)}" for part, mm in shown if mm >= 0.05]
    total = f"Family {family.rank}: score {number(family.score_mm, 1)} mm"
    made = f" = {' + '.join(words)}" if len(words) > 1 else ""
    if family.coherence_mm >= 0.05:
        alone = number(family.score_mm - family.coherence_mm, 1)
        price = f"Coherence costs {number(family.coherence_mm, 1)} mm"
        return f"{total}{made}. {price}: each at its best alone, the sizes score {alone} in all."
    return f"{total}{made}. Coherence costs nothing: each size is as good as alone."


def odd_words(graded: Graded, family: Family) -> list[str]:
    """Where the sizes differ, a phrase each: crowns, nudges, further sectors."""
    tallies = [member.tally for member in family.members]
    words = []
    for usual, places, crown in _odd([crown_way(tally) for tally in tallies]):
        words.append(f"{_crown_ends(crown, usual)} in {graded.named(places)}")
    for _, places, _ in _odd([nudge_way(tally) for tally in tallies]):
        words.append(f"{_nudged([family.members[i] for i in places])} in {graded.named(places)}")
    for part, found in (
        ("brim", [t.brim.sectors for t in tallies if t.brim and t.brim.sectors]),
        ("crown", [t.crown.sectors for t in tallies if t.crown]),
    ):
        if len(kinds := sorted({n for n in found if n is not None})) > 1:
            words.append(f"{part} sectors {listed([str(n) for n in kinds])}")
    return words


def _crown_ends(way: tuple[str, ...], usual: tuple[str, ...]) -> str:
    """How an odd crown is worked; where it is plain, what the others have and it has not."""
    if not way:
        return f"no {' or '.join(usual)}"
    return listed([each if each == "double rounds" else f"a {each}" for each in way])


def _nudged(members: Sequence[Candidate]) -> str:
    """The nudges of sizes that nudge alike; what each comes before, where that has one name."""
    names = {tuple(clean(n.before) for n in m.measures.nudges) for m in members}
    before = names.pop()
    if not before:
        return "no nudge"
    nudges = "a nudge" if len(before) == 1 else plural(len(before), "nudge")
    return nudges if names else f"{nudges} before {listed(list(before))}"


def _odd(ways: Sequence[_Way]) -> list[tuple[_Way, list[int], _Way]]:
    """What most do, and the sizes that do it another way, by way."""
    usual, _ = Counter(ways).most_common(1)[0]
    others = dict.fromkeys(way for way in ways if way != usual)
    return [(usual, [i for i, way in enumerate(ways) if way == other], other) for other in others]
