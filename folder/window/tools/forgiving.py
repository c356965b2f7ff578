"""A line as the hand meant it: one with a line that is nearly there, straight, its own mirror image, led on to what it closes.

drawn       the line as the pointer gave it, its ends come to rest on what is near
exact end   an end that rests on a corner of the sheet, an end of a line or a crossing: it is meant, and stays
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
from msgspec import Struct

from folder.findings import Point, Report
from folder.fold.check import fold_report
from folder.fold.place import folded
from folder.geometry.space import Floats
from folder.pattern import edit
from folder.pattern.construct import SheetLine, through
from folder.pattern.corner import to_sheet_edge
from folder.pattern.faces.faces import faces_of
from folder.pattern.pattern import Crease, Pattern
from folder.pattern.planar import planar_findings
from folder.window.tools.mirror import Mirrors, images, maps
from folder.window.tools.snap import creases_near, ends_of, foot, lines_near, meeting, middle_of
from folder.window.tools.straighten import MOST_RAD, straightened

ONE_MM = 3.0
"""Lines nearer than this along their whole length are meant to be one: nearer than small hands can fold two."""
_BESIDE_MM = 15.0
"""A line this near gives its direction to one drawn beside it."""
_LEAST_WALL_MM = 10.0
"""A line straightened nearer to the edge than this was not meant where the hand began (judgement)."""
_ON_MM = 0.1
_MOST_CLOSED = 60
"""In a drawing with more lines than this none is led on: finding out whether that closes something would take too long."""


class IntendedLine(Struct, frozen=True):
    """The line that is laid, and in words what was changed; "" where the hand was right."""

    line: SheetLine
    words: str = ""


def intended_line(pattern: Pattern, line: SheetLine, mirrors: Mirrors = "none", by_hand: SheetLine | None = None) -> IntendedLine:
    """What a hand meant by a line it drew: found without folding anything, so that it can be shown while it is drawn.

    `by_hand` is the line before its ends came to rest: its direction is the hand's.
    """
    if math.dist(*line) < 2.0 * ONE_MM:
        return IntendedLine(line)
    for other in _neighbours(pattern, line):
        doubled = _one_with(line, other)
        if doubled is not None:
            start, end = doubled
            doubled = (_kept_on(pattern, start, end), _kept_on(pattern, end, start))
            return IntendedLine(doubled, "" if _same(doubled, line) else "one with the line there")
    words = []
    straight = _straight(pattern, line, by_hand or line)
    if not _same(straight, line):
        words.append("straightened")
    image = _intended_image(pattern, straight, line)
    if image is not None:
        if not _same(image, straight):
            words.append("like the other side")
        straight = image
    even = _even(pattern, straight, mirrors)
    if not _same(even, straight):
        words.append("the same on both sides")
    return IntendedLine(even, ", ".join(words))


def _same(a: SheetLine, b: SheetLine) -> bool:
    return max(math.dist(a[0], b[0]), math.dist(a[1], b[1])) < _ON_MM


def _neighbours(pattern: Pattern, line: SheetLine) -> Iterator[SheetLine]:
    middle = ((line[0][0] + line[1][0]) / 2.0, (line[0][1] + line[1][1]) / 2.0)
    for i in creases_near(pattern, middle, ONE_MM):
        yield pattern.creases[i].start, pattern.creases[i].end


def _one_with(line: SheetLine, other: SheetLine) -> SheetLine | None:
    """A line laid on another that it nearly runs along, from end to end; None where it does not."""
    (ax, ay), (bx, by) = other
    length = math.dist(*other)
    if length < ONE_MM:
        return None
    ux, uy = (bx - ax) / length, (by - ay) / length
    ends = []
    for x, y in line:
        along, off = (x - ax) * ux + (y - ay) * uy, (y - ay) * ux - (x - ax) * uy
        if abs(off) > ONE_MM:
            return None
        # Near an end of the other line its end is meant.
        along = 0.0 if abs(along) <= ONE_MM else length if abs(along - length) <= ONE_MM else along
        ends.append((ax + along * ux, ay + along * uy))
    return None if math.dist(*ends) < ONE_MM else (ends[0], ends[1])


def _exact(pattern: Pattern, at: Point) -> bool:
    """Whether a place is a corner of the sheet, an end of a line, or a crossing."""
    if any(math.dist(at, p) < _ON_MM for p in pattern.sheet.corners):
        return True
    near = [pattern.creases[i] for i in creases_near(pattern, at, _ON_MM)]
    return len(near) > 1 or any(math.dist(at, p) < _ON_MM for c in near for p in (c.start, c.end))


def _straight(pattern: Pattern, line: SheetLine, by_hand: SheetLine) -> SheetLine:
    start, end = line
    firm = [_exact(pattern, p) for p in line]
    if all(firm):
        return line
    beside = [near for p in line for near, word in lines_near(pattern, p, _BESIDE_MM) if word == "a line"]
    straight = straightened(by_hand, beside)
    if not straight.straight:
        return line
    # The ends keep what they came to rest on along the way: it is across it that the line is turned.
    (ax, ay), (bx, by) = straight.start, straight.end
    far = math.dist(straight.start, straight.end)
    ux, uy = (bx - ax) / far, (by - ay) / far
    along = (end[0] - start[0]) * ux + (end[1] - start[1]) * uy
    if firm[1]:
        return _rested(pattern, start, (end[0] - along * ux, end[1] - along * uy), end), end
    turned = (start, _rested(pattern, end, (start[0] + along * ux, start[1] + along * uy), start))
    # From a corner or the end of a line only the edge itself is not meant.
    return _off_the_edge(pattern, line, turned, _ON_MM if firm[0] else _LEAST_WALL_MM)


def _off_the_edge(pattern: Pattern, line: SheetLine, turned: SheetLine, least_mm: float) -> SheetLine:
    """A line that came to lie nearer than that to the edge it runs along, put through the middle of what was drawn: no wall is so low."""
    (ax, ay), (bx, by) = turned
    room = (pattern.sheet.width_mm, pattern.sheet.height_mm)
    depth = min(
        (min(p, most - p) for p, q, most in ((ax, bx, room[0]), (ay, by, room[1])) if abs(p - q) < _ON_MM), default=math.inf
    )
    x, y = middle_of(line)
    on_x, on_y = foot(turned, (x, y))
    dx, dy = x - on_x, y - on_y
    if depth >= least_mm or math.hypot(dx, dy) <= ONE_MM / 2.0:
        return turned
    start, end = (ax + dx, ay + dy), (bx + dx, by + dy)
    return _rested(pattern, line[0], start, end), _rested(pattern, line[1], end, start)


def _rested(pattern: Pattern, was: Point, now: Point, other: Point) -> Point:
    """An end that was turned, put back on the line or the edge it rested on, or that is near."""
    for rest, _ in lines_near(pattern, was, _ON_MM):
        met = meeting((other, now), rest, beyond=True)
        if met is not None and math.dist(foot(rest, met), met) < _ON_MM and math.dist(met, other) > ONE_MM:
            return _kept_on(pattern, met, other)
    return _kept_on(pattern, now, other)


def _kept_on(pattern: Pattern, p: Point, other: Point) -> Point:
    """A place kept on the sheet along its line from another, and put exactly on the edge where it is nearly there."""
    room = (pattern.sheet.width_mm, pattern.sheet.height_mm)
    if any(not -1e-6 <= v <= most + 1e-6 for v, most in zip(p, room, strict=True)):
        whole = through(pattern.sheet, other, p)
        p = min(whole, key=lambda q: math.dist(p, q)) if whole is not None else p
    x, y = (0.0 if v < 1e-6 else most if v > most - 1e-6 else round(v, 9) for v, most in zip(p, room, strict=True))
    return x, y


def _intended_image(pattern: Pattern, straight: SheetLine, line: SheetLine) -> SheetLine | None:
    """The mirror image of what is drawn that a line is meant to be: one it nearly is once it is straight, else one it
    crosses as drawn from end to end. Where a crooked line should lie only the walls that stand already can tell.
    """
    drawn = _images_drawn(pattern, straight, line)
    near = next((i for i in drawn if max(math.dist(i[0], straight[0]), math.dist(i[1], straight[1])) <= ONE_MM), None)
    if near is not None or _same(straight, line) or any(_exact(pattern, p) for p in line):
        return near
    free = [i for i in drawn if _runs_across(line, i) and not _drawn_there(pattern, i)]
    return min(free, key=lambda i: math.dist(middle_of(i), middle_of(line)), default=None)


def _images_drawn(pattern: Pattern, straight: SheetLine, line: SheetLine) -> list[SheetLine]:
    """The mirror images of what is drawn, each so directed that its start is near that of the straight line.

    Those whose ends lie further from the ends of either line than `_intended_image` looks are left out.
    """
    if not pattern.creases:
        return []
    ends, found = ends_of(pattern.creases), list[SheetLine]()
    beyond = 3.0 * ONE_MM + math.tan(MOST_RAD) * np.hypot(*(ends[:, 1] - ends[:, 0]).T)
    for carry in maps(pattern.sheet, "four")[1:]:
        x, y = carry((ends[..., 0], ends[..., 1]))  # type: ignore[arg-type]  # it carries arrays as well
        image: Floats = np.stack((x, y), axis=-1)
        back = _apart(image[:, 0], straight[0]) > _apart(image[:, 1], straight[0])
        image = np.where(back[:, None, None], image[:, ::-1], image)
        reach = [np.maximum(_apart(image[:, 0], p), _apart(image[:, 1], q)) <= beyond for p, q in (straight, line)]
        found += [((ax, ay), (bx, by)) for (ax, ay), (bx, by) in image[reach[0] | reach[1]].tolist()]
    return found


def _apart(places: Floats, at: Point) -> Floats:
    """(n,) how far places (n, 2) lie from one, mm."""
    return np.hypot(places[:, 0] - at[0], places[:, 1] - at[1])


def _runs_across(line: SheetLine, other: SheetLine) -> bool:
    """Whether a line has its ends beside those of another, no further off than a crooked hand comes, one on each side of it or near it."""
    (ax, ay), (bx, by) = other
    length = math.dist(*other)
    if length < ONE_MM:
        return False
    ux, uy = (bx - ax) / length, (by - ay) / length
    along = [(x - ax) * ux + (y - ay) * uy for x, y in line]
    first, last = ((y - ay) * ux - (x - ax) * uy for x, y in line)
    beside = max(abs(along[0]), abs(along[1] - length)) <= ONE_MM and abs(last - first) <= math.tan(MOST_RAD) * length + ONE_MM
    return beside and min(first, last) <= ONE_MM and max(first, last) >= -ONE_MM


def _drawn_there(pattern: Pattern, line: SheetLine) -> bool:
    """Whether a line is drawn already, or nearly."""
    return any(_one_with(line, other) is not None for other in _neighbours(pattern, line))


def _even(pattern: Pattern, line: SheetLine, mirrors: Mirrors) -> SheetLine:
    """A line that is nearly its own mirror image, made exactly that."""
    for carry in maps(pattern.sheet, mirrors)[1:]:
        image = (carry(line[0]), carry(line[1]))
        image = image if math.dist(image[0], line[0]) <= math.dist(image[1], line[0]) else image[::-1]
        if max(math.dist(image[0], line[0]), math.dist(image[1], line[1])) <= ONE_MM:
            (ax, ay), (bx, by) = line
            (cx, cy), (dx, dy) = image
            line = (((ax + cx) / 2.0, (ay + cy) / 2.0), ((bx + dx) / 2.0, (by + dy) / 2.0))
    return line


def extension(pattern: Pattern, crease: Crease, mirrors: Mirrors) -> SheetLine:
    """A line with an end in mid-sheet led on to the next line or the edge, where then fewer places are left open."""
    line = (crease.start, crease.end)
    if len(pattern.creases) > _MOST_CLOSED or crease.sense not in ("valley", "mountain"):
        return line
    for k in (0, 1):
        if lines_near(pattern, line[k], _ON_MM) or _exact(pattern, line[k]):
            continue
        on = _next_met(pattern, line[1 - k], line[k])
        if math.dist(on, line[k]) > math.dist(*line):
            continue  # No hand that stops half way means the whole.
        longer = (on, line[1]) if k == 0 else (line[0], on)
        if _open_places(pattern, crease, longer, mirrors) < _open_places(pattern, crease, line, mirrors):
            line = longer
    return _one_with_images(pattern, line, mirrors)


def _one_with_images(pattern: Pattern, line: SheetLine, mirrors: Mirrors) -> SheetLine:
    """A line that lies over mirror images of itself or meets one end to end, made one with them."""
    for carry in maps(pattern.sheet, mirrors)[1:]:
        (ax, ay), (bx, by) = line
        length = math.dist(*line)
        ux, uy = (bx - ax) / length, (by - ay) / length
        image = (carry(line[0]), carry(line[1]))
        if any(abs((y - ay) * ux - (x - ax) * uy) > _ON_MM for x, y in image):
            continue
        there = sorted((((x - ax) * ux + (y - ay) * uy, (x, y)) for x, y in image), key=lambda end: end[0])
        (first, start), (last, end) = there
        if first <= length + _ON_MM and last >= -_ON_MM:
            line = (start if first < -_ON_MM else line[0], end if last > length + _ON_MM else line[1])
    return line


def _next_met(pattern: Pattern, start: Point, end: Point) -> Point:
    """Where a line that is led on past its end first meets another, or the edge; a point nearly hit is hit."""
    ahead = (end[0] - start[0], end[1] - start[1])
    edge = to_sheet_edge(end, ahead, pattern.sheet.width_mm, pattern.sheet.height_mm)
    met = [edge]
    for crease in pattern.creases:
        point = meeting((end, edge), (crease.start, crease.end))
        if point is not None and math.dist(point, end) > _ON_MM:
            met.append(point)
    place = min(met, key=lambda p: math.dist(p, end))
    points = (*pattern.sheet.corners, *(p for c in pattern.creases for p in (c.start, c.end)))
    return next((p for p in points if math.dist(p, place) <= ONE_MM), place)


def _open_places(pattern: Pattern, crease: Crease, line: SheetLine, mirrors: Mirrors) -> int:
    """At how many places the drawing with this line has a stop."""
    laid = Crease(line[0], line[1], crease.sense, crease.turn_rad)
    drawn = edit.lay(pattern, images(pattern.sheet, laid, mirrors))
    faces = faces_of(drawn)
    report, _ = fold_report(drawn, folded(faces))
    return sum(f.count for f in Report.of([*report.findings, *planar_findings(drawn, faces)]).merged().stops)
