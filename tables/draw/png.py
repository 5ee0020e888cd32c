"""A picture as PNG, through a library that needs nothing of the system's."""

from __future__ import annotations

MOST = 8000
"""Pixels across at most."""


class PngError(RuntimeError):
    """No PNG can be made; the text says what would help."""


def to_png(svg: str, width: int = 1080) -> bytes:
    """The PNG of an SVG text, ``width`` pixels across, as high as the picture asks for.

    PngError where the extra is not installed or the picture cannot be rendered.
    """
    try:
        import resvg_py
    except ImportError:
        raise PngError(
            "PNG needs the extra: pip install 'evenround[png]'; an .svg needs nothing"
        ) from None
    try:
        return bytes(resvg_py.svg_to_bytes(svg_string=svg, width=width))
    except ValueError as error:
        raise PngError(f"the picture could not be made into a PNG: {error}") from None
