"""Bare stitches settled by what stands beside them.

A bare "2 dc" is two in one stitch or one in each of the next two; beside a plain stitch of the
same kind it can only be the first ("dc 3, 2 dc" would else be five plain), beside a word for an
increase only the second. ``Settings.pairs`` overrules that for a pattern whose counts say so.
"""

from __future__ import annotations

from .reader_state import Bare, Node, State
from .steps import (
    Bunch,
    Into,
    Join,
    Leave,
    Several,
    StartChain,
    Step,
    Stitch,
    Turn,
    Work,
)


def settle(state: State, nodes: list[Node], top: bool = False) -> tuple[Step, ...]:
    """Bare stitches into steps, by what stands beside them."""
    if top:
        nodes = end_slip(nodes)
    working = [n for n in nodes if not isinstance(n, StartChain | Join | Turn | Leave)]
    steps: list[Step] = []
    for at, node in enumerate(nodes):
        if isinstance(node, Bare):
            alone = len(working) == 1
            steps.append(_bare(state, node, nodes, at, alone, top))
        else:
            steps.append(node)
    return tuple(steps)


def end_slip(nodes: list[Node]) -> list[Node]:
    """A bare slip stitch that ends a round closes it, unless the round works others."""
    turns = 0
    while turns < len(nodes) and isinstance(nodes[-1 - turns], Turn):
        turns += 1
    if turns:
        return [*end_slip(nodes[:-turns]), *nodes[-turns:]]
    last = nodes[-1] if nodes else None
    slips = [n for n in nodes if isinstance(n, Bare) and n.stitch == Stitch("sl st")]
    if slips and isinstance(last, Bare) and last in slips and not last.said:
        others = [n for n in slips if n is not last]
        if not others and len(nodes) > 1:
            return [*nodes[:-1], Join()]
    return nodes


def _bare(state: State, node: Bare, nodes: list[Node], at: int, alone: bool, top: bool) -> Step:
    if state.ring or (state.settings.first and top and alone and node.said and node.n > 2):
        return Work(node.stitch, node.n, "ring")
    if not node.said:
        whole = alone and top and not state.settings.inner
        return Work(node.stitch, None if whole else 1)
    if node.n == 1 or state.settings.pairs == "plain":
        state.out.doubtful |= node.n in (2, 3)
        return Work(node.stitch, node.n)
    if node.n in (2, 3):
        state.out.doubtful = True
        if _is_increase(state, node, nodes, at, alone):
            return Into((Several(node.stitch, node.n),))
    return Work(node.stitch, node.n)


def _is_increase(state: State, node: Bare, nodes: list[Node], at: int, alone: bool) -> bool:
    if state.settings.pairs == "increase" or alone:
        return True
    if state.settings.increases:
        return False
    beside = [nodes[i] for i in (at - 1, at + 1) if 0 <= i < len(nodes)]
    for other in beside:
        if isinstance(other, Work) and _same(other.stitch, node.stitch):
            return True
        if isinstance(other, Bare) and _same(other.stitch, node.stitch):
            after = nodes[at + 1 : at + 2] == [other]
            return node.n < other.n or other.n == 1 or (node.n == other.n and not after)
    return False


def _same(one: Stitch | Bunch, other: Stitch | Bunch) -> bool:
    return isinstance(one, Stitch) and isinstance(other, Stitch) and one.name == other.name
