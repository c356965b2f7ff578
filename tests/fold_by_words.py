"""A machine that folds a sheet by what a step sheet says: it knows a line on the table, fold, unfold, pinch, walls up, flap flat.

piece     a part of the sheet that lies flat as one: its outline on the sheet, how it lies on the table, which side is up
crease    a line on the sheet that was folded or pinched, and on the table where it was seen then

It never looks at the turns of the pattern. What is folded flat is reflected; what is only creased waits until the walls come
up. Then a line drawn as a valley bends toward the reader, one drawn as a mountain away (on the underside of a layer the other
way round); the pinched lines and the hinges of the flaps that are laid flat are folded by half a turn; how far the rest
turns is left to the sheet, which must close.

Where all comes up at once the sheet closes in many ways. Then the words say how high the rim is to stand, and the marked lines
are pinched flat; spare foil is laid on the wall that the words name, or turned until its tip is as high as they say; of every
other line the sense alone is known. The way that suits all that is found by scipy's least squares (`tests.closed_by_heights`).
"""

from __future__ import annotations

import itertools
import math
import re
from typing import NamedTuple

import numpy as np

from folder.draw.picture import Box, Line
from folder.draw.steps.panel import Panel
from folder.fold.place import Folded as Shape
from folder.geometry.space import Floats
from folder.pattern.faces.faces import faces_of
from folder.pattern.pattern import Crease, Pattern, Sense, Sheet
from folder.studies import study
from tests.closed_by_heights import by_heights

BOX = Box(0.0, 0.0, 200.0, 200.0)
"""Large, so that a short stroke is not read as part of the next."""
NEAR_MM = 0.35
NAMES = ("right", "back right", "back", "back left", "left", "front left", "front", "front right")


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
        self.crests: set[int] = set()
        """The lines along which spare foil is pinched, by number."""
        self.lines: list[Floats] = []
        """The feet (2, 2) of the walls on the table."""
        self.feet: list[list[Floats]] = []
        """The lines (2, 2) on the table that stand up alike, kind by kind: one for each height of the rim."""
        self.heights: list[tuple[str, Floats, float]] = []
        """What is as high as the words say: rim or tip, its place on the sheet, and how high, mm."""
        self.swinging: list[Folded] = []
        """Hinges of spare foil that stands off its wall as far as the height of its tip says."""

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
            self.turn_ears(said, np.array(panel.was.faces.floor_at))
        elif said.startswith("Fold"):
            moving = [panel_place(panel, act.start) for act in drawn.acts]
            for (start, end), side in zip(lines, moving, strict=True):
                self.fold(start, end, side, top="top layer" in said, over=panel.step.over, out="swings out" in said)

    def fold(self, start: Floats, end: Floats, side: Floats, *, top: bool, over: bool, out: bool = False) -> None:
        """Fold all that lies on one side of a line over, through all layers or the top one alone; what lay under it swings `out`."""
        along = (end - start) / np.linalg.norm(end - start)
        across = np.array([-along[1], along[0]])
        across *= np.sign((side - start) @ across)
        mirror = np.eye(2) - 2.0 * np.outer(across, across)
        kept, moved = [], []
        for piece in self.pieces:
            if top and not piece.last:
                kept.append(piece)
                continue
            if out and piece.last:
                place = mirror @ piece.moved + 2.0 * (start @ across) * across
                moved.append(Piece(piece.outline, mirror @ piece.turned, place, not piece.up, True))
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
        self.crests = {
            made.line for made in self.creases if made.line and any(distance(p, *made.table) < NEAR_MM for p in pinched)
        }
        said = " ".join(panel.words)
        pinch = "valley" if "points outward" in said else "mountain" if "points inward" in said else ""
        straight = "stands straight" in said or "stand straight" in said
        self.creases = [part for made in self.creases for part in self.parted(made)]
        for k, made in enumerate(self.creases):
            if made.turn_rad is not None:
                continue
            middle = made.table.mean(axis=0)
            # Under the edge of a layer a line is not seen: it is read where it goes on.
            style = min(strokes, key=lambda s: (off_line(made.table, s[1]) > NEAR_MM, distance(middle, *s[1])))[0]
            crest = made.line in self.crests
            # What points outward is, seen from the inside, pinched to a valley, in each of its layers.
            style = pinch if crest and pinch else style
            sense: Sense = "valley" if (style == "valley") == made.up else "mountain"
            turn = math.pi if crest else math.pi / 2.0 if straight else None
            self.creases[k] = made._replace(sense=sense, turn_rad=turn)
        self.read_heights(panel)
        self.turn_ears(said, np.array(panel.was.faces.floor_at))

    def read_heights(self, panel: Panel) -> None:
        """How high the rim is to stand by the picture, and which walls that is said of: those at whose top it is measured."""
        self.lines = [np.array([each.start, each.end]) for each in panel.lines]
        for height, size in zip(panel.heights, panel.after(BOX).sizes, strict=True):
            self.heights.append((height.what, np.array(height.place), float(size.text)))
        places = [self.on_table(place) for what, place, _ in self.heights if what == "rim"]
        self.feet = [[] for _ in places]
        for each in self.lines if places else ():
            self.feet[int(np.argmin([distance(place, *each) for place in places]))].append(each)

    def on_table(self, place: Floats) -> Floats:
        """Where a place of the sheet lies on the table."""
        piece = min(self.pieces, key=lambda each: float(np.max(outside(each.outline, place))))
        return piece.turned @ place + piece.moved

    def turn_ears(self, said: str, floor_at: Floats) -> None:
        """Lay each pinched piece of spare foil flat on the wall that is named, or turn it toward that wall."""
        sentence = re.search(
            r"(Lay it flat on|Turn it|flaps? lies? on) (?:the next wall, (\w+)|(\w+) toward the next wall|(?:toward )?the ([\w, ]+) wall)",
            said,
        )
        each = dict(re.findall(r"the (\w+(?: \w+)?) (?:flap lies|one) on the (\w+(?: \w+)?) wall", said.lower()))
        if not sentence and not each:
            return
        ends: dict[tuple[float, ...], Folded] = {}
        for made in self.creases:
            end = max(made.table, key=lambda p: float(np.linalg.norm(p - floor_at)))
            if (made.turn_rad is None or made.line in self.crests) and self.on_outline(end):
                ends.setdefault(next((p for p in ends if math.dist(p, end) < NEAR_MM), tuple(end)), made)
        round_ = sorted((np.array(end) for end in ends), key=lambda p: math.atan2(*(p - floor_at)[::-1]))
        for k, end in enumerate(round_):
            crest = ends[tuple(end)]
            if crest.line not in self.crests:
                continue
            sides = {"clockwise": round_[k - 1], "anticlockwise": round_[(k + 1) % len(round_)]}
            if each:
                corner = NAMES[round(math.atan2(*(end - floor_at)[::-1]) / (math.pi / 4)) % 8]
                hinge = next((p for p in sides.values() if self.wall_beyond(end, p, floor_at) == each[corner]), None)
            elif sentence[2] or sentence[3]:
                hinge = sides[sentence[2] or sentence[3]]
            else:
                named = re.split(", | and | or ", sentence[4])
                hinge = next((p for p in sides.values() if self.wall_beyond(end, p, floor_at) in named), None)
            root = min(
                (p for made in self.creases if made.line == crest.line for p in made.table), key=lambda p: math.dist(p, floor_at)
            )
            for n, made in enumerate(self.creases):
                mine = hinge is not None and (math.dist(hinge, end) > 0) and beside(made, hinge, root)
                if mine and made.turn_rad is None:
                    if "until its tip" in said:
                        self.swinging.append(made)
                    elif each or sentence[1] != "Turn it":
                        self.creases[n] = made._replace(turn_rad=math.pi)

    def wall_beyond(self, crest: Floats, hinge: Floats, floor_at: Floats) -> str:
        """The name of the wall on the far side of a hinge, by where its foot lies on the table."""
        around = math.atan2(*(hinge - floor_at)[::-1])
        ahead = math.copysign(1.0, math.remainder(around - math.atan2(*(crest - floor_at)[::-1]), 2 * math.pi))
        nearest = min((out(line, floor_at) for line in self.lines), key=lambda angle: (ahead * (angle - around)) % (2 * math.pi))
        return NAMES[round(nearest / (math.pi / 4)) % 8]

    def on_outline(self, place: Floats) -> bool:
        """Whether a place on the table lies on the border of what lies there."""
        here = place + 0.3 * np.array([[math.cos(a), math.sin(a)] for a in np.arange(16) * math.pi / 8])
        return any(all(float(np.max(outside(piece.table(), p))) > 0 for piece in self.pieces) for p in here)

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
        creases = [crease_of(made) for made in self.kept(like.sheet)]
        return Pattern("By words", sheet=like.sheet, floor_at=like.floor_at, creases=tuple(creases))

    def kept(self, sheet: Sheet) -> list[Folded]:
        kept = [made for made in self.held(sheet) if np.linalg.norm(made.sheet[1] - made.sheet[0]) > 0.2]
        # Ends nearer to each other than a fingertip can tell are one.
        ends: list[Floats] = []
        for made in kept:
            ends += [end for end in made.sheet if all(math.dist(end, other) > NEAR_MM / 2 for other in ends)]
        nearest = [[min(ends, key=lambda other, end=end: math.dist(end, other)) for end in made.sheet] for made in kept]
        return [made._replace(sheet=np.array(pair)) for made, pair in zip(kept, nearest, strict=True)]

    def hull(self, like: Pattern) -> Shape:
        """What was folded, in space."""
        made = self.closed(like)
        return self.closed(like) if self.through_layers(made) else made

    def closed(self, like: Pattern) -> Shape:
        if not self.heights:
            return study(self.pattern(like)).folded
        faces = faces_of(self.pattern(like))
        kept = self.kept(like.sheet)
        own = [kept[k] if k >= 0 else None for k in faces.crease.tolist()]
        known = np.array(
            [math.nan if made and made.turn_rad is None else turn for made, turn in zip(own, faces.turn, strict=True)]
        )
        side = np.array([0.0 if made is None else 1.0 if made.sense == "valley" else -1.0 for made in own])
        open_ = [(e, made) for e, made in enumerate(own) if made and np.isnan(known[e])]
        alike = [[e for e, made in open_ if any(on(made, line) for line in kind)] for kind in self.feet]
        alike.append(
            [e for e, made in open_ if any(np.allclose(made.table, each.table) and made.up == each.up for each in self.swinging)]
        )
        heights = [(place, high) for _, place, high in self.heights]
        return by_heights(faces, known, side, [np.array(edges) for edges in alike if edges], heights)


def crease_of(made: Folded) -> Crease:
    (ax, ay), (bx, by) = made.sheet.round(6).tolist()
    return Crease((ax, ay), (bx, by), made.sense or "valley", made.turn_rad)


def on(made: Folded, line: Floats) -> bool:
    """Whether a crease lies on a line of the table."""
    return max(distance(end, *line) for end in made.table) < NEAR_MM


def beside(made: Folded, hinge: Floats, root: Floats) -> bool:
    """Whether a crease ends at a hinge's place on the rim, or lies on the straight way from there to the root of its crest."""
    return min(math.dist(p, hinge) for p in made.table) < NEAR_MM or on(made, np.array([hinge, root]))


def outside(outline: Floats, place: Floats) -> Floats:
    """How far a place lies beyond each side of a convex polygon, negative within."""
    ahead = np.roll(outline, -1, axis=0) - outline
    turn = ahead[:, 0] * (place - outline)[:, 1] - ahead[:, 1] * (place - outline)[:, 0]
    x, y = outline.T
    ccw = np.sign(x @ np.roll(y, -1) - y @ np.roll(x, -1))
    return -ccw * turn / np.maximum(np.linalg.norm(ahead, axis=1), 1e-9)


def out(line: Floats, floor_at: Floats) -> float:
    """In which direction a line of the table is passed from the floor."""
    along = line[1] - line[0]
    across = np.array([-along[1], along[0]]) * np.sign(np.array([-along[1], along[0]]) @ (line[0] - floor_at))
    return math.atan2(across[1], across[0])


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
    # Corners nearer to each other than a hair are one: between them no side has a direction.
    apart = [p for k, p in enumerate(kept) if np.linalg.norm(p - kept[k - 1]) > 1e-3]
    return np.array(apart).reshape(-1, 2)


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
