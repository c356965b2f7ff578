"""The hull in the tub: its plates with their edges, what is under water seen through it.

near   what hides the inside of the hull; its part under water is seen through the water
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from msgspec.structs import replace

from folder.draw.hull.light import mixed
from folder.draw.hull.plates import Plate, painted
from folder.draw.style import INK, WATER
from folder.draw.tub.moment import Facet, InkLine, Mark, Moment
from folder.draw.tub.tone import wet_tones
from folder.geometry.space import Floats


def hull_marks(moment: Moment, seen: Floats) -> tuple[list[Mark], list[Mark]]:
    """The plates with their edges, behind what is in the hull and before it. `seen` (3, 3) are the eye's axes in the hull's frame."""
    shell, attitude = moment.shell, moment.attitude
    turn, sunk = attitude.turn, np.array([0.0, 0.0, -attitude.draft_mm])
    near = {plate.face for plate in shell.plates if shell.is_near(plate, seen[2])}
    plates: list[Plate] = []
    for plate in shell.plates:
        moved = plate.moved(turn, sunk)
        plates += _parted(moved) if plate.face in near and not moment.drowned else [_drowned(moved, moment.drowned)]
    if shell.rough:
        depth = [float((plate.rings[0] @ moment.view.axes[2]).mean()) for plate in plates]
        plates = [plates[k] for k in np.argsort(depth, kind="stable").tolist()]
        painted_plates = [found for plate in plates for found in painted([plate], moment.view, np.zeros(3))]
    else:
        painted_plates = painted(plates, moment.view, np.zeros(3))
    behind: list[Mark] = []
    before: list[Mark] = []
    for plate, area in painted_plates:
        into = before if plate.face in near else behind
        into.append(Facet(np.array(area.rings[0]), area.fill or WATER))
        into += _edges(moment, plate, wet_side=plate.face in near)
    return behind, before


def _parted(plate: Plate) -> list[Plate]:
    """A plate of the outside, over and under the water."""
    below, above = _cut(plate.rings[0])
    parts = []
    if len(below) > 2:
        parts.append(replace(plate, rings=(below,), front=wet_tones(plate.front), back=wet_tones(plate.back), tinted=True))
    if len(above) > 2:
        parts.append(replace(plate, rings=(above,)))
    return parts


def _drowned(plate: Plate, share: float) -> Plate:
    """A plate of a hull that goes under."""
    if share <= 0.0:
        return plate
    return replace(plate, front=wet_tones(plate.front, 0.6 * share), back=wet_tones(plate.back, 0.6 * share))


def _edges(moment: Moment, plate: Plate, *, wet_side: bool) -> Iterator[InkLine]:
    """The rim thick, folds thin; under water both fade. Of a plate that was parted each part has its own; `tinted` is the wet one."""
    for sides, width in ((moment.shell.folds[plate.face], 0.3), (moment.shell.rims[plate.face], 0.9)):
        for ends in moment.attitude.world(sides):
            for part, is_wet in _stretches(ends) if wet_side and not moment.drowned else [(ends, False)]:
                if wet_side and is_wet != plate.tinted and not moment.drowned:
                    continue
                faded = is_wet or moment.drowned > 0.5
                yield InkLine(part @ moment.view.axes[:2].T, mixed(INK, WATER, 0.6) if faded else INK, width)
    if wet_side and not plate.tinted and not moment.drowned:
        touching = plate.rings[0][np.abs(plate.rings[0][:, 2]) < 1e-9]
        if len(touching) == 2:
            yield InkLine(touching @ moment.view.axes[:2].T, "#FFFFFF", 0.6)


def _stretches(ends: Floats) -> list[tuple[Floats, bool]]:
    """A side (2, 3) over and under the water: each part, and whether it is under."""
    (za, zb) = ends[:, 2]
    if (za < 0.0) == (zb < 0.0):
        return [(ends, bool(za < 0.0))]
    crossing = ends[0] + (za / (za - zb)) * (ends[1] - ends[0])
    return [(np.array([ends[0], crossing]), bool(za < 0.0)), (np.array([crossing, ends[1]]), bool(zb < 0.0))]


def _cut(world: Floats) -> tuple[Floats, Floats]:
    """The parts of a polygon (n, 3) under and over the water."""
    z = world[:, 2]
    if (z >= 0.0).all():
        return world[:0], world
    if (z <= 0.0).all():
        return world, world[:0]
    below: list[Floats] = []
    above: list[Floats] = []
    for a, b in zip(world, np.roll(world, -1, axis=0), strict=True):
        (below if a[2] < 0.0 else above).append(a)
        if (a[2] < 0.0) != (b[2] < 0.0):
            crossing = a + (a[2] / (a[2] - b[2])) * (b - a)
            crossing[2] = 0.0
            below.append(crossing)
            above.append(crossing)
    return np.array(below), np.array(above)
