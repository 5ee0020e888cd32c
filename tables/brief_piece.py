"""One size of a brief as a solver Piece, with the sentences that numbers cannot carry.

Takes fields that passed every check; what a brief leaves open is filled in from the trade's
tables, and each such filling that matters is said in one sentence.
"""

from __future__ import annotations

import re
from dataclasses import replace
from math import pi
from typing import TypedDict

from evenround.solver.piece import (
    Band,
    Brim,
    Crown,
    Edging,
    Even,
    Gauge,
    Limits,
    Piece,
    Section,
    Swatch,
)
from evenround.solver.sure import Slip

from .brief_fields import BriefFields, SizeFields
from .brief_figure import Resolved, height_in, resolve, written_rounds
from .brief_ready import ready_size
from .brief_sections import (
    AnySection,
    BandFields,
    BrimFields,
    CrownFields,
    EdgingFields,
    EvenFields,
)
from .brief_tables import DiscFields
from .brief_values import Run
from .facts import depth_share, start_range, stitches
from .gauges import GaugeBook, Measured, StatedGauge, cupped_disc, disc, swatched, yarn_class_gauge
from .lengths import format_length
from .plan import Plan
from .sure.spread import Said, slips_of, spread_words


class SureFields(TypedDict):
    """The part of a plan that says how sure it is."""

    slips: tuple[Slip, ...]
    spread_words: tuple[str, ...]
    stretch: float | None


WIDEST_GIVE = (0, 24)
"""Plain stitches tried in a repeat with give when the brief says no limits."""


def make_plan(brief: BriefFields, size: SizeFields, notes: tuple[str, ...]) -> Plan:
    """The plan of one size; ``notes`` come before those found here."""
    return _Maker(brief, size).plan(notes)


def gauge_book(brief: BriefFields) -> GaugeBook:
    """Every gauge the brief states; a yarn class stands in only where there is none."""
    names = called(brief)
    stated = {us: _measured(us, names[us], entry) for us, entry in brief.gauge.items()}
    if not stated:
        assert brief.yarn_class is not None  # brief_checks saw to it
        stated = {"sc": yarn_class_gauge(brief.yarn_class, names["sc"])}
    return GaugeBook(stated, brief.stitch, names)


def called(brief: BriefFields) -> dict[str, str]:
    """US abbreviation -> the brief's own word for the stitch."""
    return {us: name for name, us in stitches(brief.terms).items()}


def _measured(stitch: str, name: str, entry: StatedGauge | DiscFields) -> Measured:
    if isinstance(entry, StatedGauge):
        return swatched(stitch, entry, name)
    if entry.along is not None and entry.edge is not None:
        return cupped_disc(name, entry.rounds, entry.stitches, entry.along, entry.edge, entry.hole)
    across = entry.across or 0.0
    flat = bool(entry.lies_flat)
    return disc(name, entry.rounds, entry.stitches, across, entry.hole, said_flat=flat)


class _Maker:
    """Collects sentences while the sections are made one after another."""

    def __init__(self, brief: BriefFields, size: SizeFields) -> None:
        self.brief, self.size = brief, size
        self.book = gauge_book(brief)
        self.body = self.book.measured(brief.stitch)
        self.assumptions: dict[str, None] = {}
        self.notes: list[str] = []
        self.names = _names(brief)
        self.arounds = self._arounds()

    def plan(self, notes: tuple[str, ...]) -> Plan:
        brief, size = self.brief, self.size
        self.assumptions.update(dict.fromkeys(self.body.assumptions))
        sections = tuple(self._section(i, s) for i, s in enumerate(brief.sections))
        depth = self._depth()
        self._ready()
        self._unused()
        ease = size.ease if size.head is not None else None
        piece = Piece(
            sections=sections,
            start=brief.start or ("ring" if isinstance(sections[0], Crown) else "chain"),
            around_cm=self._around(),
            depth_cm=depth,
            limits=_limits(brief),
            prices=brief.prices,
            nudges_shape=brief.nudge.shape,
        )
        return Plan(
            title=brief.title,
            size=size.name,
            sizes=tuple(s.name for s in brief.sizes) or (size.name,),
            head_cm=size.head,
            ease_cm=ease,
            unit=brief.unit,
            over_cm=self.body.over_cm,
            gauge_stitches=self.body.stitches,
            gauge_assumed=self.body.gauge.assumed,
            terms=brief.terms,
            joined=brief.rounds == "joined",
            piece=piece,
            section_stitches=tuple(s.stitch or brief.stitch for s in brief.sections),
            openwork=any(isinstance(s, Band) and s.openwork for s in sections),
            assumptions=tuple(self.assumptions),
            notes=(*notes, *self.notes),
            section_rounds=tuple(written_rounds(s) for s in brief.sections),
            **self._sure(),
        )

    def _sure(self) -> SureFields:
        """How far each section's gauge may slip, and how far the fabric gives."""
        brief = self.brief
        stitched = [s.stitch or brief.stitch for s in brief.sections]
        spread = brief.gauge_spread
        said = Said(
            **{
                name: getattr(spread, name) * 10 / spread.over
                for name in ("stitches", "rounds")
                if name in spread.model_fields_set
            }
        )
        return SureFields(
            slips=slips_of(self.book, stitched, said),
            spread_words=spread_words(self.book, stitched, called(brief), said),
            stretch=brief.stretch,
        )

    def _around(self) -> float | None:
        size = self.size
        if size.head is not None:
            return size.head + (size.ease or 0.0)
        return size.circumference if isinstance(size.circumference, float) else None

    def _arounds(self) -> dict[int, float]:
        """Own circumferences by section: as said, or running evenly from one to another."""
        tubes = {
            i: s
            for i, s in enumerate(self.brief.sections)
            if isinstance(s, EvenFields | BandFields)
        }
        out: dict[int, float] = {}
        run = self.size.circumference
        if isinstance(run, Run):
            step = (run.last_cm - run.first_cm) / (len(tubes) - 1)
            out = {i: run.first_cm + k * step for k, i in enumerate(tubes)}
        return out | {i: s.circumference for i, s in tubes.items() if s.circumference is not None}

    def _depth(self) -> float | None:
        brief, size = self.brief, self.size
        kinds = {section.kind for section in brief.sections}
        if size.depth is not None:
            return size.depth
        if size.head is None or not {"crown", "even"} <= kinds:
            if any(isinstance(s, EvenFields) and s.rounds is None for s in brief.sections):
                self._assume("depth: not said, nor a head to take it from; even rounds: none")
            return None
        share = depth_share(size.head, brim="brim" in kinds)
        self._assume(f"depth: not said; {share:g} of the head, to the ear")
        return round(share * size.head, 6)

    def _ready(self) -> None:
        """Where a ready size's head comes from."""
        size = self.size
        row = ready_size(size.name) if size.is_ready else None
        if row is None:
            return
        us = f", US {row.us}" if row.us else ""
        depth = "; depth by rule" if size.depth is None else ""
        head = format_length(row.head_cm, self.brief.unit, 1 if self.brief.unit == "cm" else 2)
        said = f"{row.head_is}{us} ({row.source})"
        self.notes.append(f"size {size.name}: head {head}, {said}{depth}")

    def _unused(self) -> None:
        """What the brief says and no count depends on."""
        brief = self.brief
        if brief.yarn_class is not None and brief.gauge:
            self.notes.append(f"yarn_class {brief.yarn_class}: not needed where a gauge is stated")
        if any(isinstance(s, BrimFields) and s.turns == "up" for s in brief.sections):
            self.notes.append("the brim turns up: the same counts, its flare from the sides' line")

    def _assume(self, sentence: str) -> None:
        self.assumptions.setdefault(sentence)

    def _gauge(self, section: AnySection) -> Gauge:
        measured = self.book.measured(section.stitch or self.brief.stitch)
        self.assumptions.update(dict.fromkeys(measured.assumptions))
        return measured.gauge

    def _swatch(self, section: AnySection) -> Swatch | None:
        """The section's own weighed swatch, else its stitch's; but a figure is as dense as its
        own swatch says, never as its stitch worked plain."""
        weighed = section.swatch
        if weighed is None and not isinstance(section, BandFields | EdgingFields):
            weighed = self.brief.swatch.get(section.stitch or self.brief.stitch)
        if weighed is None:
            return None
        return Swatch(weighed.grams, weighed.area, weighed.metres_per_gram)

    def _section(self, i: int, section: AnySection) -> Section:
        if isinstance(section, CrownFields):
            return self._crown(i, section)
        if isinstance(section, EvenFields):
            return self._even(i, section)
        if isinstance(section, BandFields):
            return self._band(i, section)
        if isinstance(section, BrimFields):
            return self._brim(i, section)
        return self._edging(i, section)

    def _crown(self, i: int, said: CrownFields) -> Crown:
        stitch = said.stitch or self.brief.stitch
        gauge = self._gauge(said)
        low, high = start_range(stitch)
        # a hole leaves room for as many more as go once round it
        high += round(pi * said.hole / gauge.width_cm)
        return Crown(
            gauge=gauge,
            name=self.names[i],
            shape=said.shape,
            start_range=said.start_range or (low, high),
            sector_range=said.sector_range,
            sectors_wished=said.sectors,
            rates=said.rates,
            part_round=said.part_round,
            double_rounds=said.double_rounds,
            hole_cm=said.hole,
            swatch=self._swatch(said),
        )

    def _even(self, i: int, said: EvenFields) -> Even:
        return Even(
            gauge=self._gauge(said),
            name=self.names[i],
            rounds=said.rounds or (0, None),
            around_cm=self.arounds.get(i),
            swatch=self._swatch(said),
        )

    def _band(self, i: int, said: BandFields) -> Band:
        made = resolve(said)
        gauge = self._gauge(said)
        height = said.measured_height
        if height is None and made.row is not None:
            height = self._table_height(self.names[i], made)
            gauge = replace(gauge, assumed=True)
        give = (said.give or WIDEST_GIVE) if made.figure.has_give else (0, 0)
        openwork = said.openwork
        if openwork is None:
            openwork = made.written is not None and made.written.open
        return Band(
            gauge=gauge,
            figure=made.figure,
            name=self.names[i],
            rounds=made.rounds,
            remainder=self._remainder(i, said, made),
            even_repeats=said.even_repeats or (made.written is not None and made.written.even),
            give_range=give,
            repeat_wish_cm=said.repeat_width,
            wish_width_cm=self.body.gauge.width_cm,
            measured_repeat_cm=said.measured_repeat,
            measured_give=said.measured_give or 0,
            measured_height_cm=height,
            around_cm=self.arounds.get(i),
            swatch=self._swatch(said),
            openwork=openwork,
        )

    def _table_height(self, name: str, made: Resolved) -> float:
        assert made.row is not None
        parts = height_in(made.row, made.figure.rounds)
        measured = [(times, self.book.measured(stitch)) for times, stitch in parts]
        words = called(self.brief)
        height = re.sub(r"[a-z]+", lambda m: words.get(m[0], m[0]), made.row["height"])
        self._assume(f"{name}: its height was not measured; taken as {height}, as is usual")
        return sum(times * each.gauge.height_cm for times, each in measured)

    def _remainder(self, i: int, said: BandFields | EdgingFields, made: Resolved) -> int:
        if made.over:
            more = f"{made.over} stitch" + ("es" if made.over > 1 else "")
            self.notes.append(f"{self.names[i]}: its own rounds want {more} over whole repeats")
            return made.over
        over = said.repeat.over if said.repeat is not None else 0
        if said.remainder is not None or not over:
            return said.remainder or 0
        if self.brief.rounds == "spiral":
            return over % made.figure.counts[0]
        self.notes.append(
            f"{self.names[i]}: repeat {said.repeat}: the + {over} of flat patterns falls away "
            "in joined rounds"
        )
        return 0

    def _brim(self, i: int, said: BrimFields) -> Brim:
        size = self.size
        width = size.brim_width if size.brim_width is not None else said.width
        assert width is not None  # brief_checks saw to it
        firm = size.brim_firm_rounds
        return Brim(
            gauge=self._gauge(said),
            width_cm=width,
            flare_deg=size.brim_flare if size.brim_flare is not None else said.flare,
            fullness=said.fullness,
            name=self.names[i],
            turns=said.turns,
            sector_range=said.sector_range,
            sectors_wished=said.sectors,
            rhythms=said.rhythms,
            firm_rounds=said.firm_rounds if firm is None else firm,
            swatch=self._swatch(said),
        )

    def _edging(self, i: int, said: EdgingFields) -> Edging:
        made = resolve(said)
        return Edging(
            gauge=self._gauge(said),
            figure=made.figure,
            name=self.names[i],
            remainder=self._remainder(i, said, made),
            required=said.required,
            swatch=self._swatch(said),
        )


USUAL_NAMES = {"even": "even rounds"}


def _names(brief: BriefFields) -> list[str]:
    """Names as said; the others by figure or kind, numbered where there are several."""
    taken = {s.name.casefold() for s in brief.sections if s.name is not None}
    out: list[str] = []
    for section in brief.sections:
        base = (
            section.name
            or getattr(section, "figure", None)
            or USUAL_NAMES.get(section.kind, section.kind)
        )
        name, k = base, 2
        while section.name is None and name.casefold() in taken:
            name, k = f"{base} {k}", k + 1
        taken.add(name.casefold())
        out.append(name)
    return out


def _limits(brief: BriefFields) -> Limits:
    far, nudge = brief.tolerances, brief.nudge
    return Limits(
        around_cm=far.circumference,
        depth_cm=far.depth,
        brim_cm=far.brim,
        repeat_share=far.repeat_width,
        flare_deg=far.flare,
        edge_cm=far.edge,
        nudge_share=nudge.share,
        nudge_stitches=nudge.stitches,
        nudge_apart=nudge.apart,
    )
