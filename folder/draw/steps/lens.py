"""What is too small to be seen in a picture of a step is shown once more, larger.

lens   the frame for it: in the middle of the floor, or at the right of the picture, where the sheet stands aside for it
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from folder.draw.clip import part_inside
from folder.draw.hull.scene import Scene
from folder.draw.picture import Box, Line, Mark, box_round
from folder.draw.steps.arrow import HALF_MM
from folder.findings import Point
from folder.fold.sequence.table_line import TableLine

SMALL_MM = 2.0
"""A fold that reaches less than this on paper is shown once more, larger."""
SHORT_MM = 3.0
"""A crease shorter than this on paper has no room for its dashes."""
LENS_MM = 17.0
LENSES_MM = (LENS_MM, 15.0, 13.0, 11.5)
"""How large a lens on the floor may be, the best first."""


def short_folds(scene: Scene, lines: Sequence[TableLine], least_mm: float = SMALL_MM) -> list[TableLine]:
    """The smallest folds, where they are smaller on paper."""
    small = min((min(line.reach_mm, line.length_mm) for line in lines), default=math.inf)
    if small * scene.scale >= least_mm:
        return []
    return [line for line in lines if min(line.reach_mm, line.length_mm) < 1.05 * small]


def lens_in(box: Box) -> Box:
    """Where the lens is in the box of a picture."""
    y = box.middle[1]
    return Box(box.right - LENS_MM, y - LENS_MM / 2, box.right, y + LENS_MM / 2)


def lens_on_floor(scene: Scene) -> Box | None:
    """The largest lens in the middle of the floor through which no line runs; None where there is no room for one."""
    (middle,) = scene.on_table([scene.folded.faces.floor_at])
    segments = [pair for mark in scene.picture.marks if isinstance(mark, Line) for pair in pairwise(mark.path)]
    for size in LENSES_MM:
        lens = Box(*middle, *middle).grown(size / 2)
        clear = all(scene.whole.holds(corner) for corner in lens.corners)
        if clear and not any(part_inside(a, b, lens.corners) for a, b in segments):
            return lens
    return None


def larger(
    scene: Scene, lines: Sequence[TableLine], lens: Box | None, labels: Sequence[Box], arrows: Sequence[Sequence[Point]] = ()
) -> tuple[Mark, ...]:
    """The smallest fold once more; nothing where it would lie over one of the labels, or without a lens over an end of the only arrow.

    arrows  the ends of each: below a narrow sheet it stands beside them
    """
    marks = _inset(scene, lines, lens, [*labels, *(box_round(ends).grown(HALF_MM) for ends in arrows)])
    paths = [mark.path for mark in marks if isinstance(mark, Line)]
    if any(part_inside(a, b, label.corners) for path in paths for a, b in pairwise(path) for label in labels):
        return ()
    frame = box_round(paths[-1]).grown(0.5) if marks and not lens else None
    # Of several arrows alike one may pass it.
    only = arrows[0] if len(arrows) == 1 else ()
    return () if frame and any(frame.holds(end) for end in only) else marks


def _inset(scene: Scene, lines: Sequence[TableLine], lens: Box | None, busy: Sequence[Box]) -> tuple[Mark, ...]:
    """The smallest fold, larger: in the lens the one nearest to it, whole; without a lens its corner, where there is room."""
    short = short_folds(scene, lines, SHORT_MM if lens else SMALL_MM)
    if not short:
        return ()
    if lens:
        places = scene.on_table([line.middle for line in short])
        k = min(range(len(short)), key=lambda k: round(math.dist(places[k], lens.middle), 3))
        small = min(short[k].reach_mm, short[k].length_mm)
        return scene.inset(places[k], max(1.2 * small, 3.0) * scene.scale, lens)
    line = min(short, key=lambda each: (min(each.reach_mm, each.length_mm), sum(each.middle)))
    small = min(line.reach_mm, line.length_mm)
    at = line.corner or min((line.start, line.end), key=lambda p: p[0] + p[1])
    half = max(2.0 * small, 5.0) * scene.scale
    place, middle = scene.on_table([at, scene.folded.faces.floor_at])
    x, y = (a + math.copysign(0.6 * half, b - a) for a, b in zip(place, middle, strict=True))
    return scene.inset((x, y), half, busy=busy)
