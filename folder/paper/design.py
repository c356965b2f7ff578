"""A design: a pattern with what is known of it, as the card and the compare sheet show it."""

from __future__ import annotations

from msgspec import Struct
from msgspec.structs import replace

from folder.draw.chart import Spread
from folder.draw.hull.solid import solid
from folder.draw.hull.view import good_view
from folder.draw.picture import Picture
from folder.draw.sheet.flat import FaceRing, face_rings
from folder.fold.layers.order import Layering
from folder.fold.place import Folded
from folder.hull.hull import Hull
from folder.pattern.pattern import Pattern
from folder.practice.estimate import JoinedEstimate
from folder.water.working_load import WorkingLoad

NO_LOAD = "carries nothing yet"


class Design(Struct, frozen=True, eq=False):
    """A pattern, folded, as a hull, and what it carries; None where it is no hull or carries nothing."""

    pattern: Pattern
    folded: Folded
    hull: Hull | None = None
    load: WorkingLoad | None = None
    folds: bool = True
    """What does not fold has neither walls nor rim to tell of."""
    verdict: str = ""
    """The verdict's sentence."""
    sound: bool = True
    """The verdict is good: it may be folded and floated."""
    level_at: str = ""
    """Where the load must stand, in words; nothing where that is the middle of the floor."""
    standing: str = ""
    """Till when a hand must hold it, in words; nothing where it stands by itself."""
    joined: JoinedEstimate | None = None
    """What trials taught; None without any. `load` then has it in its low, likely and high."""
    model_load: WorkingLoad | None = None
    """The load as the model alone has it, by which objects are laid; that is `load` where it is not given."""

    layering: Layering | None = None
    """The order of its layers, where it has been found already."""

    @property
    def warning(self) -> str:
        """What is said across its pages; nothing when all is well."""
        return "" if self.sound else self.verdict

    @property
    def floor(self) -> tuple[FaceRing, ...]:
        """The floor's faces on the sheet."""
        if self.hull is None:
            return ()
        faces = self.folded.faces
        return tuple(face_rings(faces, face)[0] for face in range(faces.count) if self.hull.floor_faces[face])

    @property
    def spread(self) -> Spread:
        """Its row in a chart of loads."""
        if self.load is None:
            return Spread(self.pattern.name, None, text=NO_LOAD)
        low_likely_high = (self.load.low_g, self.load.likely_g, self.load.high_g)
        return Spread(self.pattern.name, low_likely_high, self.load.brim_g)

    def of_pupil(self, name: str) -> Design | None:
        """The design as a pupil is likely to build it; None where no trial of that pupil is known."""
        if self.joined is None or self.load is None or not sum(self.joined.evidence.n_of(name)):
            return None
        joined = replace(self.joined, pupil=name)
        found = joined.in_grams
        load = replace(self.load, low_g=found.low, likely_g=found.likely, high_g=found.high)
        return replace(self, joined=joined, load=load, model_load=self.model_load or self.load)

    def drawn(self) -> Picture:
        """The folded sheet, seen so that its floor shows; true scale."""
        floor = None if self.hull is None else self.hull.floor_faces
        return solid(self.folded, good_view(self.folded), layering=self.layering, floor=floor)
