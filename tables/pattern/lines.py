"""A round as a line of the pattern: its label, what it says to work, and what its count counts."""

from __future__ import annotations

from collections.abc import Iterator

from evenround.tables.rounds.figures_stitches import in_terms
from evenround.tables.rounds.pattern import Terms
from evenround.tables.rounds.writer import names, write_steps
from evenround.tables.words import clean, listed

from .written import Heading, WrittenPattern, WrittenRound

LONG = 48
"""An instruction longer than this that an earlier round of its heading has word for word is
written as a repeat of that round."""


def instruction(written: WrittenRound, terms: Terms) -> str:
    """What the round says to work, without its label and count."""
    if written.steps is None:
        return f"{written.words[:1].upper()}{written.words[1:]}."
    return write_steps(written.steps, terms, unit=written.unit, space=written.space, said=True)


def count_words(written: WrittenRound, terms: Terms) -> str:
    """``40 hdc``; ``132 places; 33 sc, 55 dc, 44 ch-1 sps`` where they are mixed; ``84 sts``."""
    counts = ", ".join(dict.fromkeys(map(str, written.counts)))
    if written.steps is None:
        return f"{counts} places"
    if len(written.made) == 1:
        name, _ = written.made[0]
        return f"{counts} {_name(name, terms)}"
    chains = any(name.startswith("ch") for name, _ in written.made)
    parts = ", ".join(f"{n} {_name(name, terms)}" for name, n in written.made)
    return f"{counts} {'places' if chains else 'sts'}; {parts}"


def _name(us: str, terms: Terms) -> str:
    if us == "ch sp" or us.startswith("ch-"):
        return f"{us}s"
    return names(terms).get(us, us) if us else "sts"


def round_line(written: WrittenRound, said: str, terms: Terms) -> str:
    """The whole line: ``Rnd 5: Ch 1, *...; rep from * around, join. (40 hdc)``."""
    return f"{written.label}: {said} ({count_words(written, terms)})"


def before_words(written: WrittenRound) -> str:
    """What the maker must know before the round: where it begins, what steps do not say. No
    sentence begins with the round's label, so that none is taken for the round."""
    several = written.first != written.last
    words = []
    if written.begin:
        each = "each of " if several else ""
        words.append(f"To begin {each}{written.label}, slip along to {written.begin}.")
    if written.how:
        words.append(f"For {written.label}: {written.how}.")
    return " ".join(words)


def heading_lines(heading: Heading, terms: Terms) -> Iterator[tuple[WrittenRound, str]]:
    """Every round of a heading with its line; long ones that come again refer to the first."""
    seen: dict[str, int] = {}
    for written in heading.rounds:
        said = instruction(written, terms)
        before = seen.setdefault(said, written.first)
        if written.steps is not None and before != written.first and len(said) > LONG:
            said = f"Rep Rnd {before}."
        yield written, round_line(written, said, terms)


def heading_title(heading: Heading, terms: Terms) -> str:
    """``Brim, in sc``; ``Wave, in sc, hdc, dc and tr``."""
    name = clean(heading.name)
    own = [in_terms(each, terms) for each in heading.stitches]
    return f"{name[:1].upper()}{name[1:]}, in {listed(own)}"


def round_lines(pattern: WrittenPattern) -> list[tuple[WrittenRound, str]]:
    """Every round of the pattern with its line."""
    return [line for h in pattern.headings for line in heading_lines(h, pattern.terms)]
