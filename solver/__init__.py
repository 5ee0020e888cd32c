"""Numbers only: gauge, geometry, sections, the integer model and the search.

The front door: everything public is named here once. Importing it is light; ortools is imported
when a piece is solved.
"""

from .candidate import (
    PARTS,
    BandMeasure,
    Breach,
    Candidate,
    Fit,
    Measures,
    NearMiss,
    Notice,
    Nudge,
    Requirement,
    Yarn,
    YarnPart,
)
from .fit import fit
from .gauge import circumference_error, cupped_disc_gauge, disc_gauge, swatch_gauge
from .given import tally_of
from .measure import measure
from .piece import (
    Band,
    Brim,
    Crown,
    Edging,
    Even,
    Figure,
    Gauge,
    Limits,
    Piece,
    Prices,
    Rhythm,
    Swatch,
)
from .recount import InternalCheckError, recount
from .tally import SectionTally, Tally

__all__ = [
    "PARTS",
    "Band",
    "BandMeasure",
    "Breach",
    "Brim",
    "Candidate",
    "Crown",
    "Edging",
    "Even",
    "Figure",
    "Fit",
    "Gauge",
    "InternalCheckError",
    "Limits",
    "Measures",
    "NearMiss",
    "Notice",
    "Nudge",
    "Piece",
    "Prices",
    "Requirement",
    "Rhythm",
    "SectionTally",
    "Swatch",
    "Tally",
    "Yarn",
    "YarnPart",
    "circumference_error",
    "cupped_disc_gauge",
    "disc_gauge",
    "fit",
    "measure",
    "recount",
    "swatch_gauge",
    "tally_of",
]
