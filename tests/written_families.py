"""Families put together from each size's own candidates, for tests that need one but no search."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from evenround.solver import Candidate, fit
from evenround.solver.piece import Rhythm
from evenround.tables.brief import Brief, example_brief, plan, read_brief
from evenround.tables.facts import data_text
from evenround.tables.pattern import SizesPattern, known_of, write_all_sizes
from evenround.tables.plan import Plan

Picked = Callable[[Plan, Sequence[Candidate]], Candidate]


def best(_: Plan, candidates: Sequence[Candidate]) -> Candidate:
    """The size's own best."""
    return candidates[0]


def every_second(_: Plan, candidates: Sequence[Candidate]) -> Candidate:
    """The best whose brim grows every second round."""
    wished = Rhythm(1, 2)
    return next(c for c in candidates if c.tally.brim and c.tally.brim.rhythm == wished)


def of_brief(
    brief: Brief, pick: Picked = best, *, among: int = 1, terms: str | None = None
) -> tuple[list[Plan], list[Candidate]]:
    """A plan and a candidate for every size, ``pick`` choosing from the ``among`` best."""
    plans = [plan(brief, size) for size in brief.sizes]
    if terms is not None:
        plans = [replace(each, terms=terms) for each in plans]  # type: ignore[arg-type]
    found = [fit(each.piece, best=among, near=False).candidates for each in plans]
    return plans, [pick(each, every) for each, every in zip(plans, found, strict=True)]


def family(name: str, terms: str = "us") -> tuple[list[Plan], list[Candidate]]:
    """The members of an example's family; the bucket's brims all grow every second round."""
    if name == "bucket":
        return of_brief(bucket(), every_second, among=40, terms=terms)
    return of_brief(BRIEFS[name](), terms=terms)


def written(name: str, terms: str = "us", **more: object) -> SizesPattern:
    """The pattern for all sizes of an example's family."""
    plans, members = family(name, terms)
    known = known_of(BRIEFS[name]())
    return write_all_sizes(plans, members, known, **more)  # type: ignore[arg-type]


def bucket() -> Brief:
    """Tamsellick, the bucket hat in five sizes (an example of ours)."""
    return example_brief("bucket")


def garden() -> Brief:
    """Oskerrow Bay in three sizes of our own: fans with and without plain stitches between, one
    size with a nudge before the sides, brims of several rhythms."""
    text = data_text("garden.toml")
    text = text.replace("head = 57\n", GARDEN_SIZES).replace("depth = 19.5\n", "")
    text = text.replace("circumference = 1.5", 'circumference = 1.5\nrepeat_width = "20%"')
    return read_brief(text.encode(), "garden in three sizes")


GARDEN_SIZES = """sizes = [
  { name = "S", head = 54, depth = 18.5 },
  { name = "M", head = 57, depth = 19.5 },
  { name = "L", head = 60, depth = 20.5 },
]
"""


def cowl() -> Brief:
    """Hollin Quarn in two sizes of our own: a chain and nudges of each size's own."""
    text = data_text("cowl.toml").replace("circumference = { from = 60, to = 68 }\n", COWL_SIZES)
    return read_brief(text.encode(), "cowl in two sizes")


COWL_SIZES = """sizes = [
  { name = "child", circumference = { from = 52, to = 60 } },
  { name = "adult", circumference = { from = 60, to = 68 } },
]
"""

BRIEFS = {"bucket": bucket, "garden": garden, "cowl": cowl}
