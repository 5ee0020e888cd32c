"""Printed counts beside what a round made, each kind by itself.

"12 V" is compared with the figures made, "12 ch-1 sps" with the chain spaces, "40 hdc" with the
stitches, a bare number with all places. The reader hands stitches on by their US abbreviations;
here they get their names in the pattern's own vocabulary. A bare number that counts only the
stitches and not the chains between them is right as well; what a word counts that nobody knows
is left unjudged.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import cache

from evenround.tables.facts import table
from evenround.tables.rounds.counter import Below, Worked
from evenround.tables.rounds.pattern import Printed, Terms
from evenround.tables.rounds.steps import Stitch
from evenround.tables.rounds.writer import stitch_name

from .findings import Kind

_ALL = {"", "st", "sts", "stitch", "stitches", "place", "places", "loops", "total"}
_SPACE = re.compile(r"(?:(?:ch|chain)[\s-]*(\d+)?[\s-]*)?(?:sps?|spaces?|eyelets?|holes?|loops?)")
_CHAINS = {"ch", "chs", "chain", "chains"}


def compared(printed: Sequence[Printed], worked: Worked, terms: Terms) -> tuple[Kind, ...]:
    """Every printed count with what was made of that kind."""
    alone = len(printed) == 1
    return tuple(_kind(one, worked, terms, alone=alone) for one in printed)


def all_agree(kinds: Sequence[Kind]) -> bool | None:
    """Whether the printed counts fit: False if any does not, None if none could be judged."""
    verdicts = {kind.agrees for kind in kinds}
    if False in verdicts:
        return False
    return True if True in verdicts else None


def _kind(printed: Printed, worked: Worked, terms: Terms, *, alone: bool) -> Kind:
    number, what = printed.number, in_terms(printed, terms)
    possible = _counts(printed.what.strip().lower(), worked)
    stitch = stitch_words().get(printed.what.strip().lower())
    if possible is None:
        fits = number == worked.makes or number in worked.groups.values()
        return Kind(what, number, number if fits else worked.makes, True if fits else None)
    if alone and stitch is not None:
        # "48 sc" over a round that also has other stitches usually counts all of them.
        possible = (*possible, without_chains(worked), worked.makes)
    made = number if number in possible else possible[0]
    if made == 0 and number not in possible:
        made = worked.makes
    return Kind(what, number, made, number in possible)


def in_terms(printed: Printed, terms: Terms) -> str:
    """What a printed count counts, a stitch by its name in the pattern's own terms."""
    what = printed.what.strip()
    stitch = stitch_words().get(what.lower())
    return what if stitch is None else stitch_name(Stitch(stitch), terms)


def _counts(what: str, worked: Worked) -> tuple[int, ...] | None:
    """What the word may count, the likeliest first; None for a word nobody knows."""
    groups = {name.lower(): n for name, n in worked.groups.items()}
    for name in (what, what.removesuffix("s"), what.removesuffix("es"), what.removesuffix("'s")):
        if name and name in groups:
            return (groups[name],)
    if what in _ALL:
        return _everything(worked)
    stitch = stitch_words().get(what)
    if stitch is not None:
        return (worked.stitches()[stitch],)
    if what in _CHAINS:
        return (worked.stitches()["ch"], worked.spaces())
    if what.startswith("inc") or what.startswith("dec"):
        return None
    if (space := _SPACE.fullmatch(what)) is not None:
        length = int(space[1]) if space[1] else None
        # A V has a space of its own, which "12 V, 12 ch-1 sps" leaves out.
        return (spaces(worked.made, length), spaces(_between_figures(worked.made), length))
    bunch = what.removesuffix("s")
    if worked.stitches()[bunch]:
        return (worked.stitches()[bunch],)
    return None


def _everything(worked: Worked) -> tuple[int, ...]:
    """All places; or the stitches without the chains between them; or the figures, where the
    round has nothing else."""
    counts = (worked.makes, without_chains(worked))
    figures = sum(worked.groups.values())
    places = worked.made.places
    only_figures = figures > 0 and all(place.group or place.name == "ch" for place in places)
    return (*counts, figures) if only_figures else counts


def _between_figures(made: Below) -> Below:
    return Below(tuple(place for place in made.places if not place.group))


def is_everything(what: str) -> bool:
    """Whether a printed word counts all there is ("sts", "" and their like)."""
    return what.strip().lower() in _ALL


def without_chains(worked: Worked) -> int:
    """How many stitches were made, chains not counted."""
    return worked.makes - worked.stitches()["ch"]


def spaces(made: Below, chains: int | None) -> int:
    """How many chain spaces there are, of ``chains`` chains each if given."""
    lengths: list[int] = []
    for place in made.places:
        if place.opens:
            lengths.append(1)
        elif place.name == "ch" and lengths:
            lengths[-1] += 1
    return len(lengths) if chains is None else lengths.count(chains)


@cache
def stitch_words() -> dict[str, str]:
    """Every US name a stitch is counted under ("hdc", "hdcs", "half double crochet") -> its
    abbreviation."""
    words: dict[str, str] = {}
    for row in table("terms"):
        if not row["turning_chains"] or row["us_abbr"] == "ch":
            continue
        for name in (row["us_abbr"], row["us_name"]):
            for form in (name, f"{name}s", f"{name}es"):
                words[form.lower()] = row["us_abbr"]
    return words
