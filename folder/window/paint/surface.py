"""Paint a picture on a surface: lines, areas and labels in mm, seen through a viewport.

pen_px   physical px to a mm of line width, dash or text: lines stay as wide when the picture is looked at more closely
run      an inked stretch of a line
in sight inside the surface's clip, with a margin

The line drawer of pygame hangs on coordinates that are not numbers and crawls on huge ones, and its polygons walk every
row they cover: so all that is drawn is first cut to what is in sight, and what is not finite is left out.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

import pygame

from folder.draw.picture import Area, Label, Line, Mark, Picture
from folder.draw.style import Style, dash_phase_mm
from folder.findings import Point
from folder.geometry.plane import clip_to_box
from folder.window.paint.band import band
from folder.window.theme import Rgb, rgb
from folder.window.viewport import Viewport
from folder.window.widgets.glyph_cache import GlyphCache

PEN_PX = 4.0
"""Physical px to a mm of line width at 100 %: a crease of 0.5 mm is 2 px, text of 12 pt is 17 px."""
LEVEL_PX = 0.05
"""A line that rises less than this is level."""
PART = 100
"""Marks of a large picture between two places where a frame may end."""
PAINTED_AT_ONCE = 600
"""A picture of more marks than this is painted in parts: these take some 30 ms."""
FAR_PX = 1e9
"""Places further off are refused: beyond it a pixel is lost in rounding."""


def paint(surface: pygame.Surface, picture: Picture, viewport: Viewport, glyph_cache: GlyphCache, pen_px: float = PEN_PX) -> int:
    """Draw a picture inside the surface's clip. How many of its items were refused: not finite, or absurdly far."""
    return sum(not _painted(surface, item, viewport, glyph_cache, pen_px) for item in picture.marks)


def painted_in_parts(
    surface: pygame.Surface, picture: Picture, viewport: Viewport, glyph_cache: GlyphCache, pen_px: float = PEN_PX
) -> Iterator[int]:
    """Draw a picture as `paint` does; of a large one, after each part, how much was drawn, so that a frame can end there."""
    for k, item in enumerate(picture.marks):
        if k % PART == 0 and k and len(picture.marks) > PAINTED_AT_ONCE:
            yield PART
        _painted(surface, item, viewport, glyph_cache, pen_px)


def _painted(surface: pygame.Surface, item: Mark, viewport: Viewport, glyph_cache: GlyphCache, pen_px: float) -> bool:
    match item:
        case Line():
            return _line(surface, item, viewport, pen_px)
        case Area():
            return _area(surface, item, viewport, pen_px)
        case Label():
            return _label(surface, item, viewport, glyph_cache, pen_px)


def _line(surface: pygame.Surface, line: Line, viewport: Viewport, pen_px: float) -> bool:
    points = _pixels(line.path, viewport)
    if points is None:
        return False
    if len(points) > 1:
        ink(surface, points, line.look, pen_px)
    return True


def ink(surface: pygame.Surface, points: Sequence[Point], style: Style, pen_px: float = PEN_PX) -> None:
    """Draw a path of finite places in px in a style, with its dashes laid along the whole of it."""
    visible = _visible_box(surface, style.width_mm * pen_px)
    width, colour = max(style.width_mm * pen_px, 1.0), rgb(style.colour)
    whole = sum(math.dist(a, b) for a, b in pairwise(points))
    along = 0.0
    for a, b in pairwise(points):
        length = math.dist(a, b)
        part = clip_to_box(a, b, visible[:2], visible[2:])
        if part is not None and length > 0:
            runs = list(_runs(whole / pen_px, style, *((along + share * length) / pen_px for share in part)))
            _dashed(surface, a, b, [(u * pen_px - along, v * pen_px - along) for u, v in runs], width, colour)
        along += length


def _dashed(surface: pygame.Surface, a: Point, b: Point, runs: list[tuple[float, float]], width: float, colour: Rgb) -> None:
    """The inked stretches of one straight line, px along it; a dot is at least as long as it is wide."""
    length = math.dist(a, b)
    if len(runs) > 1:
        runs = [((u + v - max(v - u, width)) / 2, (u + v + max(v - u, width)) / 2) for u, v in runs]
        drawn = _level if min(abs(a[0] - b[0]), abs(a[1] - b[1])) < LEVEL_PX else band
        drawn(surface, a, b, runs, width, colour)
        return
    for u, v in runs:
        _stroke(surface, _between(a, b, u / length), _between(a, b, v / length), width, colour)


def _runs(whole_mm: float, style: Style, from_mm: float, to_mm: float) -> Iterator[tuple[float, float]]:
    """The inked stretches of a line between two lengths along it, as `style.dash_runs` lays them on the whole."""
    if not style.dashes:
        yield from_mm, to_mm
        return
    period = sum(style.dashes) * style.width_mm
    phase = dash_phase_mm(whole_mm, style)
    at, k = math.floor((from_mm + phase) / period) * period - phase, 0
    while at < to_mm:
        end = at + style.dashes[k % len(style.dashes)] * style.width_mm
        if k % 2 == 0 and end > from_mm:
            yield max(at, from_mm), min(end, to_mm)
        at, k = end, k + 1


def _level(surface: pygame.Surface, a: Point, b: Point, runs: Sequence[tuple[float, float]], width: float, colour: Rgb) -> None:
    """Many stretches of a level or upright line: what `_stroke` does with each, without its detours."""
    level = abs(b[0] - a[0]) >= abs(b[1] - a[1])
    (start, aside), (end, _) = (a, b) if level else (a[::-1], b[::-1])
    unit = (end - start) / math.dist(a, b)
    across, thick, fill = _whole(aside - width / 2), max(_whole(width), 1), surface.fill
    for u, v in runs:
        low = math.floor(start + unit * (u if unit > 0 else v) + 0.5)
        long = max(math.floor(abs(unit) * (v - u) + 0.5), 1)
        fill(colour, (low, across, long, thick) if level else (across, low, thick, long))


def _stroke(surface: pygame.Surface, a: Point, b: Point, width: float, colour: Rgb) -> None:
    """One straight stroke between two places. A level or upright one fills whole pixels; others are smoothed.

    pygame measures the width along the farther axis and draws about the middles of pixels, both ends included: so the
    width is stretched and the ends are drawn in by half a pixel.
    """
    dx, dy = b[0] - a[0], b[1] - a[1]
    reach = max(abs(dx), abs(dy))
    if min(abs(dx), abs(dy)) < LEVEL_PX:
        half_x, half_y = (0.0, width / 2) if abs(dx) >= abs(dy) else (width / 2, 0.0)
        left, top = _whole(min(a[0], b[0]) - half_x), _whole(min(a[1], b[1]) - half_y)
        w, h = _whole(abs(dx) + 2 * half_x), _whole(abs(dy) + 2 * half_y)
        surface.fill(colour, (left, top, max(w, 1), max(h, 1)))
        return
    thick = max(round(width * math.hypot(dx, dy) / reach), 1)
    aside = 0.5 if thick % 2 else 1.0  # where the middle of so many rows lies
    (x0, y0), (x1, y1) = _between(a, b, min(0.5 / reach, 0.5)), _between(a, b, 1 - min(0.5 / reach, 0.5))
    shift_x, shift_y = (0.5, aside) if abs(dx) >= abs(dy) else (aside, 0.5)
    pygame.draw.aaline(surface, colour, (x0 - shift_x, y0 - shift_y), (x1 - shift_x, y1 - shift_y), thick)


def _area(surface: pygame.Surface, area: Area, viewport: Viewport, pen_px: float) -> bool:
    rings = [_pixels(ring, viewport) for ring in area.rings]
    shapes = [ring for ring in rings if ring is not None]
    if len(shapes) < len(rings):
        return False
    visible = _visible_box(surface, 2)
    cut = [ring for ring in (_polygon_in(ring, visible) for ring in shapes) if len(ring) > 2]
    if area.fill and cut:
        colour = rgb(area.fill)
        if len(cut) == 1:
            pygame.draw.polygon(surface, colour, cut[0])
        else:
            _fill_even_odd(surface, cut, colour)
        if not area.edge:  # smooth the steps that no line will cover
            for ring in cut:
                pygame.draw.aalines(surface, colour, True, [(x - 0.5, y - 0.5) for x, y in ring])
    for outline in area.outlines:
        _line(surface, outline, viewport, pen_px)
    return True


def _fill_even_odd(surface: pygame.Surface, rings: list[list[Point]], colour: Rgb) -> None:
    """Fill what lies inside an odd number of rings."""
    xs, ys = [x for ring in rings for x, _ in ring], [y for ring in rings for _, y in ring]
    left, top = math.floor(min(xs)) - 1, math.floor(min(ys)) - 1
    box = pygame.Rect(left, top, math.ceil(max(xs)) + 2 - left, math.ceil(max(ys)) + 2 - top)
    filled = pygame.Mask(box.size)
    for ring in rings:
        one = pygame.Surface(box.size, pygame.SRCALPHA)
        pygame.draw.polygon(one, (255, 255, 255, 255), [(x - left, y - top) for x, y in ring])
        inside = pygame.mask.from_surface(one)
        both = filled.overlap_mask(inside, (0, 0))
        filled.draw(inside, (0, 0))
        filled.erase(both, (0, 0))
    surface.blit(filled.to_surface(setcolor=(*colour, 255), unsetcolor=(0, 0, 0, 0)), box)


def _label(surface: pygame.Surface, label: Label, viewport: Viewport, glyph_cache: GlyphCache, pen_px: float) -> bool:
    at = _pixels((label.at,), viewport)
    size = label.size_mm * pen_px
    if at is None or not 1 <= size <= 400 or not math.isfinite(label.rotation_rad):
        return at is not None and 0 <= size < 1  # too small to be read is not wrong
    px, bold = round(size), label.weight == "bold"
    image = glyph_cache.drawn(label.text, px, bold, rgb(label.colour))
    (x, y), w, h = at[0], image.get_width(), image.get_height()
    aside = {"start": w / 2, "middle": 0.0, "end": -w / 2}[label.anchor]
    rise = glyph_cache.face(px, bold).get_ascent() - h / 2  # from the middle of the image down to the baseline
    turn = label.rotation_rad
    if turn:
        quarter = abs(turn % (math.pi / 2)) < 1e-9
        degrees = math.degrees(turn)
        image = pygame.transform.rotate(image, degrees) if quarter else pygame.transform.rotozoom(image, degrees, 1.0)
    c, s = math.cos(turn), math.sin(turn)
    middle = (x + aside * c - rise * s, y - aside * s - rise * c)
    surface.blit(image, (round(middle[0] - image.get_width() / 2), round(middle[1] - image.get_height() / 2)))
    return True


def _pixels(places: Sequence[Point], viewport: Viewport) -> list[Point] | None:
    """The places in px; None if one is not finite or absurdly far off."""
    pixels = [viewport.px(place) for place in places]
    return pixels if all(abs(x) < FAR_PX and abs(y) < FAR_PX for x, y in pixels) else None


def _visible_box(surface: pygame.Surface, margin: float) -> tuple[float, float, float, float]:
    """What is in sight: left, top, right, bottom."""
    clip = surface.get_clip()
    by = margin + 2
    return clip.left - by, clip.top - by, clip.right + by, clip.bottom + by


def _polygon_in(ring: Sequence[Point], visible: tuple[float, float, float, float]) -> list[Point]:
    """A polygon cut to what is in sight, side by side (Sutherland & Hodgman, CACM 17 (1974) 32)."""
    points = list(ring)
    for axis, bound, sign in ((0, visible[0], 1), (0, visible[2], -1), (1, visible[1], 1), (1, visible[3], -1)):
        if all(sign * (p[axis] - bound) >= 0 for p in points):
            continue
        kept: list[Point] = []
        for a, b in zip(points, points[1:] + points[:1], strict=True):
            depth_a, depth_b = sign * (a[axis] - bound), sign * (b[axis] - bound)
            if depth_a >= 0:
                kept.append(a)
            if depth_a * depth_b < 0:
                kept.append(_between(a, b, depth_a / (depth_a - depth_b)))
        points = kept
    return points


def _whole(px: float) -> int:
    """The nearest whole number, halves upward, so that equal lengths stay equal wherever they lie."""
    return math.floor(px + 0.5)


def _between(a: Point, b: Point, share: float) -> Point:
    return a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])
