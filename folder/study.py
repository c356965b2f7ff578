"""The whole trip of one pattern: drawing, fold, hull, water. The only place that chains the stages; it holds no formula."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass
from functools import cached_property

from folder.findings import Finding, Report
from folder.fold.check import FOLD_CODES, fold_report
from folder.fold.place import Folded, folded
from folder.fold.remedy import with_remedies
from folder.hull.hull import Hull, hull_of
from folder.hull.shape import (
    EDGE_CODES,
    Difficulty,
    Measures,
    difficulty_of,
    hull_findings,
    measures_of,
    needs_tape,
    sealed_mm3,
)
from folder.pattern.faces import Faces, faces_of
from folder.pattern.pattern import Pattern
from folder.pattern.planar import planar_findings
from folder.water.capacity import Brim, brim
from folder.water.density import Water


@dataclass(frozen=True)
class Load:
    """What a hull carries, g. None where the sheet does not fold to a hull."""

    brim_g: float | None = None
    surface_tension_g: float | None = None
    low_g: float | None = None
    likely_g: float | None = None
    high_g: float | None = None
    limited_by: str | None = None


@dataclass(frozen=True, eq=False)
class Study:
    """Everything there is to know of a pattern; each stage is worked out when it is first asked for."""

    pattern: Pattern
    water: Water

    @cached_property
    def faces(self) -> Faces:
        """The sheet cut into faces."""
        return faces_of(self.pattern)

    @cached_property
    def folded(self) -> Folded:
        """The sheet folded."""
        return folded(self.faces)

    @cached_property
    def hull(self) -> Hull | None:
        """The vessel; None when there is no floor."""
        return hull_of(self.folded, self.pattern.sheet.thickness_um)

    @cached_property
    def _fold(self) -> tuple[Report, bool]:
        return fold_report(self.pattern, self.folded)

    @cached_property
    def _flat(self) -> list[Finding]:
        """What drawing and fold have to say."""
        return [*planar_findings(self.pattern, self.faces), *self._fold[0].findings]

    @cached_property
    def report(self) -> Report:
        """All findings of all stages, worst first."""
        found = [*with_remedies(self.pattern, self.folded, self._flat), *hull_findings(self.hull, self.pattern)]
        if self.folds:
            return Report.of(self._priced(f) for f in found)
        # What the edge does is idle talk while the sheet does not fold.
        return Report.of(f for f in found if f.code not in EDGE_CODES)

    @cached_property
    def folds(self) -> bool:
        """The sheet folds to this shape, cuts and open seams aside."""
        return not any(f.level == "stop" and f.code in FOLD_CODES for f in self._flat)

    @property
    def needs_cut(self) -> bool:
        """Some inner vertex does not close, or a cut is drawn without which it would not."""
        return self._fold[1]

    @property
    def needs_tape(self) -> bool:
        """It folds, but the edge line dips below the rim the walls could give."""
        return self.folds and self.hull is not None and needs_tape(self.hull)

    @cached_property
    def measures(self) -> Measures:
        """What the hull measures."""
        return measures_of(self.pattern, self.folded, self.hull)

    @cached_property
    def difficulty(self) -> Difficulty:
        """How hard the pattern is to fold."""
        return difficulty_of(self.pattern)

    @cached_property
    def brim(self) -> Brim | None:
        """The brim load; None when the sheet does not fold to a hull."""
        if self.hull is None or not self.folds:
            return None
        return brim(self.hull.skin, self.hull.weight, self.water)

    @cached_property
    def load(self) -> Load:
        """What the hull carries."""
        if self.brim is None:
            return Load()
        return Load(self.brim.load_g, self.brim.surface_tension_g)

    def _priced(self, finding: Finding) -> Finding:
        """A finding about the edge line with what it costs in load."""
        sealed = None if self.hull is None else sealed_mm3(self.hull, finding)
        if self.hull is None or self.brim is None or sealed is None:
            return finding
        lost = self.water.density_g_per_mm3 * sealed - self.hull.weight.mass_g - self.brim.load_g
        if lost < 0.5:
            return finding
        cause = "The cuts cost" if finding.code == "cut-drawn" else "It costs"
        return dataclasses.replace(finding, detail=f"{finding.detail} {cause} {lost:.0f} g of load.")


def study(pattern: Pattern, *, temp_c: float = 20.0) -> Study:
    """The study of a pattern in fresh water of a temperature. BadRequest when the water is not liquid."""
    return Study(pattern, Water.of(temp_c))
