"""The abbreviations a pattern uses, and no others, each spelt out in the pattern's terms."""

from __future__ import annotations

import re
from collections.abc import Iterable

from evenround.tables.facts import table
from evenround.tables.rounds.pattern import Terms

_LEGS = {2: "two", 3: "three", 4: "four", 5: "five", 6: "six", 7: "seven"}


def abbreviations(texts: Iterable[str], terms: Terms) -> tuple[tuple[str, str], ...]:
    """Short and long form of every abbreviation that occurs in the texts, in reading order:
    common words first, then stitches from short to tall, then what is made of them."""
    text = "\n".join(texts)
    used = _tokens(text)
    out = [(short, long) for short, long, forms in _plain(terms) if used & forms]
    out += _stitches(used, terms)
    out += _made_up(text.lower())
    return tuple(out)


def _tokens(text: str) -> set[str]:
    """Words of the texts as abbreviations are looked up: without capitals, ``sl st`` one word."""
    text = re.sub(r"\bsl sts?\b", " sl_st ", text.lower())
    return set(re.findall(r"[a-z_]+(?:\d+tog)?", text))


def _plain(terms: Terms) -> list[tuple[str, str, set[str]]]:
    """Abbreviations that are no stitches: short, long, the words it occurs as."""
    skip = _row("skip")[f"{terms}_abbr"]
    slip = _row("slip stitch")[f"{terms}_abbr"]
    common = [
        ("rnd(s)", "round(s)", {"rnd", "rnds"}),
        ("st(s)", "stitch(es)", {"st", "sts"}),
        ("ch(s)", "chain(s)", {"ch", "chs"}),
        (slip, "slip stitch", {"sl_st" if slip == "sl st" else slip}),
        ("sp(s)", "space(s), each made by one or more chains", {"sp", "sps"}),
        ("rep", "repeat", {"rep"}),
    ]
    # the table's word for passing over a stitch; in UK terms it is no abbreviation
    if skip != "miss":
        common.insert(5, (skip, "skip", {skip}))
    return common


def _stitches(used: set[str], terms: Terms) -> list[tuple[str, str]]:
    """Stitches from short to tall, each with what is made of it after it; a stitch that occurs
    only in others is spelt out all the same, for they are explained by it."""
    out: list[tuple[str, str]] = []
    for row in table("terms"):
        if not row["turning_chains"] or int(row["turning_chains"]) == 0:
            continue
        short, long = row[f"{terms}_abbr"], row[f"{terms}_name"]
        made = [*_together(used, short), *_posts(used, short, long)]
        if short in used or made:
            out.append((short, long))
        out += made
    return out


def _together(used: set[str], short: str) -> list[tuple[str, str]]:
    found = (re.fullmatch(rf"{re.escape(short)}(\d+)tog", word) for word in used)
    return [
        (f"{short}{legs}tog", f"{_LEGS.get(legs, str(legs))} {short} worked together as one")
        for legs in sorted(int(f[1]) for f in found if f)
    ]


def _posts(used: set[str], short: str, long: str) -> list[tuple[str, str]]:
    return [
        (
            f"{side[0].upper()}P{short}",
            f"{side} post {long}: about the stem of the stitch below, from the {side}",
        )
        for side in ("front", "back")
        if f"{side[0]}p{short}" in used
    ]


_BUNCHES = {
    "cluster": "{n} {s} in one place, each without its last step, then closed together",
    "bobble": "{n} {s} in one place, each without its last step, then closed together",
    "puff": "{n} {s} in one place, the loops drawn up long, then closed together",
    "popcorn": "{n} {s} in one place, then the first and the last drawn together",
}


def _made_up(text: str) -> list[tuple[str, str]]:
    """Bunches, picots and stitches worked backwards, as the text writes them."""
    out: dict[str, str] = {}
    for n, short, kind in re.findall(r"(\d+)-(\w+) (cluster|bobble|puff|popcorn)", text):
        out[f"{n}-{short} {kind}"] = _BUNCHES[kind].format(n=n, s=short)
    for lead, n in re.findall(r"(ch-(\d+) )?picot", text):
        out[f"{lead}picot"] = (
            f"a little ring of {_LEGS.get(int(n or 3), n)} chains, closed at its foot"
        )
    for short in re.findall(r"reverse (\w+)", text):
        out[f"reverse {short}"] = f"{short} worked backwards, against the usual direction"
    return list(out.items())


def _row(us_name: str) -> dict[str, str]:
    return dict(next(r for r in table("terms") if r["us_name"] == us_name))
