"""How the sheet is painted: at rest, what is picked, and what moves over it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import lru_cache

import pygame
from msgspec import Struct
from msgspec.structs import replace

from folder.draw.picture import Picture
from folder.draw.sheet.flat import FaceRing, crease_sheet, crease_style, face_rings
from folder.draw.sheet.mark import crimp_mark
from folder.draw.style import STYLES, Style
from folder.findings import Finding, Point
from folder.fold.sequence.steps import FoldSequence, with_numbers
from folder.pattern.pattern import Crease, Pattern
from folder.window import theme
from folder.window.background.identity import IdentityKey
from folder.window.editor import Editor
from folder.window.paint.surface import PAINTED_AT_ONCE, PEN_PX, ink, paint, painted_in_parts
from folder.window.tools.tool import Preview
from folder.window.viewport import Viewport
from folder.window.widgets.glyph_cache import GlyphCache

GRID_LEAST_PX = 7.0
"""Grid lines nearer than this on the screen would be a grey veil."""
HALO = Style(2.6, (), "#BCD6F2")
STEP_LIT = Style(2.8, (), "#FFD166")
LIT = Style(0.5, (), "#8A5A00")
LIT_AWAY_MM = 1.3
UNDER = Style(0.8, (), "#FFFFFF")
"""Paper under a line to be laid, so that it is not mixed with one that it replaces."""
MOST_MARKED = 12
"""More findings than this are not all marked: the sheet must stay readable."""


class RestingDrawing(Struct, frozen=True):
    """What the drawing at rest looks like: the key under which its picture is kept."""

    drawing: IdentityKey
    left_out: frozenset[int]
    """Creases that the hand is moving."""
    findings: tuple[Finding, ...]
    floor: IdentityKey
    viewport: Viewport
    grid_mm: float
    numbers: tuple[int | None, ...]
    """For each crease the number of its step; () where the numbers, some of which stand outside the sheet, have no room."""
    picked: tuple[Crease, ...]
    """What is picked and rests: its band lies under the lines and the numbers."""
    lit: tuple[IdentityKey, int] | None
    """The order of folds and the step of it whose lines light up."""

    @classmethod
    def of(cls, editor: Editor, viewport: Viewport, steps: bool) -> RestingDrawing:
        """The drawing as it rests now."""
        base, drag_pattern = editor.document.pattern, editor.state.drag_pattern
        left_out = editor.state.moved_creases if drag_pattern is not None else frozenset[int]()
        fresh = editor.fresh if drag_pattern is None else None
        known = fresh is not None and fresh.study is not None
        compared = editor.state.better.of is not None  # the lines of a better hull lie over the sheet
        covered = compared or (editor.state.tool.name == "corner" and bool(editor.preview.strokes))
        findings = tuple(_marked(editor.findings)) if known and not covered else ()
        floor = IdentityKey(fresh.study if fresh is not None else None)
        numbers = editor.step_numbers if steps and not compared else ()
        picked = editor.picked_creases if drag_pattern is None else ()
        order, step = fresh.order if fresh is not None else None, editor.state.player.step
        lit = (IdentityKey(order), step) if order is not None and step is not None and step < len(order.steps) else None
        return cls(IdentityKey(base), left_out, findings, floor, viewport, editor.state.setting.grid_mm, numbers, picked, lit)

    @property
    def pattern(self) -> Pattern:
        """The drawing without what moves, with the numbers of its steps."""
        whole = self.drawing.thing
        assert isinstance(whole, Pattern)
        if self.numbers:
            whole = with_numbers(whole, self.numbers)
        if not self.left_out:
            return whole
        kept = tuple(c for i, c in enumerate(whole.creases) if i not in self.left_out)
        return replace(whole, creases=kept, crimps=(), family=None)  # pinches follow when the hand lets go

    @property
    def lit_lines(self) -> list[tuple[Point, Point]]:
        """The lines of the step that is shown."""
        if self.lit is None:
            return []
        order = self.lit[0].thing
        assert isinstance(order, FoldSequence)
        faces = order.faces
        ends = faces.vertices[faces.edges[order.steps[self.lit[1]].edges]]
        return [((ax, ay), (bx, by)) for (ax, ay), (bx, by) in ends.tolist()]


def _marked(findings: tuple[Finding, ...]) -> Iterator[Finding]:
    """The findings with as many of their places as the sheet has room to mark."""
    left = MOST_MARKED
    for finding in findings[:MOST_MARKED]:
        if left <= 0:
            return
        yield finding if finding.count <= left else replace(finding, places=finding.places[:left])
        left -= finding.count


def resting_in_parts(
    surface: pygame.Surface, resting: RestingDrawing, viewport: Viewport, scale: float, glyph_cache: GlyphCache
) -> Iterator[int]:
    """Paint the drawing at rest on a surface of the pane's size, in parts where it is large."""
    surface.fill(theme.TABLE)
    pattern = resting.pattern
    times = viewport.px_per_mm / PEN_PX
    rings = _floor_rings(resting)
    picture = crease_sheet(pattern, resting.findings, floor=rings, scale=times, steps=bool(resting.numbers))
    pen_px = PEN_PX * scale
    place = Viewport(pen_px, (viewport.origin_px[0] * scale, viewport.origin_px[1] * scale))
    # The grid lies on the sheet and under the lines: after the sheet and the floor, which come first in the picture.
    under = 1 + len(rings)
    if len(picture.marks) > PAINTED_AT_ONCE:
        yield len(picture.marks) // 4  # what it took to say what is drawn
    yield from painted_in_parts(surface, Picture(picture.marks[:under], picture.box), place, glyph_cache, pen_px)
    _grid(surface, pattern, resting.grid_mm, viewport, scale)
    for line in resting.lit_lines:
        _stroke(surface, line, STEP_LIT, place, pen_px, times)
    for crease in resting.picked:
        _stroke(surface, (crease.start, crease.end), HALO, place, pen_px, times)
    yield from painted_in_parts(surface, Picture(picture.marks[under:], picture.box), place, glyph_cache, pen_px)


def _floor_rings(resting: RestingDrawing) -> tuple[FaceRing, ...]:
    """The floor's faces on the sheet, where they are known."""
    drawing = resting.drawing.thing
    return _rings_of(resting.floor) if isinstance(drawing, Pattern) and len(drawing.creases) > len(resting.left_out) else ()


@lru_cache(maxsize=2)
def _rings_of(study: IdentityKey) -> tuple[FaceRing, ...]:
    hull = getattr(study.thing, "hull", None)
    if hull is None:
        return ()
    faces = hull.folded.faces
    return tuple(ring for face in hull.floor_faces.nonzero()[0].tolist() for ring in face_rings(faces, face)[:1])


def _grid(surface: pygame.Surface, pattern: Pattern, pitch_mm: float, viewport: Viewport, scale: float) -> None:
    if not pitch_mm:
        return
    while pitch_mm * viewport.px_per_mm < GRID_LEAST_PX:
        pitch_mm *= 2.0
    zoom, (left, low) = viewport.px_per_mm * scale, (viewport.origin_px[0] * scale, viewport.origin_px[1] * scale)
    width, height = pattern.sheet.width_mm, pattern.sheet.height_mm
    clip = surface.get_clip()
    for k in range(1, int(width / pitch_mm) + 1):
        x = round(left + k * pitch_mm * zoom)
        if clip.left <= x < clip.right and k * pitch_mm < width:
            surface.fill(theme.FADED, (x, round(low - height * zoom), 1, round(height * zoom)))
    for k in range(1, int(height / pitch_mm) + 1):
        y = round(low - k * pitch_mm * zoom)
        if clip.top <= y < clip.bottom and k * pitch_mm < height:
            surface.fill(theme.FADED, (round(left), y, round(width * zoom), 1))


def paint_picked(surface: pygame.Surface, creases: tuple[Crease, ...], viewport: Viewport, scale: float, *, moving: bool) -> None:
    """Picked creases: a square at each end, and under those that move a broad band, which those at rest have already."""
    pen_px = PEN_PX * scale
    for crease in creases if moving else ():
        _stroke(surface, (crease.start, crease.end), HALO, viewport, pen_px)
    for crease in creases if moving else ():
        _stroke(surface, (crease.start, crease.end), STYLES[crease_style(crease)], viewport, pen_px)
    side = round(9 * scale)
    for crease in creases:
        for end in (crease.start, crease.end):
            x, y = viewport.px(end)
            box = pygame.Rect(round(x - side / 2), round(y - side / 2), side, side)
            surface.fill(theme.INK, box)
            surface.fill(theme.PAPER, box.inflate(-4, -4))


def paint_over(
    surface: pygame.Surface,
    preview: Preview,
    moving: tuple[Crease, ...],
    viewport: Viewport,
    scale: float,
    by_keys: bool,
    busy: bool,
) -> None:
    """What moves over the sheet: lines being dragged or laid, lines lit, the place where the hand rests."""
    pen_px = PEN_PX * scale
    for line in preview.lit:
        _beside(surface, line, viewport, pen_px)
    for crease in preview.strokes:
        _stroke(surface, (crease.start, crease.end), UNDER, viewport, pen_px)
    for crease in (*moving, *preview.strokes):
        _stroke(surface, (crease.start, crease.end), STYLES[crease_style(crease)], viewport, pen_px)
    if preview.box is not None:
        (ax, ay), (bx, by) = viewport.px(preview.box[0]), viewport.px(preview.box[1])
        box = pygame.Rect(round(min(ax, bx)), round(min(ay, by)), round(abs(bx - ax)) + 1, round(abs(by - ay)) + 1)
        pygame.draw.rect(surface, theme.FOCUS, box, max(round(2 * scale), 1))
    x, y = viewport.px(preview.at)
    if preview.tool == "pinch":
        mark = crimp_mark((0.0, 0.0))
        paint(surface, Picture.of((mark,)), Viewport(pen_px, (x, y)), GlyphCache(), pen_px)
    elif preview.firm:
        pygame.draw.circle(surface, theme.FOCUS, (x, y), 7 * scale, max(round(2 * scale), 1))
    elif busy or by_keys:
        pygame.draw.circle(surface, theme.FOCUS, (x, y), 3 * scale)
    if by_keys:
        arm, wide = round(14 * scale), max(round(2 * scale), 1)
        surface.fill(theme.FOCUS, (round(x) - arm, round(y) - wide // 2, 2 * arm, wide))
        surface.fill(theme.FOCUS, (round(x) - wide // 2, round(y) - arm, wide, 2 * arm))


def paint_fading(surface: pygame.Surface, line: tuple[Point, Point], share: float, viewport: Viewport, scale: float) -> None:
    """A line as the hand drew it, on its way to the colour of the paper."""
    paper, ink = theme.PAPER, theme.FOCUS
    mixed = tuple(round(p + (i - p) * share) for p, i in zip(paper, ink, strict=True))
    style = Style(0.6, (), "#{:02X}{:02X}{:02X}".format(*mixed))
    _stroke(surface, line, style, viewport, PEN_PX * scale)


def reach_of(preview: Preview, moving: tuple[Crease, ...]) -> tuple[Point, ...]:
    """The places between which all of it lies."""
    lines: list[tuple[Point, ...]] = [(c.start, c.end) for c in (*moving, *preview.strokes)]
    lines += [*preview.lit, *([preview.box] if preview.box else []), (preview.at,)]
    return tuple(p for line in lines for p in line)


def _beside(surface: pygame.Surface, line: tuple[Point, Point], viewport: Viewport, pen_px: float) -> None:
    """A thin line on either side of a line, which stays as it is drawn."""
    (ax, ay), (bx, by) = viewport.px(line[0]), viewport.px(line[1])
    length = math.hypot(bx - ax, by - ay)
    if 0.0 < length < 1e6:
        for side in (-1.0, 1.0):
            dx, dy = side * LIT_AWAY_MM * pen_px * (ay - by) / length, side * LIT_AWAY_MM * pen_px * (bx - ax) / length
            ink(surface, ((ax + dx, ay + dy), (bx + dx, by + dy)), LIT, pen_px)


def _stroke(
    surface: pygame.Surface, line: tuple[Point, Point], style: Style, viewport: Viewport, pen_px: float, times: float = 1.0
) -> None:
    a, b = (viewport.px((times * x, times * y)) for x, y in line)
    if max(map(abs, (*a, *b))) < 1e6:
        ink(surface, (a, b), style, pen_px)
