"""Groups a round spells out and its count names: "5 dc in next st ... (16 shells)"."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from .pattern import Printed
from .reader_lexer import Lexicon
from .steps import Into, Repeat, Several, Step
from .vocabulary import Figure, usual_groups


def named_by_count(
    steps: tuple[Step, ...], printed: Sequence[Printed], lexicon: Lexicon
) -> tuple[Step, ...]:
    """The steps with their one kind of unnamed group named as the count names it, if it does."""
    things = {**usual_groups(), **dict(lexicon.own)}
    figures = {t.name for t in things.values() if isinstance(t, Figure)}
    wanted = [p.what for p in printed if p.what in figures]
    groups = list(_groups(steps))
    if len(wanted) != 1 or any(g.name is not None for g in groups):
        return steps
    kinds = {g.parts for g in groups if _is_group(g)}
    return _named(steps, wanted[0]) if len(kinds) == 1 else steps


def _groups(steps: Sequence[Step]) -> Iterator[Into]:
    for step in steps:
        if isinstance(step, Into):
            yield step
        elif isinstance(step, Repeat):
            yield from _groups(step.steps)


def _is_group(group: Into) -> bool:
    """More than an increase: several kinds of parts, or more than three of one."""
    only = group.parts[0] if len(group.parts) == 1 else None
    return not isinstance(only, Several) or only.n > 2


def _named(steps: Sequence[Step], name: str) -> tuple[Step, ...]:
    done: list[Step] = []
    for step in steps:
        if isinstance(step, Into) and _is_group(step):
            done.append(replace(step, name=name))
        elif isinstance(step, Repeat):
            done.append(replace(step, steps=_named(step.steps, name)))
        else:
            done.append(step)
    return tuple(done)
