"""Drawings of a candidate from its own counts, as SVG text: nothing is solved or measured again.

Every function takes a plan and a candidate and gives one whole picture. Numbers shown are the
candidate's; they also stand in data-* attributes, lengths there always in centimetres.
"""

from .band import band_chart, bands_chart, charted_sections
from .counts import counts_plot
from .crown import crown_view
from .png import PngError, to_png
from .sector import sector_chart
from .sheet import STYLE, NotDrawnError
from .side import side_view

__all__ = [
    "STYLE",
    "NotDrawnError",
    "PngError",
    "band_chart",
    "bands_chart",
    "charted_sections",
    "counts_plot",
    "crown_view",
    "sector_chart",
    "side_view",
    "to_png",
]
