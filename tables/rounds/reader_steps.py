"""One instruction into steps."""

from __future__ import annotations

from dataclasses import replace
from typing import TypeGuard

from .reader_bare import settle
from .reader_chains import HIGHEST, first_stitch, foot_is_first
from .reader_ends import nothing_behind
from .reader_error import ReadError
from .reader_items import items_of
from .reader_kinds import first_of_many
from .reader_repeats import nodes_of
from .reader_state import Bare, Node, Read, Settings, State
from .steps import (
    Bunch,
    Chain,
    Into,
    Join,
    Leave,
    Picot,
    Repeat,
    Skip,
    Spread,
    StartChain,
    Step,
    Stitch,
    Together,
    Turn,
    Work,
)
from .stepwise import endless

__all__ = ["Read", "Settings", "read_instruction"]


def read_instruction(text: str, settings: Settings) -> Read:
    """One instruction as steps. Raises ReadError with the column."""
    items = first_of_many(items_of(text, settings.lexicon))
    state = State(text, settings)
    state.note_stitches(items)
    nodes = nodes_of(state, items)
    steps = settle(state, _opening(state, nodes), top=True)
    steps = _along_chain(state.hook, foot_is_first(steps))
    state.out.steps = nothing_behind(_once_filled(steps, state.out.remaining))
    return state.out


def _along_chain(hook: int, steps: tuple[Step, ...]) -> tuple[Step, ...]:
    """ "In each ch across" of chains worked back along from the ``hook``-th: all that are left."""
    at = next((i for i, step in enumerate(steps) if endless(step)), None)
    if hook < 1 or at is None:
        return steps
    step, chain = steps[at], steps[0]
    before = [1 if isinstance(s, Work) and s.target == "ring" and s.n == 1 else _uses(s)
              for s in steps[1:at]]  # fmt: skip
    behind = [_uses(s) for s in steps[at + 1 :]]
    if not isinstance(step, Work) or step.target != "next" or None in before or any(behind):
        raise ReadError("how many stitches that are along the chain cannot be told")
    if not isinstance(chain, StartChain) or hook > 2:
        raise ReadError("how many chains are worked into is not said")
    rest = chain.n - hook + 1 - sum(n for n in before if n is not None)
    if rest < 1:
        raise ReadError(f"{chain.n} chains are fewer than that needs")
    return (*steps[:at], replace(step, n=rest, target="ring"), *steps[at + 1 :])


def _opening(state: State, nodes: list[Node]) -> list[Node]:
    """The chains a round opens with, after slip stitches that only move along."""
    if state.settings.inner:
        return nodes
    nodes = _joined_chain(state, nodes)
    for at, node in enumerate(nodes):
        if isinstance(node, Chain):
            return [*nodes[:at], *_opened(state, node, nodes[at + 1 :]), *nodes[at + 1 :]]
        if not isinstance(node, Turn | Join) and not _slips(node):
            return nodes
    return nodes


def _joined_chain(state: State, nodes: list[Node]) -> list[Node]:
    """The nodes without the chain a piece starts on, joined in its first round: "ch 60, join. Ch
    1, sc in each ch around"; a short one is only the ring: "ch 4, join. Ch 3, 11 dc in ring"."""
    first = nodes[0] if nodes and state.settings.first else None
    joined = len(nodes) > 2 and isinstance(nodes[1], Join)
    if joined and isinstance(first, Chain) and (first.n > HIGHEST or state.ring):
        state.out.ring = first.n
        return nodes[2:]
    return nodes


def _slips(node: Node) -> bool:
    return isinstance(node, Work) and node.stitch == Stitch("sl st")


def _opened(state: State, chain: Chain, after: list[Node]) -> tuple[Step, ...]:
    """An opening chain by the rules; chains to work the first stitch back into stand for
    nothing, unless some of them are passed over."""
    rules = state.rules()
    if rules.about(chain.n) is None and 0 < state.hook <= 2:
        return (StartChain(chain.n),)
    opened = rules.opening(chain.n, _main_stitch(after))
    first = opened[0]
    if state.foot_skipped and isinstance(first, StartChain) and first.open:
        return (StartChain(first.n, _main_stitch(after) or Stitch("st")), *opened[1:])
    return opened


def _main_stitch(nodes: list[Node]) -> Stitch | None:
    """The stitch the round is worked in: its first, slip stitches aside."""
    for node in nodes:
        if not isinstance(node, Bare):
            found = first_stitch((node,))
            if found is not None:
                return found
        elif isinstance(node.stitch, Bunch):
            return Stitch(node.stitch.stitch.name)
        elif node.stitch.name != "sl st":
            return Stitch(node.stitch.name)
    return None


def _once_filled(steps: tuple[Step, ...], remaining: int | None) -> tuple[Step, ...]:
    """What follows "in each st" has no place left: it was meant up to the last ones, where the
    instruction says so ("sc in each st around, 2 sc in last st"), else it cannot be read."""
    for at, step in enumerate(steps):
        if isinstance(step, Spread) and any(_uses(later) != 0 for later in steps[at + 1 :]):
            raise ReadError("every stitch is used before the round is over")
        if not _fills(step):
            continue
        used = [_uses(later) for later in steps[at + 1 :]]
        if not any(n != 0 for n in used):
            return steps
        total = sum(n for n in used if n is not None)
        if None in used or total != remaining:
            raise ReadError("every stitch is used before the round is over")
        one = replace(step, n=1) if isinstance(step, Work) else replace(step, times=1)
        return (*steps[:at], Repeat((one,), left=total), *steps[at + 1 :])
    return steps


def _fills(step: Step) -> TypeGuard[Work | Into]:
    """Whether a step uses every place there is."""
    return (isinstance(step, Work) and step.n is None and step.target == "next") or (
        isinstance(step, Into) and step.times is None and step.target == "next"
    )


def _uses(step: Step) -> int | None:
    """How many places a step uses; None where that is not fixed."""
    match step:
        case Work(n=n, target="next") | Into(times=n, target="next") | Skip(n=n):
            return n
        case Work(target="same" | "ring") | Into(target="same" | "ring"):
            return 0
        case Together(legs=legs, times=int(times)):
            return legs * times
        case Join() | Turn() | Leave() | Chain() | Picot() | StartChain():
            return 0
        case _:
            return None
