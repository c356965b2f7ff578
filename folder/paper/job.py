"""What is to be printed of a design, on what, and for which object; what several kinds of pages need is worked out once."""

from __future__ import annotations

from functools import cached_property

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from folder.cargo.item import Item
from folder.cargo.predict import Cargo, predict
from folder.cargo.vessel import Vessel, vessel_of
from folder.draw.steps.panel import Panel, panels
from folder.findings import Point
from folder.fold.sequence.steps import FoldSequence, fold_sequence
from folder.geometry.space import Bools
from folder.paper.design import Design
from folder.paper.pages import PaperName
from folder.practice.counted import joined_prediction
from folder.water.fluid import Water

CARD_ITEM = "us-cent"
"""The object of a design card when none is named: a common coin."""


class PrintJob(Struct, frozen=True, dict=True):
    """What is to be printed of a design, on what, and the object its card is for."""

    design: Design
    water: Water
    paper: PaperName
    item: Item
    rules: str = ""
    """The rules of the event it is for, in one line; nothing where no event is open."""
    forecast: Cargo | None = None
    """What the model alone says of the cargo, where that is known already."""

    @cached_property
    def order(self) -> FoldSequence:
        """The order of folds."""
        return fold_sequence(self.design.pattern, self.design.folded)

    @cached_property
    def panels(self) -> tuple[Panel, ...]:
        """A panel for each step."""
        design = self.design
        return tuple(panels(design.pattern, self.order, self.floor, design.folded, design.layering))

    @cached_property
    def cargo(self) -> Cargo | None:
        """The likely cargo of the object, by model and trials; None where the design carries nothing."""
        if self._vessel is None:
            return None
        return joined_prediction(self._vessel, self.item, self.design.joined, forecast=self.model_cargo)[0]

    @cached_property
    def model_cargo(self) -> Cargo | None:
        """The likely cargo as the model alone has it."""
        return self.forecast or (None if self._vessel is None else predict(self._vessel, self.item))

    @cached_property
    def _vessel(self) -> Vessel | None:
        hull, load = self.design.hull, self.design.model_load or self.design.load
        return None if hull is None or load is None else vessel_of(hull, self.water, load)

    def of_pupil(self, name: str) -> PrintJob | None:
        """The same for a pupil; None where no trial of that pupil is known."""
        design = self.design.of_pupil(name)
        return None if design is None else replace(self, design=design, forecast=self.model_cargo)

    @property
    def floor(self) -> Bools:
        """(f,) the faces that are the floor."""
        hull = self.design.hull
        return hull.floor_faces if hull else np.zeros(self.design.folded.faces.count, dtype=np.bool_)


def dimples_of(job: PrintJob) -> list[Point]:
    """Places on the flat sheet where round objects of the first layer come to rest; none for objects that do not roll."""
    folded, hull = job.design.folded, job.design.hull
    if hull is None or not job.item.rolls or job.cargo is None:
        return []
    places = []
    upright = job.floor & (folded.normals[:, 2] > 0)
    for x, y in (job.cargo.stack.first.places_mm + hull.offset).tolist():
        for face in np.nonzero(upright)[0].tolist():
            motion = folded.motions[face]
            flat = motion[:2, :2].T @ (np.array([x, y]) - motion[:2, 3])
            if folded.faces.face_at((float(flat[0]), float(flat[1]))) == face:
                places.append((float(flat[0]), float(flat[1])))
                break
    return places
