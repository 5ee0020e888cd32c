"""What is asked of a design read from a pattern: flags as typed into numbers, and into words."""

from __future__ import annotations

from dataclasses import dataclass, replace

from evenround.solver.adapt import main_sections
from evenround.solver.adapt_design import Asked, NewFigure
from evenround.solver.adapt_search import side_count
from evenround.solver.piece import Figure, Gauge
from evenround.solver.suits import Multiple
from evenround.tables.facts import proportions
from evenround.tables.gauges import parse_gauge, swatched
from evenround.tables.lengths import format_length, parse_length
from evenround.tables.plan import Unit
from evenround.tables.rounds.figures import FigureRounds, figure

from .counting import Wish, figure_name, wish_of_figure, wish_of_repeat
from .original import Original

TOLERANCE_CM = 1.5
"""How far the circumference may be from the wish: that of a brief which says nothing."""


class AskError(ValueError):
    """A flag that cannot be met; the text begins with its name."""


@dataclass(frozen=True, slots=True)
class Changes:
    """The flags as typed, None where not given."""

    repeat: str | None = None
    figure: str | None = None
    head: str | None = None
    ease: str | None = None
    gauge: str | None = None
    sectors: str | None = None
    band_only: bool = False

    @property
    def given(self) -> bool:
        """Whether anything is asked at all."""
        texts = (self.repeat, self.figure, self.head, self.ease, self.gauge, self.sectors)
        return any(text is not None for text in texts)


@dataclass(frozen=True, slots=True)
class Request:
    """What is asked, ready for the search: ``gauge`` is the one to work in (None: not known),
    ``place`` the section the repeat is for, ``figure`` its new figure, ``around_cm`` the wish,
    ``head_cm`` the head it is for where that is known. ``words`` say what is asked, ``notes``
    how it was taken."""

    asked: Asked
    gauge: Gauge | None
    place: int | None
    figure: FigureRounds | None
    around_cm: float | None
    words: tuple[str, ...]
    notes: tuple[str, ...]
    head_cm: float | None = None


def request(original: Original, changes: Changes, unit: Unit, bare: Unit | None = None) -> Request:
    """The flags read against the design, lengths told in ``unit``; bare numbers are in ``bare``
    (default: the same). AskError names the flag, what was found, what would be
    right."""
    return _Reader(original, changes, unit, bare or unit).read()


def at_repeat(figure: Multiple, said: Multiple) -> Multiple | None:
    """A figure's multiple at the give at which it is the one said, whatever is over whole repeats;
    with the give said open, as it is. None where the figure has it at no give."""
    if said.give:
        return figure if figure.give and figure.stitches == said.stitches else None
    give = figure.give_of(said.stitches)
    return None if give is None else replace(figure, gives=(give, give))


def figure_at_repeat(figure: Wish, said: Wish) -> Multiple:
    """The same of a figure and a repeat that are both wished for; AskError where they clash."""
    many = at_repeat(figure.multiple, said.multiple)
    if many is None:
        raise AskError(
            f"--repeat: found {said.words} beside --figure {figure.words}; one of them would do"
        )
    return many


class _Reader:
    def __init__(self, original: Original, changes: Changes, unit: Unit, bare: Unit) -> None:
        self.original, self.changes = original, changes
        self.unit, self.bare = unit, bare
        self.words: list[str] = []
        self.notes: list[str] = list(original.notes)
        self.head_cm = original.head_cm

    def read(self) -> Request:
        wish = self.wish()
        place = None if wish is None else self.place()
        gauge = self.gauge()
        around = self.around(gauge)
        asked = Asked(sectors=self.sectors(), band_only=self.changes.band_only)
        if self.changes.band_only and place is None:
            raise AskError("--band-only: needs a --repeat or --figure that the band is to suit")
        if wish is not None and place is not None:
            asked = replace(asked, repeats={place: wish.multiple})
        found = self.figure()
        if found is not None and place is not None:
            asked = replace(asked, figures=self.new_figure(found, place))
        if around is not None and gauge is not None:
            target, reach = around / gauge.width_cm, TOLERANCE_CM / gauge.width_cm
            asked = replace(asked, target=target, reach=reach, even_rounds=self.rounds(gauge))
        said = tuple(self.words), tuple(self.notes)
        return Request(asked, gauge, place, found, around, *said, self.head_cm)

    # --- the repeat -----------------------------------------------------------------------

    def wish(self) -> Wish | None:
        said, name = self.changes.repeat, self.changes.figure
        if said is None and name is None:
            return None
        found = None
        if name is not None:
            try:
                found = wish_of_figure(name)
            except ValueError as error:
                raise AskError(f"--figure: {error}") from None
            self.words.append(f"figure {found.words}")
        if said is not None:
            found = self.repeat(said, found)
        assert found is not None
        self.notes += found.notes
        return found

    def repeat(self, said: str, beside: Wish | None) -> Wish:
        try:
            found = wish_of_repeat(said)
        except ValueError as error:
            raise AskError(f"--repeat: found {said[:40]!r}; {error}") from None
        many = None if beside is None else figure_at_repeat(beside, found)
        if self.original.written is None or not self.original.written.spiral:
            over = found.multiple.remainder
            if over:
                stitches = found.multiple.stitches
                self.notes.append(
                    f"{found.words}: in joined rounds the + {over} of a flat pattern falls away"
                )
                found = Wish(str(stitches), replace(found.multiple, remainder=0))
        self.words.append(f"repeat {found.words}")
        return found if many is None else replace(found, multiple=many)

    def place(self) -> int:
        """The first band; without one the first section below the crown."""
        sections = main_sections(self.original.design.tally)
        bands = [i for i, s in enumerate(sections) if s.section == "band"]
        if len(bands) > 1:
            self.notes.append(
                f"there are {len(bands)} bands; the repeat is for the first, "
                f"{sections[bands[0]].name}"
            )
        if bands:
            return bands[0]
        place = next((i for i, s in enumerate(sections) if s.section != "crown"), None)
        if place is None:
            raise AskError("--repeat: nothing stands below the crown that could have a repeat")
        self.notes.append(f"there is no band; {sections[place].name} are to suit the repeat")
        return place

    def figure(self) -> FigureRounds | None:
        if self.changes.figure is None:
            return None
        return figure(figure_name(self.changes.figure))

    def new_figure(self, found: FigureRounds, place: int) -> dict[int, NewFigure]:
        old = main_sections(self.original.design.tally)[place]
        if old.section not in ("band", "edging"):
            return {}
        terms = found.terms()
        once = len(terms) - 1
        rounds = max(1, round(old.rounds / once)) * once
        if rounds != old.rounds:
            self.notes.append(
                f"{found.name} is worked in {once} rounds: the band has {rounds}, not {old.rounds}"
            )
        new = Figure(tuple(c for c, _ in terms), tuple(g for _, g in terms))
        return {place: NewFigure(new, rounds)}

    # --- gauge, head, sectors ---------------------------------------------------------------

    def gauge(self) -> Gauge | None:
        said, old = self.changes.gauge, self.original.gauge
        if said is None:
            return old
        try:
            stated = parse_gauge(said)
        except ValueError as error:
            raise AskError(f"--gauge: found {said[:40]!r}; {error}") from None
        stitch = self.original.stitches[min(1, len(self.original.stitches) - 1)]
        found = swatched(stitch if stitch in proportions() else "hdc", stated)
        self.words.append(f"gauge {said.strip()}")
        height = found.gauge.height_cm if stated.rounds is not None else 0.0
        if stated.rounds is None:
            self.notes.append("--gauge: no rounds; the numbers of rounds stay as they are")
        return Gauge(found.gauge.width_cm, height)

    def around(self, gauge: Gauge | None) -> float | None:
        """The wished circumference: head and ease, or what the design measures, in a new gauge."""
        changes, original = self.changes, self.original
        if changes.head is not None or changes.ease is not None:
            if gauge is None:
                name = "--head" if changes.head is not None else "--ease"
                raise AskError(
                    f"{name}: the pattern says no gauge; --gauge such as '16 x 12 / 10cm' would do"
                )
            return self.from_head()
        if changes.gauge is None or gauge is None:
            return None
        side = side_count(original.design.tally)
        if original.gauge is not None:
            around = side * original.gauge.width_cm
            self.notes.append(f"the circumference stays {self.shown(around)}, as it was")
            return around
        if original.around_cm is not None:
            self.notes.append(
                f"the circumference wished is the one said, {self.shown(original.around_cm)}"
            )
            return original.around_cm
        self.notes.append("no gauge was said before, so the counts are taken as they are")
        return None

    def from_head(self) -> float:
        original, changes = self.original, self.changes
        head = self.length("--head", changes.head) if changes.head is not None else None
        if head is None:
            if original.head_cm is None:
                raise AskError("--ease: the pattern says no head; --head LENGTH would do")
            head = original.head_cm
        else:
            self.words.append(f"head {self.shown(head)}")
            self.head_cm = head
        if changes.ease is not None:
            ease = self.length("--ease", changes.ease)
            self.words.append(f"ease {self.shown(ease)}")
        else:
            ease = self.old_ease()
        if not 20 <= head + ease <= 200:
            raise AskError(
                f"--head: {self.shown(head)} with an ease of {self.shown(ease)} is no "
                "circumference a piece has; 20 to 200 cm would be right"
            )
        self.notes.append("rounds and depth stay as they were, whatever the head")
        return head + ease

    def old_ease(self) -> float:
        original = self.original
        if original.head_cm is not None and original.around_cm is not None:
            ease = original.around_cm - original.head_cm
            self.notes.append(f"the ease stays {self.shown(ease)}, as the pattern has it")
            return ease
        self.notes.append("the pattern says no ease: taken as 0; --ease says another")
        return 0.0

    def length(self, name: str, text: str) -> float:
        try:
            return parse_length(text, self.bare)
        except ValueError as error:
            raise AskError(f"{name}: found {text[:40]!r}; {error}") from None

    def shown(self, cm: float) -> str:
        return format_length(cm, self.unit, 1 if self.unit == "cm" else 2)

    def sectors(self) -> int | None:
        said = self.changes.sectors
        if said is None:
            return None
        if not said.strip().isdecimal() or not 4 <= int(said) <= 24:
            raise AskError(f"--sectors: found {said[:20]!r}; a number from 4 to 24 would be right")
        if self.original.design.tally.crown is None:
            raise AskError("--sectors: the piece has no crown")
        self.words.append(f"{int(said)} crown sectors")
        return int(said)

    def rounds(self, gauge: Gauge) -> dict[int, int]:
        """Even rounds for the same depth in another gauge; the first even section takes it."""
        old = self.original.gauge
        if old is None or not old.height_cm or not gauge.height_cm:
            return {}
        if abs(old.height_cm - gauge.height_cm) < 1e-9:
            return {}
        sections = main_sections(self.original.design.tally)
        above = [s for s in sections if s.section in ("crown", "even", "band")]
        rounds = sum(s.rounds for s in above)
        more = round(rounds * old.height_cm / gauge.height_cm) - rounds
        place = next((i for i, s in enumerate(sections) if s.section == "even"), None)
        if place is None:
            return {}
        return {place: max(0, sections[place].rounds + more)}
