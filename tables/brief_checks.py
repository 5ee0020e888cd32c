"""What the fields of a brief mean together: order of sections, sizes, gauges, contradictions.

Each check is a small function that yields faults; ``faults_in`` runs them all, so that a
person sees everything at once.
"""

from __future__ import annotations

from collections.abc import Iterator

from .brief_family import family_faults
from .brief_faults import Fault, Path, fault
from .brief_fields import BriefFields, SizeFields
from .brief_figure import FigureError, resolve
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
from .facts import usual_flares
from .gauges import StatedGauge

_LEAST_AROUND = 15.0


def faults_in(brief: BriefFields) -> Iterator[Fault]:
    """Every fault that takes more than one field to see."""
    yield from _order(brief)
    yield from _names(brief)
    yield from _start(brief)
    yield from _gauges(brief)
    if "gauge_spread" in brief.model_fields_set:
        yield from _spread(brief)
    yield from _sizes(brief)
    yield from _circumference(brief)
    yield from _brim_by_size(brief)
    yield from family_faults(brief)
    for i, section in enumerate(brief.sections):
        for each in _section(section, brief):
            yield Fault(("sections", i, *each.path), each.text)


def _order(brief: BriefFields) -> Iterator[Fault]:
    seen: list[str] = []
    for i, section in enumerate(brief.sections):
        at = ("sections", i, "kind")
        if section.kind == "crown" and seen:
            right = f"a crown comes first, and once: there is nothing to work the {seen[0]} on"
            if seen[0] == "crown":
                right = "there is one crown, and it comes first"
            yield fault(at, "crown", right)
        elif section.kind in {"brim", "edging"} and not seen:
            yield fault(at, section.kind, f"there is nothing to work the {section.kind} on")
        elif "edging" in seen:
            yield fault(at, section.kind, "an edging is the last section, and there is one")
        elif "brim" in seen and section.kind != "edging":
            yield fault(at, section.kind, "after the brim only an edging may come")
        seen.append(section.kind)


def _names(brief: BriefFields) -> Iterator[Fault]:
    for key, things in (("sizes", brief.sizes), ("sections", brief.sections)):
        seen: set[str] = set()
        for i, thing in enumerate(things):
            if thing.name is not None and thing.name.casefold() in seen:
                yield fault((key, i, "name"), thing.name, f"each of the {key} has its own name")
            if thing.name is not None:
                seen.add(thing.name.casefold())


def _start(brief: BriefFields) -> Iterator[Fault]:
    crown = any(isinstance(section, CrownFields) for section in brief.sections)
    if brief.start == "ring" and not crown:
        kind = brief.sections[0].kind
        right = f"there is nothing to work the {kind} on: a crown first, or start on a chain"
        yield fault(("start",), "ring", right)
    if brief.start == "chain" and crown:
        yield fault(("start",), "chain", "a crown is worked from a ring")


def _gauges(brief: BriefFields) -> Iterator[Fault]:
    if not brief.gauge and brief.yarn_class is None:
        text = 'missing, and needed; such as hdc = "16 x 12 / 10cm", or a yarn_class from 1 to 6'
        yield Fault(("gauge",), text)
    for stitch, entry in brief.gauge.items():
        if isinstance(entry, DiscFields):
            for key, text in _disc(entry):
                yield Fault(("gauge", stitch, key), text)


def _spread(brief: BriefFields) -> Iterator[Fault]:
    """A spread is a small part of every gauge it is about, else it says nothing of a hat."""
    said = brief.gauge_spread
    for entry in brief.gauge.values():
        if not isinstance(entry, StatedGauge):
            continue
        counted = {"stitches": entry.stitches_counted, "rounds": entry.rounds_counted}
        for name, short in (("stitches", "sts"), ("rounds", "rounds")):
            per_over, spread = getattr(entry, name), getattr(said, name)
            if counted[name] or per_over is None or name not in said.model_fields_set:
                continue
            per_10 = per_over * 10 / entry.over_cm
            if spread * 10 / said.over > per_10 / 4:
                right = f"at most a quarter of the gauge, {per_10:.3g} {short} in 10 cm"
                yield fault(("gauge_spread", name), spread, right)


def _disc(entry: DiscFields) -> Iterator[tuple[str, str]]:
    if entry.lies_flat is False:
        for key in ("along", "edge"):
            if getattr(entry, key) is None:
                right = "a disc that does not lie flat is measured along the fabric and round its"
                yield key, f"missing, and needed; {right} edge"
        width = entry.along
    else:
        if entry.across is None:
            yield "across", "missing, and needed; the width of the disc"
        for key in ("along", "edge"):
            if getattr(entry, key) is not None:
                yield key, "for a disc that cups: say lies_flat = false, and leave out across"
        width = entry.across
    if width is not None and entry.hole >= width:
        yield "hole", f"found {entry.hole:g} cm; a hole is narrower than its disc"


def _rows(brief: BriefFields) -> list[tuple[Path, SizeFields | BriefFields]]:
    """Where each size is said, and the table that says it: the brief itself when there is one."""
    rows: list[tuple[Path, SizeFields | BriefFields]] = []
    rows += [(("sizes", i), size) for i, size in enumerate(brief.sizes)]
    return rows or [((), brief)]


def _sizes(brief: BriefFields) -> Iterator[Fault]:
    if brief.sizes and brief.head is not None:
        yield fault(("head",), brief.head, "each of the sizes says its own head; leave this out")
    for at, size in _rows(brief):
        around = size.circumference or brief.circumference
        if size.head is not None and around is not None:
            text = "a circumference is said instead of head and ease, not beside them"
            yield Fault((*at, "circumference"), text)
        ease = size.ease if size.ease is not None else brief.ease
        if ease is not None and size.head is None:
            key: Path = ("ease",) if size.ease is None else (*at, "ease")
            yield fault(key, f"{ease:g} cm", "ease goes with a head, and there is none")
        if size.head is not None and size.head + (ease or 0) < _LEAST_AROUND:
            text = f"{size.head:g} cm and ease {ease:g} leave less than {_LEAST_AROUND:g} cm around"
            yield Fault((*at, "ease"), text)


def _circumference(brief: BriefFields) -> Iterator[Fault]:
    tubes = [s for s in brief.sections if isinstance(s, EvenFields | BandFields)]
    own = bool(tubes) and all(s.circumference is not None for s in tubes)
    for at, size in _rows(brief):
        around = size.circumference or brief.circumference
        if size.head is None and around is None and not own:
            right = "a head or a circumference, or one for each even and band section"
            yield Fault((*at, "head"), f"missing, and needed; {right}")
        if isinstance(around, Run) and len(tubes) < 2:
            text = "one that runs from a width to another wants two or more even or band sections"
            yield Fault((*at, "circumference"), text)
        if size.head is not None:
            for j, section in enumerate(brief.sections):
                if isinstance(section, EvenFields | BandFields) and section.circumference:
                    text = "for a piece that is no hat: a head is said as well"
                    yield Fault(("sections", j, "circumference"), text)


def _brim_by_size(brief: BriefFields) -> Iterator[Fault]:
    brim = next((s for s in brief.sections if isinstance(s, BrimFields)), None)
    for i, size in enumerate(brief.sizes):
        for key in ("brim_width", "brim_flare", "brim_firm_rounds"):
            if getattr(size, key) is None:
                continue
            if brim is None:
                yield fault(("sizes", i, key), getattr(size, key), "the piece has no brim")
            elif key == "brim_flare" and brim.fullness is not None:
                text = "the brim says a fullness; flare and fullness exclude one another"
                yield fault(("sizes", i, key), size.brim_flare, text)


def _section(section: AnySection, brief: BriefFields) -> Iterator[Fault]:
    if isinstance(section, CrownFields | BrimFields):
        low, high = section.sector_range
        if section.sectors is not None and not low <= section.sectors <= high:
            right = f"sector_range goes from {low} to {high}; wish for one of these, or widen it"
            yield fault(("sectors",), section.sectors, right)
    if isinstance(section, BrimFields):
        yield from _brim(section, brief)
    if isinstance(section, BandFields | EdgingFields):
        try:
            resolved = resolve(section)
        except FigureError as error:
            text = error.right if error.found is None else fault((), error.found, error.right).text
            yield Fault((error.key,), text)
        else:
            yield from _remainder(section, resolved.figure.counts[0], brief)
    if isinstance(section, BandFields):
        yield from _measured(section)


def _brim(section: BrimFields, brief: BriefFields) -> Iterator[Fault]:
    every = bool(brief.sizes)
    if section.width is None and not (every and all(s.brim_width for s in brief.sizes)):
        said = section.flare is not None or section.fullness is not None
        found = "a flare without width" if said else "no width"
        yield Fault(("width",), f"found {found}; say how wide the brim is, such as 6cm")
    if section.flare is not None and section.fullness is not None:
        right = "flare and fullness exclude one another; a fullness is for brims over flat"
        yield fault(("fullness",), section.fullness, right)
    flares = every and all(s.brim_flare is not None for s in brief.sizes)
    if section.flare is None and section.fullness is None and not flares:
        text = f"missing, and needed; degrees from straight down, usually: {usual_flares()}"
        yield Fault(("flare",), text)


def _remainder(
    section: BandFields | EdgingFields, repeat: int, brief: BriefFields
) -> Iterator[Fault]:
    if section.remainder is None:
        return
    if section.remainder >= repeat:
        right = f"a remainder is less than the repeat, {repeat}"
        yield fault(("remainder",), section.remainder, right)
    over = section.repeat.over if section.repeat is not None else 0
    if over and brief.rounds == "spiral" and section.remainder != over % repeat:
        yield fault(("remainder",), section.remainder, f"the repeat says + {over}")


def _measured(section: BandFields) -> Iterator[Fault]:
    if section.measured_give is not None and section.measured_repeat is None:
        text = "how many plain stitches the measured_repeat had; say that as well"
        yield fault(("measured_give",), section.measured_give, text)
