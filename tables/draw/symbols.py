"""Stitch symbols as paths, in the trade's standard shapes (data/symbols.csv).

A symbol is drawn between its foot and its top, wherever those lie, so that fans meet at the foot
and decreases at the top. Every function gives path text; nothing here knows a chart.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import hypot

from evenround.tables.rounds.steps import Stitch

from .sheet import number, points

Point = tuple[float, float]

SLASHES = {"hdc": 0, "dc": 1, "tr": 2, "dtr": 3}
"""Slashes across the stem: one for every yarn over after the first."""


def symbol(
    stitch: Stitch, feet: Sequence[Point], top: Point, size: float, *, shared: bool = False
) -> tuple[str, str]:
    """The lines of a stitch from its feet to its top, and its filled dots ("" for none).

    ``size`` is half the width of a bar. ``shared`` says that others stand on the same foot.
    """
    name = stitch.name.removeprefix("reverse ")
    if name == "sl st":
        return "", dot(_between(feet[0], top, 0.7), size * 0.45)
    if name not in SLASHES:
        lines = "".join(_plus(foot, top, size, meets=len(feet) > 1 or shared) for foot in feet)
        if stitch.name != name:
            lines += _cup(_between(feet[0], top, 0.95), feet[0], top, size, to_top=False)
    else:
        legs = (_stem(foot, top, size, stitch, SLASHES[name], shared=shared) for foot in feet)
        lines = "".join(legs) + _bar(_middle(feet), top, size)
    if stitch.loop != "both":
        lines += _cup(feet[0], feet[0], top, size, to_top=stitch.loop == "front")
    return lines, ""


def bunch(
    kind: str, stitch: Stitch, legs: int, foot: Point, top: Point, size: float
) -> tuple[str, str]:
    """Several stitches of one place drawn together: legs that meet at foot and top."""
    slashes = 0 if kind == "puff" else SLASHES.get(stitch.name, 0)
    lines = _bar(foot, top, size)
    wide = size * 1.1
    for leg in range(legs):
        bow = (leg - (legs - 1) / 2) * 2 * wide / max(1, legs - 1)
        middle = _aside(_between(foot, top, 0.5), foot, top, 1.6 * bow)
        lines += _curve(foot, middle, top)
        near = _aside(_between(foot, top, 0.5), foot, top, 0.8 * bow)
        lines += _slash(near, foot, top, size * 0.35) if slashes else ""
    if kind == "popcorn":
        lines += oval(top, size, size * 0.4)
    return lines, ""


def oval(middle: Point, wide: float, high: float, along: Point = (1.0, 0.0)) -> str:
    """A chain: an open oval, ``wide`` to each side in the direction ``along``."""
    (x, y), (ax, ay) = middle, along
    start = (x - ax * wide, y - ay * wide)
    far = (x + ax * wide, y + ay * wide)
    up, down = (-ay * high * 1.33, ax * high * 1.33), (ay * high * 1.33, -ax * high * 1.33)
    return f"M{_at(start)}{_cubic(start, far, up)}{_cubic(far, start, down)}"


def dot(middle: Point, radius: float) -> str:
    """A filled dot."""
    x, y = middle
    r = number(radius)
    twice = number(2 * radius)
    return f"M{number(x - radius)} {number(y)}a{r} {r} 0 1 0 {twice} 0a{r} {r} 0 1 0 -{twice} 0"


def picot(top: Point, outward: Point, size: float) -> tuple[str, str]:
    """A little ring of ovals closed by a dot, standing on ``top``."""
    (x, y), (ox, oy) = top, outward
    across = (-oy, ox)
    reach = size * 0.9
    left = (x + ox * reach - across[0] * reach * 0.7, y + oy * reach - across[1] * reach * 0.7)
    right = (x + ox * reach + across[0] * reach * 0.7, y + oy * reach + across[1] * reach * 0.7)
    high = (x + ox * reach * 2, y + oy * reach * 2)
    small = size * 0.5
    lines = oval(left, small, small * 0.55, outward) + oval(right, small, small * 0.55, outward)
    lines += oval(high, small, small * 0.55, across)
    return lines, dot((x + ox * 1.5, y + oy * 1.5), size * 0.3)


# --- pieces of symbols --------------------------------------------------------------------


def _at(point: Point) -> str:
    return f"{number(point[0])} {number(point[1])}"


def _cubic(start: Point, end: Point, bow: Point) -> str:
    one, two = (start[0] + bow[0], start[1] + bow[1]), (end[0] + bow[0], end[1] + bow[1])
    return f"C{_at(one)} {_at(two)} {_at(end)}"


def _curve(start: Point, bend: Point, end: Point) -> str:
    return f"M{_at(start)}Q{_at(bend)} {_at(end)}"


def _between(foot: Point, top: Point, share: float) -> Point:
    return foot[0] + (top[0] - foot[0]) * share, foot[1] + (top[1] - foot[1]) * share


def _middle(feet: Sequence[Point]) -> Point:
    return sum(x for x, _ in feet) / len(feet), sum(y for _, y in feet) / len(feet)


def _upward(foot: Point, top: Point) -> Point:
    """The direction from foot to top, one unit long."""
    x, y = top[0] - foot[0], top[1] - foot[1]
    long = hypot(x, y) or 1.0
    return x / long, y / long


def _aside(point: Point, foot: Point, top: Point, by: float) -> Point:
    ux, uy = _upward(foot, top)
    return point[0] - uy * by, point[1] + ux * by


def _plus(foot: Point, top: Point, size: float, *, meets: bool) -> str:
    """A plus sign halfway up; its stem comes down to the foot where several meet there."""
    ux, uy = _upward(foot, top)
    x, y = _between(foot, top, 0.55)
    arm = size * 0.85
    low = foot if meets else (x - ux * arm, y - uy * arm)
    upright = points(low, (x + ux * arm, y + uy * arm))
    return upright + points((x - uy * arm, y + ux * arm), (x + uy * arm, y - ux * arm))


def _bar(foot: Point, top: Point, size: float) -> str:
    ux, uy = _upward(foot, top)
    x, y = top[0] - ux, top[1] - uy
    return points((x - uy * size, y + ux * size), (x + uy * size, y - ux * size))


def _stem(
    foot: Point, top: Point, size: float, stitch: Stitch, slashes: int, *, shared: bool
) -> str:
    """A stem with its slashes; a post stitch's foot is hooked to one side."""
    ux, uy = _upward(foot, top)
    end = (top[0] - ux, top[1] - uy)
    lines = ""
    if stitch.post == "none":
        gap = 0.0 if shared else 2.5
        lines += points((foot[0] + ux * gap, foot[1] + uy * gap), end)
    else:
        side = 1.0 if stitch.post == "front" else -1.0
        high = size * 1.1
        neck = (foot[0] + ux * high, foot[1] + uy * high)
        hook = _aside(_between(foot, top, 0.0), foot, top, side * size * 1.1)
        hook = (hook[0] + ux * high * 0.7, hook[1] + uy * high * 0.7)
        low = _aside(foot, foot, top, side * size * 0.9)
        low = (low[0] - ux * size * 0.3, low[1] - uy * size * 0.3)
        lines += f"M{_at(end)}L{_at(neck)}C{_at(foot)} {_at(low)} {_at(hook)}"
    for place in range(slashes):
        share = 0.58 + (place - (slashes - 1) / 2) * 0.16
        lines += _slash(_between(foot, top, share), foot, top, size * 0.75)
    return lines


def _slash(middle: Point, foot: Point, top: Point, size: float) -> str:
    ux, uy = _upward(foot, top)
    x, y = -uy * size + ux * size * 0.55, ux * size + uy * size * 0.55
    return points((middle[0] - x, middle[1] - y), (middle[0] + x, middle[1] + y))


def _cup(middle: Point, foot: Point, top: Point, size: float, *, to_top: bool) -> str:
    """A small curve, open to the top or to the foot."""
    ux, uy = _upward(foot, top)
    left, right = _aside(middle, foot, top, -size * 0.8), _aside(middle, foot, top, size * 0.8)
    by = -size * 0.8 if to_top else size * 0.8
    return _curve(left, (middle[0] + ux * by, middle[1] + uy * by), right)
