"""Numbers only: gauge, geometry, sections, the integer model and the search.

The front door of the main job and of ``grade``; the other jobs (adapt, rank, why, sure ...) are
imported from their modules. Importing it is light; ortools is imported when a piece is solved.
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
from .family import (
    FAMILY_PARTS,
    KEPT,
    USUALLY_KEPT,
    Conflict,
    Family,
    FamilyMeasures,
    FamilyPrices,
    Grade,
    Rules,
    Shared,
    family_measure,
)
from .fit import fit
from .gauge import circumference_error, cupped_disc_gauge, disc_gauge, swatch_gauge
from .given import tally_of
from .grade import grade
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
    "FAMILY_PARTS",
    "KEPT",
    "PARTS",
    "USUALLY_KEPT",
    "Band",
    "BandMeasure",
    "Breach",
    "Brim",
    "Candidate",
    "Conflict",
    "Crown",
    "Edging",
    "Even",
    "Family",
    "FamilyMeasures",
    "FamilyPrices",
    "Figure",
    "Fit",
    "Gauge",
    "Grade",
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
    "Rules",
    "SectionTally",
    "Shared",
    "Swatch",
    "Tally",
    "Yarn",
    "YarnPart",
    "circumference_error",
    "cupped_disc_gauge",
    "disc_gauge",
    "family_measure",
    "fit",
    "grade",
    "measure",
    "recount",
    "swatch_gauge",
    "tally_of",
]
