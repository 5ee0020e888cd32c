"""A design as it stands, and what is asked of it: plain frozen data, numbers only."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from .piece import Figure
from .suits import Multiple
from .tally import Tally


@dataclass(frozen=True, slots=True)
class Design:
    """A design to be adapted.

    ``wants`` has for every section (nudges aside) the repeat it is worked in, None where it has
    none or none was seen. ``fixed`` are the crown's first rounds that must stay as they are (not
    understood, so not touched).
    """

    tally: Tally
    wants: tuple[Multiple | None, ...]
    fixed: int = 1


@dataclass(frozen=True, slots=True)
class NewFigure:
    """Another figure for a band, and the rounds the band is then worked."""

    figure: Figure
    rounds: int


@dataclass(frozen=True, slots=True)
class Asked:
    """What is to change. ``repeats``: section (nudges aside, from 0) -> the repeat its count must
    suit; ``figures``: section -> its new figure. ``target`` is the side count that the wished
    circumference comes to, ``reach`` how many stitches about it (or about the count there was)
    are looked at. ``sectors``: another number of crown sectors. ``band_only``: nothing above the
    first section of ``repeats`` changes. ``even_rounds``: section -> rounds, where a new gauge
    asks for others."""

    repeats: Mapping[int, Multiple] = field(default_factory=lambda: MappingProxyType({}))
    figures: Mapping[int, NewFigure] = field(default_factory=lambda: MappingProxyType({}))
    target: float | None = None
    reach: float = 0.0
    sectors: int | None = None
    band_only: bool = False
    even_rounds: Mapping[int, int] = field(default_factory=lambda: MappingProxyType({}))


@dataclass(frozen=True, slots=True)
class Adapted:
    """A design that satisfies what was asked: ``parts`` is what changes (see change_parts), in
    thousandths of a stitch."""

    tally: Tally
    parts: Mapping[str, int]

    @property
    def cost(self) -> int:
        """The sum of all that changes, in thousandths of a stitch."""
        return sum(self.parts.values())
