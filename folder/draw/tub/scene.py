"""A moment in the tub painted: all there is to see, from back to front."""

from __future__ import annotations

from folder.draw.hull.light import mixed
from folder.draw.picture import Area, Box, Line, Picture, box_round
from folder.draw.style import WATER
from folder.draw.tub.foil import hull_marks
from folder.draw.tub.moment import Facet, Mark, Moment
from folder.draw.tub.objects import lit_place, object_marks
from folder.draw.tub.water import pool_marks, shadow_marks, stream_marks, tub_behind


def marks_of(moment: Moment) -> list[Mark]:
    """The moment from back to front."""
    seen = moment.view.axes @ moment.attitude.turn
    far, near = hull_marks(moment, seen)
    at_rest = [body for body in moment.bodies if body.loose is None and body.lift_mm <= 0.0]
    falling = [body for body in moment.bodies if body.loose is None and body.lift_mm > 0.0]
    loose = [body for body in moment.bodies if body.loose is not None]
    return [
        *tub_behind(moment), *shadow_marks(moment), *object_marks(moment, loose, seen), *far, *lit_place(moment),
        *object_marks(moment, at_rest, seen), *pool_marks(moment), *stream_marks(moment), *near, *object_marks(moment, falling, seen),
    ]  # fmt: skip


def tub_picture(moment: Moment, margin_mm: float = 12.0) -> Picture:
    """The moment as a picture for wherever pictures are shown: the hull in a frame full of water."""
    marks: list[Area | Line] = []
    for mark in marks_of(moment):
        points = tuple((float(x), float(y)) for x, y in mark.points)
        if isinstance(mark, Facet):
            fill = mark.fill if mark.opacity >= 1.0 else mixed(WATER, mark.fill, mark.opacity)
            marks.append(Area((points,), fill, "thin" if mark.edge else None))
        else:
            marks.append(Line(points, "outline", weight=2.0 * mark.width, colour=mark.colour))
    frame: Box = box_round(p for mark in marks if isinstance(mark, Line) for p in mark.points).grown(margin_mm)
    return Picture((Area((frame.corners,), WATER), *marks), frame)
