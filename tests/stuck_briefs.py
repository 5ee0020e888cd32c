"""Briefs of ours that nothing fits, one for each kind of change that would mend it.

Small hats in thick yarn, so that counts stay small; no outside numbers.
"""

from __future__ import annotations

HAT = """\
# a hat that cannot be
title = "Nettlecombe" # a coined name
stitch = "hdc"
head = {head}
ease = 0
depth = {depth}

[gauge]
hdc = "{gauge}" # washed

[tolerances] # how far off
circumference = {around} # tight
{tolerances}
[nudge]
stitches = {nudge}
{nudges}
[[sections]]
kind = "crown"
{crown}
[[sections]]
kind = "even"
name = "sides"
{even}
"""

BAND = """
[[sections]]
kind = "band"
name = "mesh" # the holes
{band}
"""
BRIM = """
[[sections]]
kind = "brim"
{brim}
"""
EDGING = """
[[sections]]
kind = "edging"
{edging}
"""
USUAL = {
    "head": "40",
    "depth": "14",
    "gauge": "10 x 8 / 10cm",
    "around": "1.0",
    "tolerances": "",
    "nudge": "0",
    "nudges": "",
    "crown": "",
    "even": "",
}


def hat(
    *, band: str | None = None, brim: str | None = None, edging: str | None = None, **said: str
) -> str:
    """The text of a brief; what is not said is as usual."""
    text = HAT.format(**(USUAL | said))
    if band is not None:
        text += BAND.format(band=band)
    if brim is not None:
        text += BRIM.format(brim=brim)
    if edging is not None:
        text += EDGING.format(edging=edging)
    return text


# 40 cm at 10 sts are 40 stitches: 8 x 5, so eight sectors need nothing else
PLAIN = "start_range = [8, 8]\nsector_range = [8, 8]\nrates = 1\npart_round = false"

STUCK: dict[str, str] = {
    "circumference": hat(band="repeat = 7", around="0.5"),
    "repeat": hat(band="repeat = 7", around="0.5"),
    "gauge": hat(band="repeat = 7", around="0.5"),
    "nudge": hat(head="42", around="0.5", crown=PLAIN),
    "part round": hat(head="44", around="0.5", crown=PLAIN),
    "second rate": hat(head="44", around="0.5", crown=PLAIN),
    "crown sectors": hat(head="44", around="0.5", crown=PLAIN),
    "start count": hat(
        head="42",
        around="0.5",
        crown="start_range = [8, 8]\nsector_range = [7, 8]\nrates = 1\npart_round = false",
    ),
    "depth": hat(even="rounds = [0, 1]", tolerances="depth = 0.5"),
    "rounds": hat(even="rounds = [0, 1]", tolerances="depth = 0.5"),
    "repeat width": hat(band="repeat = 4\nrepeat_width = 5", tolerances='repeat_width = "2%"'),
    "wished width": hat(band="repeat = 4\nrepeat_width = 1"),  # a repeat of 4 is 4 cm
    "give": hat(band='repeat = "4+t"\ngive = [3, 3]', around="0.5"),
    "brim width": hat(brim="width = 5.5\nflare = 30", tolerances="brim = 0.2"),
    "flare": hat(brim="width = 5\nflare = 41\nsector_range = [8, 8]", tolerances="flare = 0.1"),
    "edge circumference": hat(brim="width = 5\nflare = 80", tolerances="edge = 0.1"),
    "brim sectors": hat(brim="width = 5\nflare = 30\nsector_range = [7, 7]", around="1.0"),
    "brim rhythm": hat(
        brim='width = 4\nflare = 60\nrhythms = ["every fifth"]\nsector_range = [8, 8]'
    ),
    "firm rounds": hat(brim="width = 5\nflare = 60\nfirm_rounds = 4"),
    "edging repeat": hat(edging="repeat = 7", around="0.5"),
}
"""By the change that is among the ways out."""
