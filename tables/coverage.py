"""Which heads the sizes of a pattern serve, and how many people have them.

Children from birth to five years by the WHO growth standards (head_growth.csv), adults by a
normal distribution each for women and men (adult_heads.csv, from memory). Nothing here speaks of
the years between: no standard for them is at hand, and none is guessed.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache, partial
from itertools import pairwise
from math import log
from statistics import NormalDist, fmean

from evenround.solver.sure import Heads

from .facts import table

WIDE = 2.0
"""cm: a gap between neighbouring sizes that is wider is marked."""

LAST_MONTH = 60
_NORMAL = NormalDist()
Below = Callable[[float], float]


@dataclass(frozen=True, slots=True)
class SizeHeads:
    """A size: the head it is for and its finished circumference, in cm; the heads it serves."""

    size: str
    head_cm: float
    around_cm: float
    heads: Heads


@dataclass(frozen=True, slots=True)
class Served:
    """Shares of 1 that one size serves, or all sizes together.

    ``children``: of all from birth to five years, every month counted alike, girls and boys half
    each. ``ages``: the first and last month of age at which it serves half of them or more; None
    where there is none.
    """

    size: str
    children: float
    ages: tuple[int, int] | None
    women: float
    men: float


@dataclass(frozen=True, slots=True)
class Between:
    """Two neighbouring sizes: ``gap_cm`` between the heads they serve, negative: an overlap."""

    smaller: str
    larger: str
    gap_cm: float

    @property
    def wide(self) -> bool:
        """Whether heads are left out over more than 2 cm."""
        return self.gap_cm > WIDE + 1e-9


@dataclass(frozen=True, slots=True)
class Coverage:
    """Every size in order of its heads, what each serves, all of them together, and what lies
    between neighbours."""

    sizes: tuple[SizeHeads, ...]
    served: tuple[Served, ...]
    together: Served
    between: tuple[Between, ...]


def coverage(sizes: Sequence[SizeHeads]) -> Coverage:
    """The coverage of one or more sizes; ValueError for none."""
    if not sizes:
        raise ValueError("sizes: found none; at least one is needed")
    ordered = sorted(sizes, key=lambda s: (s.heads.low_cm, s.heads.high_cm))
    served = tuple(_served(s.size, [s.heads]) for s in ordered)
    between = tuple(
        Between(one.size, other.size, other.heads.low_cm - one.heads.high_cm)
        for one, other in pairwise(ordered)
    )
    together = _served("all sizes", [s.heads for s in ordered])
    return Coverage(tuple(ordered), served, together, between)


def _served(size: str, heads: Sequence[Heads]) -> Served:
    spans = _merged(heads)
    by_month = [_month_share(month, spans) for month in range(LAST_MONTH + 1)]
    half = [month for month, share in enumerate(by_month) if share >= 0.5]
    women, men = (_share(_adults(group), spans) for group in ("women", "men"))
    ages = (half[0], half[-1]) if half else None
    return Served(size, fmean(by_month), ages, women, men)


def _merged(heads: Sequence[Heads]) -> list[tuple[float, float]]:
    """Spans without overlaps, so that no head is counted twice."""
    out: list[tuple[float, float]] = []
    for low, high in sorted((h.low_cm, h.high_cm) for h in heads if h.any):
        if out and low <= out[-1][1]:
            out[-1] = (out[-1][0], max(high, out[-1][1]))
        else:
            out.append((low, high))
    return out


def _share(below: Below, spans: Sequence[tuple[float, float]]) -> float:
    return sum(below(high) - below(low) for low, high in spans)


def _month_share(month: int, spans: Sequence[tuple[float, float]]) -> float:
    """Of the children of an age, girls and boys half each."""
    return fmean(_share(partial(child_below, sex, month), spans) for sex in ("girls", "boys"))


def child_below(sex: str, month: int, head_cm: float) -> float:
    """The share of children of a sex ("girls", "boys") at 0 to 60 months whose head is smaller.

    By the standard's l, m and s: z = ((head / m) ** l - 1) / (l s).
    """
    lam, median, s = _growth()[sex, month]
    if head_cm <= 0:
        return 0.0
    z = log(head_cm / median) / s if lam == 0 else ((head_cm / median) ** lam - 1) / (lam * s)
    return _NORMAL.cdf(z)


def child_median(sex: str, month: int) -> float:
    """The median head of a sex at an age, in cm."""
    return _growth()[sex, month][1]


@cache
def _growth() -> dict[tuple[str, int], tuple[float, float, float]]:
    rows = table("head_growth")
    return {
        (r["sex"], int(r["month"])): (float(r["l"]), float(r["m"]), float(r["s"])) for r in rows
    }


def _adults(group: str) -> Below:
    row = next(r for r in table("adult_heads") if r["group"] == group)
    return NormalDist(float(row["mean_cm"]), float(row["sd_cm"])).cdf
