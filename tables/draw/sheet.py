"""One sheet of paper to draw on: the only module that knows the drawing library.

It escapes whatever is written (the library does so for texts, not for attributes), says in
<title> and <desc> what a picture shows, and carries the colours as classes, light and dark.
Nothing it writes asks for anything from anywhere, and there are no ids, so that many pictures
can stand in one page.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any
from xml.sax.saxutils import escape

from .lettering import TEXT

WIDTH = 360.0
"""Width of a sheet in its own units: what is drawn can be read at as many pixels."""

_LIGHT = {
    "paper": "#fffdf8",
    "ink": "#2a2438",
    "soft": "#6c6478",
    "faint": "#d9d2de",
    "one": "#d7e3da",
    "two": "#f0dfc8",
    "even": "#1d5c4d",
    "odd": "#8a2f55",
    "wish": "#2f5aa8",
}
_DARK = {
    "paper": "#1b1822",
    "ink": "#efeaf5",
    "soft": "#b3aabf",
    "faint": "#453e52",
    "one": "#2f4a40",
    "two": "#544430",
    "even": "#8fd6c0",
    "odd": "#f0a3c4",
    "wish": "#9dbcf5",
}


def _rules(colours: dict[str, str]) -> str:
    """Colour rules; a class says what a thing is, never what colour it has."""
    fills = {"paper": "paper", "ink": "ink", "soft": "soft", "one": "one", "two": "two"}
    lines = {"line": "ink", "thin": "soft", "grid": "faint", "wish": "wish"}
    lines |= {"odd": "odd", "even": "even"}
    dots = {"dot-odd": "odd", "dot-even": "even", "dot-line": "ink"}
    rules = [f".er-{name}{{fill:{colours[colour]}}}" for name, colour in fills.items()]
    rules += [f".er-{name}{{stroke:{colours[colour]};fill:none}}" for name, colour in lines.items()]
    rules += [f".er-{name}{{fill:{colours[colour]}}}" for name, colour in dots.items()]
    rules.append(f".er-halo{{stroke:{colours['paper']}}}")
    return "".join(rules)


_SHAPES = (
    ".er-draw text{font-family:system-ui,'DejaVu Sans',Verdana,sans-serif}"
    ".er-line,.er-odd,.er-even{stroke-width:1.3;stroke-linecap:round;stroke-linejoin:round}"
    ".er-thin{stroke-width:.8}.er-grid{stroke-width:.7}"
    ".er-dash{stroke-dasharray:3 2.5}"
    ".er-wish{stroke-width:1.4;stroke-dasharray:5 3}"
    ".er-halo{stroke-width:3;stroke-linejoin:round;paint-order:stroke}"
    ".er-strong{font-weight:600}"
)

STYLE = f"{_SHAPES}{_rules(_LIGHT)}@media (prefers-color-scheme:dark){{{_rules(_DARK)}}}"
"""The rules of all pictures; a page may carry them once and ask for pictures without."""


class NotDrawnError(ValueError):
    """There is no such picture of this piece; the text says why."""


def number(value: float) -> str:
    """A coordinate to a tenth of a unit, as short as it goes."""
    text = f"{value:.1f}"
    return text.removesuffix(".0") if text != "-0.0" else "0"


def points(*pairs: tuple[float, float]) -> str:
    """A path through points."""
    first, *rest = pairs
    start = f"M{number(first[0])} {number(first[1])}"
    return start + "".join(f"L{number(x)} {number(y)}" for x, y in rest)


class Sheet:
    """A picture in the making. ``title`` is its name, ``desc`` says in words what it shows."""

    def __init__(self, title: str, desc: str, *, what: str, width: float = WIDTH) -> None:
        import drawsvg  # type: ignore[import-untyped]

        self._lib = drawsvg
        self.width = width
        self.title, self.desc, self.what = title, desc, what
        self._root: list[Any] = []
        self._into: list[Any] = self._root

    # --- shapes ---------------------------------------------------------------------------

    def group(self, look: str = "", **data: object) -> Group:
        """What is drawn inside ``with sheet.group(...)`` stands in one <g>."""
        return Group(self, self._lib.Group(**_attributes(look, data)))

    def path(self, d: str, look: str, **data: object) -> None:
        """A path of the classes ``look``, such as "line"."""
        self._add(self._lib.Path(d, **_attributes(look, data)))

    def line(self, x1: float, y1: float, x2: float, y2: float, look: str, **data: object) -> None:
        """A straight line."""
        self.path(points((x1, y1), (x2, y2)), look, **data)

    def circle(self, x: float, y: float, r: float, look: str, **data: object) -> None:
        """A circle."""
        at = (number(x), number(y), number(r))
        self._add(self._lib.Circle(*at, **_attributes(look, data)))

    def box(
        self, x: float, y: float, width: float, height: float, look: str, **data: object
    ) -> None:
        """A rectangle."""
        at = (number(x), number(y), number(width), number(height))
        self._add(self._lib.Rectangle(*at, **_attributes(look, data)))

    def text(
        self,
        x: float,
        y: float,
        words: str,
        look: str = "ink",
        *,
        anchor: str = "start",
        size: float = TEXT,
        **data: object,
    ) -> None:
        """One line of text, its foot at ``y``; ``anchor`` is start, middle or end."""
        more = _attributes(look, data)
        if anchor != "start":
            more["text_anchor"] = anchor
        text = self._lib.Text(_plain(words), number(size), number(x), number(y), **more)
        self._add(text)

    # --- the whole ------------------------------------------------------------------------

    def svg(self, height: float, *, styled: bool = True) -> str:
        """The picture as SVG text; ``styled`` says whether it carries its colours itself."""
        drawing = self._lib.Drawing(
            number(self.width),
            number(height),
            role="img",
            **{"class": "er-draw", "data-picture": _quoted(self.what)},
        )
        drawing.append(self._lib.Title(_plain(self.title)))
        drawing.append(self._lib.Raw(f"<desc>{escape(_plain(self.desc))}</desc>"))
        if styled:
            drawing.append(self._lib.Raw(f"<style>{STYLE}</style>"))
        paper = (0, 0, number(self.width), number(height))
        drawing.append(self._lib.Rectangle(*paper, **_attributes("paper", {})))
        drawing.extend(self._root)
        text: str = drawing.as_svg(header="")
        # what the library always writes, and no picture here needs
        for unused in ("<defs>\n</defs>\n", ' xmlns:xlink="http://www.w3.org/1999/xlink"\n    '):
            text = text.replace(unused, "", 1)
        return text

    def _add(self, element: Any) -> None:
        self._into.append(element)


class Group:
    """A <g> that takes what is drawn while it is open."""

    def __init__(self, sheet: Sheet, element: Any) -> None:
        self._sheet, self._element = sheet, element
        self._outer: Any = None

    def __enter__(self) -> Group:
        self._sheet._add(self._element)
        self._outer, self._sheet._into = self._sheet._into, self._element
        return self

    def __exit__(self, *_: object) -> None:
        self._sheet._into = self._outer


def _attributes(look: str, data: dict[str, object]) -> dict[str, Any]:
    """Classes and data-* attributes, escaped; what is None is left out."""
    out: dict[str, Any] = {}
    if look:
        out["class"] = " ".join(f"er-{word}" for word in look.split())
    for name, value in data.items():
        if value is not None:
            out[f"data-{name.replace('_', '-')}"] = _quoted(_said(value))
    return out


def _said(value: object) -> str:
    """A number as it is, to a thousandth where it is a length; a text on one line."""
    if isinstance(value, float):
        return f"{round(value, 3) + 0.0:g}" if abs(value) < 1000 else f"{value:.3f}"
    if isinstance(value, Iterable) and not isinstance(value, str):
        return " ".join(_said(each) for each in value)
    return _plain(str(value))


def _plain(text: str) -> str:
    from evenround.tables.words import clean

    return clean(text)


def _quoted(text: str) -> str:
    return escape(text, {'"': "&quot;"})
