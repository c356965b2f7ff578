"""A machine that folds a sheet by what a step sheet says: it knows a line on the table, fold, unfold, pinch, walls up, flap flat.

piece     a part of the sheet that lies flat as one: its outline on the sheet, how it lies on the table, which side is up
crease    a line on the sheet that was folded or pinched, and on the table where it was seen then

It never looks at the turns of the pattern. What is folded flat is reflected; what is only creased waits until the walls come
up. Then a line drawn as a valley bends toward the reader, one drawn as a mountain away (on the underside of a layer the other
way round); the pinched lines and the hinges of the flaps that are laid flat are folded by half a turn; how far the rest
turns is left to the sheet, which must close. Where all comes up at once, how steep the walls beside the floor stand is read
from the picture of what it looks like then, the marked lines are pinched flat, and of every other line the sense alone is known.
"""

from __future__ import annotations

import itertools
import math
from typing import NamedTuple

import numpy as np

from folder.draw.picture import Box, Line
from folder.draw.steps.panel import Panel
from folder.fold.place import Folded as Shape
from folder.geometry.space import Floats
from folder.pattern.pattern import Crease, Pattern, Sense, Sheet

BOX = Box(0.0, 0.0, 200.0, 200.0)
"""Large, so that a short stroke is not read as part of the next."""
NEAR_MM = 0.35


class Piece(NamedTuple):
    """A part of the sheet on the table: `turned @ p + moved` is where a place p of the sheet lies."""

    outline: Floats
    turned: Floats
    moved: Floats
    up: bool
    last: bool

    def table(self) -> Floats:
        return self.outline @ self.turned.T + self.moved

    def on_sheet(self, places: Floats) -> Floats:
        return (places - self.moved) @ self.turned


class Folded(NamedTuple):
    """A crease the machine has made: ends on the sheet (2, 2) and on the table (2, 2), which side was up, its turn if known."""

    sheet: Floats
    table: Floats
    up: bool
    sense: Sense | None
    turn_rad: float | None
    line: int = 0
    """Stretches of one line that was pressed in through all layers have one number."""


class Machine:
    """One sheet in the machine's hands."""

    def __init__(self, sheet: Sheet) -> None:
        corners = np.array(sheet.corners, dtype=float)
        self.pieces = [Piece(corners, np.eye(2), np.zeros(2), True, False)]
        self.creases: list[Folded] = []

    def follow(self, panel: Panel) -> None:
        """Do what a panel says."""
        said = " ".join(panel.words)
        lines = [(np.array(each.start), np.array(each.end)) for each in panel.lines]
        drawn = panel.before(BOX)
        if said.startswith("Turn the sheet over"):
            return
        if "unfold" in said or said.startswith(("Pinch each", "Pinch the dashed", "Press")):
            for start, end in lines:
                self.crease(start, end)
        elif "walls up" in said or "wall up" in said or "all lines at once" in said:
            self.raise_walls(panel)
        elif said.startswith("Fold the flap flat"):
            pass  # the hinges are the lines drawn as mountains beside the pinched ones: they were read with the picture before
        elif said.startswith("Fold"):
            moving = [panel_place(panel, act.start) for act in drawn.acts]
            for (start, end), side in zip(lines, moving, strict=True):
                self.fold(start, end, side, top="top layer" in said, over=panel.step.over)

    def fold(self, start: Floats, end: Floats, side: Floats, *, top: bool, over: bool) -> None:
        """Fold all that lies on one side of a line over, through all layers or the top one alone."""
        along = (end - start) / np.linalg.norm(end - start)
        across = np.array([-along[1], along[0]])
        across *= np.sign((side - start) @ across)
        mirror = np.eye(2) - 2.0 * np.outer(across, across)
        kept, moved = [], []
        for piece in self.pieces:
            if top and not piece.last:
                kept.append(piece)
                continue
            off = (piece.table() - start) @ across
            beyond, here = clipped(piece.outline, off), clipped(piece.outline, -off)
            if area(here) > 0.5:
                kept.append(piece._replace(outline=here, last=False))
            if area(beyond) > 0.5:
                place = mirror @ piece.moved + 2.0 * (start @ across) * across
                moved.append(Piece(beyond, mirror @ piece.turned, place, not piece.up, True))
                if area(here) > 0.5:
                    cut = np.array(
                        [p for p, o in zip(beyond, (piece_off(beyond, piece, start, across)), strict=True) if abs(o) < 1e-6]
                    )
                    ends = cut[[(cut @ (along @ piece.turned)).argmin(), (cut @ (along @ piece.turned)).argmax()]]
                    sense: Sense = "valley" if piece.up != over else "mountain"
                    table = ends @ piece.turned.T + piece.moved
                    self.creases.append(Folded(ends, table, piece.up, sense, math.pi))
        self.pieces = [*kept, *moved]

    def crease(self, start: Floats, end: Floats) -> None:
        """Press a line in through all layers, and let it lie flat again."""
        number = 1 + max((made.line for made in self.creases), default=0)
        for piece in self.pieces:
            ends = within(piece.table(), start, end)
            if ends is not None:
                self.creases.append(Folded(piece.on_sheet(ends), ends, piece.up, None, None, number))

    def raise_walls(self, panel: Panel) -> None:
        """Bend every crease as it is drawn; those that are pinched and the hinges beside them by half a turn."""
        drawn = panel.before(BOX)
        strokes = [
            (line.style, np.array([panel_place(panel, p) for p in line.points]))
            for line in drawn.picture.marks
            if isinstance(line, Line) and line.style in ("valley", "mountain") and line.weight < 1.0
        ]
        pinched = [panel_place(panel, act.at) for act in drawn.acts if act.kind == "pinch"]
        flaps = bool(pinched)
        crests = {made.line for made in self.creases if made.line and any(distance(p, *made.table) < NEAR_MM for p in pinched)}
        at_once = "all lines at once" in " ".join(panel.words)
        straight = "stands straight" in " ".join(panel.words) or "stand straight" in " ".join(panel.words)
        self.creases = [part for made in self.creases for part in self.parted(made)]
        for k, made in enumerate(self.creases):
            if made.turn_rad is not None:
                continue
            middle = made.table.mean(axis=0)
            # Under the edge of a layer a line is not seen: it is read where it goes on.
            style = min(strokes, key=lambda s: (off_line(made.table, s[1]) > NEAR_MM, distance(middle, *s[1])))[0]
            crest = made.line in crests
            # What is pinched points outward: seen from the inside it is a valley, in each of its layers.
            style = "valley" if crest and not at_once else style
            sense: Sense = "valley" if (style == "valley") == made.up else "mountain"
            half = crest or (flaps and style == "mountain" and not at_once)
            turn = math.pi if half else math.pi / 2.0 if straight else None
            if at_once and not half:
                turn = shown_turn(panel, middle)
            self.creases[k] = made._replace(sense=sense, turn_rad=turn)

    def parted(self, made: Folded) -> list[Folded]:
        """A crease in the stretches between its crossings with others: each may bend its own way."""
        shares = [0.0, 1.0]
        along = made.sheet[1] - made.sheet[0]
        length = float(np.linalg.norm(along))
        for other in self.creases:
            on = [end for end in other.sheet if distance(end, *made.sheet) < 0.05]
            shares += [float((end - made.sheet[0]) @ along) / length**2 for end in on]
            across = other.sheet[1] - other.sheet[0]
            turn = along[0] * across[1] - along[1] * across[0]
            if abs(turn) > 1e-6 * length * float(np.linalg.norm(across)):
                off = other.sheet[0] - made.sheet[0]
                t, u = (off[0] * across[1] - off[1] * across[0]) / turn, (off[0] * along[1] - off[1] * along[0]) / turn
                if -1e-9 < t < 1.0 + 1e-9 and -1e-9 < u < 1.0 + 1e-9:
                    shares.append(float(t))
        cuts = [0.0]
        for t in sorted({round(min(max(t, 0.0), 1.0), 5) for t in shares}):
            # Crossings nearer to each other than a hair are one.
            if (t - cuts[-1]) * length > 0.15:
                cuts.append(t)
        cuts[-1] = 1.0
        if len(cuts) < 2:
            return [made]
        return [
            made._replace(
                **{
                    k: getattr(made, k)[0] + np.array([[a], [b]]) * (getattr(made, k)[1] - getattr(made, k)[0])
                    for k in ("sheet", "table")
                }
            )
            for a, b in itertools.pairwise(cuts)
        ]

    def through_layers(self, solved: Shape) -> bool:
        """What was pressed in through layers bends in all of them alike, also where a layer could stay behind; whether one had."""
        faces = solved.faces
        ends = faces.vertices[faces.edges]

        def turn(made: Folded) -> float:
            middle = made.sheet.mean(axis=0)
            joined = [k for k in range(len(ends)) if faces.joined[k]]
            return abs(float(solved.turn[min(joined, key=lambda k: distance(middle, *ends[k]))]))

        stayed = False
        for k, made in enumerate(self.creases):
            if made.turn_rad is None and made.line:
                middle = made.table.mean(axis=0)
                below = next(m for m in self.creases if m.line == made.line and distance(middle, *m.table) < NEAR_MM)
                if abs(turn(below) - turn(made)) > 0.02:
                    self.creases[k] = made._replace(turn_rad=turn(below))
                    stayed = True
        return stayed

    def held(self, sheet: Sheet) -> list[Folded]:
        """The creases without those that end in the middle of a layer: pressed in from above, they fold nothing there."""
        kept = list(self.creases)
        while True:

            def meets(end: Floats, made: Folded, others: list[Folded]) -> bool:
                on_edge = min(*end, sheet.width_mm - end[0], sheet.height_mm - end[1]) < 0.1
                return on_edge or any(other is not made and distance(end, *other.sheet) < 0.1 for other in others)

            left = [made for made in kept if all(meets(end, made, kept) for end in made.sheet)]
            if len(left) == len(kept):
                return kept
            kept = left

    def pattern(self, like: Pattern) -> Pattern:
        """What was folded, as a pattern of the same sheet and floor."""
        creases = []
        for made in self.held(like.sheet):
            if np.linalg.norm(made.sheet[1] - made.sheet[0]) > 0.2:
                (ax, ay), (bx, by) = made.sheet.round(6).tolist()
                creases.append(Crease((ax, ay), (bx, by), made.sense or "valley", made.turn_rad))
        return Pattern("By words", sheet=like.sheet, floor_at=like.floor_at, creases=tuple(creases))


def shown_turn(panel: Panel, place: Floats) -> float | None:
    """How far a wall stands up in the picture of what it looks like then, at a foot on the table; None at any other line."""
    feet = [(np.array(line.start), np.array(line.end)) for line in panel.lines]
    if min((distance(place, *ends) for ends in feet), default=math.inf) > NEAR_MM:
        return None
    shape = panel.after(BOX).scene.folded
    beside = [shape.faces.face_at(tuple(place + off)) for off in ((0.1, 0.0), (-0.1, 0.0), (0.0, 0.1), (0.0, -0.1))]
    up = min(float(shape.normals[face, 2]) for face in beside if face >= 0)
    return math.acos(min(max(up, -1.0), 1.0))


def panel_place(panel: Panel, at: tuple[float, float]) -> Floats:
    """Where a place in the picture of what to do lies on the table."""
    scene = panel.before(BOX).scene
    x, y = ((a - s) / scene.scale for a, s in zip(at, scene.shift, strict=True))
    right = scene.view.axes[0]
    return np.array([x * np.sign(right[0]), y]) + np.array(scene.folded.faces.floor_at)


def piece_off(outline: Floats, piece: Piece, start: Floats, across: Floats) -> Floats:
    return (outline @ piece.turned.T + piece.moved - start) @ across


def clipped(outline: Floats, off: Floats) -> Floats:
    """The part of a polygon (n, 2) where a value at its corners (n,) is positive."""
    kept = []
    for k in range(len(outline)):
        a, b, at, to = outline[k - 1], outline[k], off[k - 1], off[k]
        if (at > 0) != (to > 0) and abs(at - to) > 1e-12:
            kept.append(a + at / (at - to) * (b - a))
        if to > 0:
            kept.append(b)
    return np.array(kept).reshape(-1, 2)


def area(outline: Floats) -> float:
    if len(outline) < 3:
        return 0.0
    x, y = outline.T
    return abs(float(x @ np.roll(y, -1) - y @ np.roll(x, -1))) / 2.0


def within(outline: Floats, start: Floats, end: Floats) -> Floats | None:
    """The part of a segment in a convex polygon, border apart; None where that is short."""
    middle = outline.mean(axis=0)
    low, high = 0.0, 1.0
    for k in range(len(outline)):
        a, b = outline[k - 1], outline[k]
        normal = np.array([-(b - a)[1], (b - a)[0]])
        normal *= np.sign((middle - a) @ normal) / (np.linalg.norm(normal) or 1.0)
        at, to = float((start - a) @ normal) + 1e-4, float((end - a) @ normal) + 1e-4
        along_border = max(abs(at), abs(to)) < 0.05 and np.linalg.norm(b - a) > 0.2
        if along_border or (at < 0 and to < 0):  # where the sheet is folded already there is nothing to press
            return None
        if at < 0 or to < 0:
            t = at / (at - to)
            low, high = (max(low, t), high) if at < 0 else (low, min(high, t))
    if (high - low) * float(np.linalg.norm(end - start)) < 0.2:
        return None
    return np.array([start + low * (end - start), start + high * (end - start)])


def off_line(ends: Floats, stroke: Floats) -> float:
    """How far the ends of one stretch lie off the straight line through another."""
    along = (stroke[1] - stroke[0]) / (np.linalg.norm(stroke[1] - stroke[0]) or 1.0)
    off = ends - stroke[0]
    return float(np.abs(off[:, 0] * along[1] - off[:, 1] * along[0]).max())


def distance(place: Floats, start: Floats, end: Floats) -> float:
    along = end - start
    t = min(max(float((place - start) @ along) / max(float(along @ along), 1e-12), 0.0), 1.0)
    return float(np.linalg.norm(place - start - t * along))
