"""Candidates to draw and pictures read back, shared by the tests of the drawings."""

from __future__ import annotations

from functools import cache
from xml.etree import ElementTree as Tree

from evenround.solver import fit
from evenround.solver.candidate import Candidate
from evenround.tables.brief import example_brief, plan
from evenround.tables.plan import Plan

SVG = "{http://www.w3.org/2000/svg}"
PIECES = (("garden", None), ("bucket", "adult L"), ("bucket", "6-12 months"), ("cowl", None))
HATS = PIECES[:3]


@cache
def solved(example: str, size: str | None = None) -> tuple[Plan, Candidate]:
    """A built-in brief's best candidate."""
    made = plan(example_brief(example), size)
    return made, fit(made.piece, best=1).candidates[0]


def read(svg: str) -> Tree.Element:
    """The picture as a tree; it must be valid XML."""
    return Tree.fromstring(svg)


def having(root: Tree.Element, *names: str) -> list[Tree.Element]:
    """Elements that carry all of these data attributes, in order."""
    return [e for e in root.iter() if all(f"data-{name}" in e.attrib for name in names)]


def texts(root: Tree.Element) -> list[Tree.Element]:
    """Every piece of writing in the picture."""
    return list(root.iter(f"{SVG}text"))


def title_of(root: Tree.Element) -> str:
    """What the picture is called."""
    return root.findtext(f"{SVG}title") or ""


def desc_of(root: Tree.Element) -> str:
    """What it shows, in words."""
    return root.findtext(f"{SVG}desc") or ""
