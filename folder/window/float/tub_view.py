"""The tub: the hull afloat, a little from above, with what is in it. A press lets an object go where the hand points."""

from __future__ import annotations

import math
from functools import partial

import numpy as np
import pygame
from msgspec.structs import replace

from folder.cargo.spot import Spot
from folder.draw.hull.rough import takes_long
from folder.draw.tub.attitude import Attitude
from folder.draw.tub.moment import USUAL, Moment, picture_of
from folder.draw.tub.pick import place_under
from folder.draw.tub.scene import marks_of
from folder.draw.tub.shell import Shell, shell_of
from folder.draw.tub.water import tub_in_front
from folder.findings import Point
from folder.geometry.space import Floats
from folder.window import theme
from folder.window.background.identity import IdentityKey
from folder.window.editor import Editor
from folder.window.float.actions import add_at, set_cursor
from folder.window.float.floating import best_load_place, on_floor
from folder.window.float.knowledge import KnownHull, next_spot
from folder.window.float.lying import TubPose
from folder.window.float.motion import STEP_S, TubMotion, TubScene, motion_to
from folder.window.paint.facets import paint_facets
from folder.window.paint.layer import PaintLayer
from folder.window.paint.surface import PEN_PX
from folder.window.widgets import Pane, Ui, label, touch_area
from folder.window.widgets.keys import ENTER

TOP, BOTTOM, ASIDE = 78.0, 44.0, 24.0
"""Kept free of the hull: for the words, for the buttons, at the sides."""
FOOT_H = 62.0
"""At the foot of the tub is the row of the coach: no press there reaches the tub."""
SPARE = 1.04
"""Room round the hull, for it to tilt in."""
MOST_PX = 9.0
"""A mm is drawn no larger than this."""
KEY_MM = 4.0
"""How far an arrow key moves the place."""
RIGHT: Point = (float(USUAL.axes[0, 0]), float(USUAL.axes[0, 1]))
"""The picture's right, in the hull's frame."""
AWAY: Point = (-RIGHT[1], RIGHT[0])

BUILDING = "The boat is put together …"


class TubFrame:
    """What moves, between passes."""

    def __init__(self) -> None:
        self.motion: TubMotion | None = None

    def come(self, scene: TubScene, now_s: float) -> TubMotion:
        """The motion to a scene; a new one when it is another scene than before."""
        held = self.motion
        same = held is not None and held.to.lying is scene.lying and held.to.spots == scene.spots and held.to.shell is scene.shell
        if held is None or not same:
            self.motion = motion_to(held, scene, now_s)
        assert self.motion is not None
        return self.motion


def tub_view(ui: Ui, pane: Pane, editor: Editor, known: KnownHull, lying: TubPose) -> bool:
    """The tub; whether all is still in it."""
    state = editor.state.floating
    shell = _shell(editor, known)
    if shell is None:
        label(ui, pane.inset(24, 92), BUILDING)
        return False
    frame = ui.memory("float/frame", TubFrame)
    motion = frame.come(TubScene(shell, known.item, state.loading.spots, lying), ui.now_s)
    still = motion.over(ui.now_s)
    if not still:
        ui.redraw_in(STEP_S)
    spot = _shown_spot(known, editor) if still else None
    moment = replace(motion.at(ui.now_s), next_spot=spot, tub=state.tub)
    px_per_mm, origin = _fit(pane, known, moment)
    reach = pane.cut_bottom(FOOT_H)[1]
    touch = touch_area(ui, "float/tub", reach, text="The tub: press in the hull, and an object is let go there")
    ui.mark(touch.record, moment)
    if touch.up == 1 and touch.over and not state.loading.ending:
        seen_at = ((touch.at[0] - pane.x - origin[0]) / px_per_mm, (origin[1] - (touch.at[1] - pane.y)) / px_per_mm)
        add_at(editor, on_floor(known.hull, best_load_place(known.hull, known.study), place_under(moment, seen_at)))
    _keys(ui, editor, known, touch.record.name)
    if ui.drawing:
        _draw(ui, pane, moment, lying, still, px_per_mm, origin)
        if ui.shows_focus(touch.record):
            ui.display_list.ring(reach.inset(5, 5))
        if still and lying.afloat and not lying.tub.grounds:
            _freeboard(ui, pane, moment, lying, px_per_mm, origin)
    return still


def _shell(editor: Editor, known: KnownHull) -> Shell | None:
    """The hull as it is painted; one of very many faces is put together in a thread, and None till it is."""
    hull, layering = known.hull, known.study.layering
    if not takes_long(hull.folded):
        return shell_of(hull, layering)
    key = (IdentityKey(hull), IdentityKey(layering))
    answer = editor.worker.ask_job("shell", key, partial(shell_of, hull, layering)).answer_to(key)
    shell: Shell | None = None if answer is None else answer.value
    return shell


def _shown_spot(known: KnownHull, editor: Editor) -> Spot | None:
    """The place that is lit: where the keys are, or the next of the plan."""
    state = editor.state.floating
    if known.item is None or state.loading.ending:
        return None
    if state.cursor is not None:
        height = known.item.extents_mm[2]
        return Spot(*state.cursor, height / 2.0, height / 2.0)
    return next_spot(known.plan, state.loading.spots, known.item)


def _fit(pane: Pane, known: KnownHull, moment: Moment) -> tuple[float, Point]:
    """Logical px to a mm, and where the picture's 0, 0 lies in the pane: the whole hull in its frame, however it lies."""
    vertices = known.hull.skin.vertices
    ends = [replace(moment, attitude=Attitude(0.0, 0.0, draft)) for draft in (0.0, known.hull.rim_height_mm)]
    seen = np.concatenate([picture_of(end, vertices) for end in ends])
    (left, bottom), (right, top) = seen.min(axis=0).tolist(), seen.max(axis=0).tolist()
    room = Pane(ASIDE, TOP, max(pane.w - 2 * ASIDE, 40.0), max(pane.h - TOP - BOTTOM, 40.0))
    px = min(room.w / (SPARE * (right - left)), room.h / (SPARE * (top - bottom)), MOST_PX)
    x, y = room.x + room.w / 2 - px * (left + right) / 2, room.y + room.h / 2 + px * (bottom + top) / 2
    lowest = y - px * float(picture_of(moment, vertices)[:, 1].min())
    return px, (x, y - max(0.0, lowest - room.y - room.h))  # the eye goes down with a hull that sinks


def _draw(ui: Ui, pane: Pane, moment: Moment, lying: TubPose, still: bool, px_per_mm: float, origin: Point) -> None:
    cache: PaintLayer = ui.memory("float/tub/layer", PaintLayer)
    rest = (IdentityKey(moment.shell), IdentityKey(lying), moment.next_spot, moment.tub, moment.item)
    key = (*rest, pane.w, pane.h, ui.scale, None if still else ui.now_s)
    scale = ui.scale

    def draw(surface: pygame.Surface, rect: pygame.Rect) -> None:
        cache.show(surface, rect, key, made)

    def made(surface: pygame.Surface) -> None:
        surface.fill(theme.TABLE)
        zoom, at = px_per_mm * scale, (origin[0] * scale, origin[1] * scale)
        paint_facets(surface, marks_of(moment), zoom, at, PEN_PX * scale)
        paint_facets(surface, tub_in_front(moment), zoom, at, PEN_PX * scale)

    ui.display_list.custom(pane, key, draw)


def _freeboard(ui: Ui, pane: Pane, moment: Moment, lying: TubPose, px_per_mm: float, origin: Point) -> None:
    """At the lowest place of the rim: a drop, and how many mm are left."""
    rim = np.array(lying.at)
    foot = moment.attitude.world(rim[None])[0]
    foot[2] = 0.0
    (x, y), (_, low) = (_px(pane, p, px_per_mm, origin) for p in (picture_of(moment, rim), foot @ moment.view.axes[:2].T))
    right = x > pane.middle[0]
    x += 14 if right else -14
    ui.display_list.line((x, y), (x, low), theme.INK, 2)
    for level in (y, low):
        ui.display_list.line((x - 5, level), (x + 5, level), theme.INK, 2)
    text = f"{max(math.floor(lying.least_mm + 1e-6), 0)} mm left" if lying.least_mm >= 1.0 else "under 1 mm left"
    w = ui.display_list.text_w(text, "body", True) + 14
    left = x + 22 if right else x - 22 - w
    card = Pane(min(max(left, pane.x + 4), pane.right - w - 4), (y + low) / 2 - 14, w, 28)
    ui.display_list.icon("drop", (x + (12 if right else -12), (y + low) / 2), theme.STOP, 18)
    ui.display_list.plate(card, theme.PAPER, theme.HAIR)
    ui.place("float/left", card, "text", text=text, value=lying.least_mm, stops=False, pointed=False)
    ui.display_list.text(text, card, bold=True, align="middle")


def _px(pane: Pane, point: Floats, px_per_mm: float, origin: Point) -> Point:
    return (pane.x + origin[0] + px_per_mm * float(point[0]), pane.y + origin[1] - px_per_mm * float(point[1]))


def _keys(ui: Ui, editor: Editor, known: KnownHull, name: str) -> None:
    """Arrows move the place, Enter lets an object go there, or on the next place of the plan."""
    record = ui.records[name]
    state = editor.state.floating
    right, down = ui.arrow(record)
    if right or down:
        begin = next_spot(known.plan, state.loading.spots, known.item) if known.item is not None else None
        at = state.cursor or ((begin.x_mm, begin.y_mm) if begin is not None else (0.0, 0.0))
        wanted = (
            at[0] + KEY_MM * (right * RIGHT[0] - down * AWAY[0]),
            at[1] + KEY_MM * (right * RIGHT[1] - down * AWAY[1]),
        )
        set_cursor(editor, on_floor(known.hull, best_load_place(known.hull, known.study), wanted))
        ui.redraw()
    elif ui.key(record) in (*ENTER, pygame.K_SPACE):
        ui.take()
        add_at(editor, state.cursor)
        ui.redraw()
