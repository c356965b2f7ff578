"""The pictures of the help, made from patterns as everything else is: nothing is drawn by hand. No pygame."""

from __future__ import annotations

import math
from collections.abc import Mapping

from folder.draw.hull.view import View
from folder.draw.picture import Line, Picture
from folder.draw.sheet.flat import crease_sheet, face_rings
from folder.draw.tub.attitude import Attitude
from folder.draw.tub.moment import Moment
from folder.draw.tub.scene import tub_picture
from folder.draw.tub.shell import shell_of
from folder.fold.place import folded
from folder.hull.weight import Weight
from folder.pattern.faces.faces import Faces, faces_of
from folder.pattern.families.catalogue import make
from folder.pattern.pattern import Crease, Pattern, Sense
from folder.studies import study
from folder.water.equilibrium.rest import rest
from folder.window.background.snapshot import hull_snapshot, step_snapshot

WALL_MM = 25.0
USUAL = View()
ABOVE = View(-0.45, 0.85)


def help_pictures() -> Mapping[str, Picture]:
    """Every picture by its name."""
    tray, faces = make("square-tray", {"wall": WALL_MM}), faces_of(make("square-tray", {"wall": WALL_MM}))
    walls_alone = Pattern(creases=tuple(Crease(a, b) for a, b in _sides()))
    return {
        "sheet": crease_sheet(Pattern(), steps=False),
        "line": _one_line("valley"),
        "valley": _folded_once("valley"),
        "mountain": _folded_once("mountain"),
        "cut": _one_line("cut"),
        "floor": _tinted(tray, faces, 0),
        "wall": _tinted(tray, faces, 1),
        "flap": _tinted(tray, faces, 2),
        "hem": _hull(make("hemmed-tray", {"hem": 8})),
        "pleat": _hull(make("pleated-floor-tray")),
        "pinch": crease_sheet(tray, steps=False),
        "close": _hull(walls_alone),
        "rim": _hull(tray),
        "step-walls": _with_arrow(crease_sheet(walls_alone, steps=False)),
        "step-corner": _hull(tray),
        "step-drag": crease_sheet(make("square-tray", {"wall": 35}), steps=False),
        "step-play": _half_way(),
        "afloat": _afloat(tray),
    }


def _sides() -> list[tuple[tuple[float, float], tuple[float, float]]]:
    low, high = WALL_MM, 150.0 - WALL_MM
    return [((0.0, low), (150.0, low)), ((0.0, high), (150.0, high)), ((low, 0.0), (low, 150.0)), ((high, 0.0), (high, 150.0))]


def _one_line(sense: Sense) -> Picture:
    return crease_sheet(Pattern(creases=(Crease((0.0, 50.0), (150.0, 50.0), sense),)), steps=False)


def _folded_once(sense: Sense) -> Picture:
    pattern = Pattern(creases=(Crease((0.0, 75.0), (150.0, 75.0), sense, math.radians(70.0)),), floor_at=(75.0, 30.0))
    return step_snapshot(folded(faces_of(pattern)), ABOVE).picture


def _tinted(tray: Pattern, faces: Faces, out: int) -> Picture:
    """The sheet of a tray with its floor tinted, or its walls, or its corners: by how many ways a face lies outside the floor."""
    rings = []
    for face in range(faces.count):
        ring = face_rings(faces, face)
        x, y = (sum(p[k] for p in ring[0]) / len(ring[0]) for k in (0, 1))
        if sum(not WALL_MM < value < 150.0 - WALL_MM for value in (x, y)) == out:
            rings += list(ring)
    return crease_sheet(tray, floor=rings, steps=False)


def _hull(pattern: Pattern) -> Picture:
    return hull_snapshot(study(pattern), USUAL).picture


def _half_way() -> Picture:
    """Walls that are not all the way up yet."""
    return _hull(make("leaning-tray", {"wall": WALL_MM, "turn": 50}))


def _afloat(tray: Pattern) -> Picture:
    """The tray on the water with a load in the middle."""
    made = study(tray)
    assert made.hull is not None
    found = rest(made.hull.skin, made.hull.weight + Weight(120.0, (0.0, 0.0, 5.0)), made.water)
    assert found.pose is not None
    return tub_picture(Moment(shell_of(made.hull, made.layering), Attitude.of(found.pose)))


def _with_arrow(picture: Picture) -> Picture:
    """With the way of a hand that drags a wall in from the lower edge."""
    shaft = Line(((75.0, -4.0), (75.0, WALL_MM - 3.0)), "edge")
    head = Line(((69.0, WALL_MM - 11.0), (75.0, WALL_MM - 3.0), (81.0, WALL_MM - 11.0)), "edge")
    return Picture((*picture.marks, shaft, head), picture.box)
