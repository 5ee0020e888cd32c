"""The brief's sizes in any yarn: whole plans for what is shown, bare pieces for thousands.

A yarn's gauges replace the brief's own, and so do its weighed swatches: what the brief weighed
was another yarn. A stitch the yarn has no row for is estimated as in a brief without it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from evenround.solver.piece import Band, Gauge, Piece, Section
from evenround.tables.brief import Brief
from evenround.tables.brief_fields import BriefFields
from evenround.tables.brief_figure import height_in, resolve
from evenround.tables.brief_piece import called, make_plan
from evenround.tables.brief_sections import BandFields
from evenround.tables.brief_tables import SwatchFields
from evenround.tables.gauges import GaugeBook, swatched
from evenround.tables.plan import Plan
from evenround.tables.yarns import Weighed, Yarn

KEPT = "{name}: its measured {what} is that of the brief's own yarn, and is kept in all"


class YarnPieces:
    """A brief's sizes (names, in order) in one yarn after another."""

    def __init__(self, brief: Brief, sizes: Sequence[str]) -> None:
        self.brief, self.fields = brief, brief.fields
        by_name = {size.name: size for size in self.fields.every_size()}
        self.sizes = [by_name[name] for name in sizes]
        self.base = [make_plan(self.fields, size, brief.notes) for size in self.sizes]
        self.names = called(self.fields)
        self._heights = self._table_heights()

    def _table_heights(self) -> dict[int, list[tuple[float, str]]]:
        """Sections whose height is taken from the table of figures: so many times which
        stitch."""
        found = {}
        for i, section in enumerate(self.fields.sections):
            if isinstance(section, BandFields) and section.measured_height is None:
                made = resolve(section)
                if made.row is not None:
                    found[i] = list(height_in(made.row, made.figure.rounds))
        return found

    # --- whole plans -------------------------------------------------------------------------

    def plan(self, yarn: Yarn, size: int) -> Plan:
        """The plan of a size (by index) in a yarn, with the sentences on what is assumed."""
        kept = tuple(self._kept_measures())
        return make_plan(self._fields(yarn), self.sizes[size], (*self.brief.notes, *kept))

    def _fields(self, yarn: Yarn) -> BriefFields:
        metres = None
        if yarn.ball_grams is not None and yarn.ball_metres is not None:
            metres = yarn.ball_metres / yarn.ball_grams
        names = [section.name for section in self.base[0].piece.sections]
        stitches = {us: w for us, w in yarn.swatches.items() if us in self.names}
        sections = [
            section.model_copy(update={"swatch": _swatch(yarn.swatches.get(name), metres)})
            for section, name in zip(self.fields.sections, names, strict=True)
        ]
        changed = {
            "gauge": dict(yarn.gauges),
            "yarn_class": None,
            "swatch": {us: _swatch(weighed, metres) for us, weighed in stitches.items()},
            "sections": sections,
        }
        return self.fields.model_copy(update=changed)

    def _kept_measures(self) -> list[str]:
        out = []
        for plan_section, section in zip(
            self.base[0].piece.sections, self.fields.sections, strict=True
        ):
            if isinstance(section, BandFields):
                if section.measured_repeat is not None:
                    out.append(KEPT.format(name=plan_section.name, what="repeat"))
                if section.measured_height is not None:
                    out.append(KEPT.format(name=plan_section.name, what="height"))
        return out

    # --- bare pieces -------------------------------------------------------------------------

    def pieces(self, yarn: Yarn) -> list[Piece]:
        """Every size as the plans have it, but without swatches; quick."""
        stated = {us: swatched(us, each, self.names[us]) for us, each in yarn.gauges.items()}
        book = GaugeBook(stated, self.fields.stitch, self.names)
        made = dict[str, Gauge]()
        for section in (*self.fields.sections, self.fields):
            stitch = section.stitch or self.fields.stitch
            if stitch not in made:
                made[stitch] = book.measured(stitch).gauge
        first = [self._section(i, s, made, book) for i, s in enumerate(self.base[0].piece.sections)]
        out = []
        for plan in self.base:
            sections = tuple(
                first[i]
                if section == self.base[0].piece.sections[i]
                else self._section(i, section, made, book)
                for i, section in enumerate(plan.piece.sections)
            )
            out.append(replace(plan.piece, sections=sections))
        return out

    def _section(
        self, i: int, section: Section, made: dict[str, Gauge], book: GaugeBook
    ) -> Section:
        gauge = made[self.fields.sections[i].stitch or self.fields.stitch]
        if not isinstance(section, Band):
            return replace(section, gauge=gauge, swatch=None)
        height = section.measured_height_cm
        if i in self._heights:
            parts = self._heights[i]
            height = sum(times * book.measured(stitch).gauge.height_cm for times, stitch in parts)
            gauge = replace(gauge, assumed=True)
        body = made[self.fields.stitch].width_cm
        return replace(
            section, gauge=gauge, swatch=None, measured_height_cm=height, wish_width_cm=body
        )


def bare(piece: Piece) -> Piece:
    """A piece without swatches, to lay beside those for thousands."""
    return replace(piece, sections=tuple(replace(s, swatch=None) for s in piece.sections))


def _swatch(weighed: Weighed | None, metres: float | None) -> SwatchFields | None:
    if weighed is None:
        return None
    return SwatchFields.model_construct(
        grams=weighed.grams, area=weighed.area_cm2, metres_per_gram=metres
    )
