"""The water page: choose a load and a hand, see the hull afloat from the side, push the load about on its floor."""

from __future__ import annotations

import math
from functools import partial

import pygame
from msgspec.structs import replace

from folder.cargo.item import Item, items, own_fault
from folder.draw.picture import Box, Picture
from folder.hull.hull import Hull
from folder.studies import Study
from folder.window import theme
from folder.window.background.identity import IdentityKey
from folder.window.editor import Editor
from folder.window.float.commands import set_load
from folder.window.float.floating import on_floor
from folder.window.float.floor_map import PX_PER_MM, floor_map, map_key
from folder.window.float.knowledge import LoadKnowledge, knowledge_of
from folder.window.float.load_row import hand_row, load_row
from folder.window.float.state import FloatState
from folder.window.float.words import CAUTION, StatusText, prediction_words, status_text
from folder.window.fold.finding_cards import findings
from folder.window.paint.surface import PaintLayer, paint
from folder.window.theme import Size
from folder.window.viewport import Viewport
from folder.window.widgets import Pane, Ui, button, button_w, label, notice, scroll

SIZES_FROM_W = 330.0
"""From this width on the side view has room for draft and freeboard in words."""
ONE_LINE_W = 560.0
"""From this width on a line has room for how much more it takes."""
NO_HULL = "There is no hull to float yet: it must fold, with a floor and walls all round."


TIGHT = 440.0
"""In less height than this the choice of hands rolls with the rest."""


def float_page(ui: Ui, pane: Pane, editor: Editor) -> None:
    """The page."""
    tight = pane.h < TIGHT
    foot_h = ui.display_list.text_h(CAUTION, pane.w - 32, "small") + 2
    foot, pane = pane.cut_bottom(foot_h, 4)
    _caution(ui, foot)
    knowledge = ui.memory("load/items", partial(_objects, editor))
    afloat, used = load_row(ui, pane, editor.state.floating, knowledge)
    set_load(editor, afloat)
    pane = pane.cut_top(used, 6)[1]
    if not tight:
        row, pane = pane.cut_top(theme.PRESS_H, 6)
        set_load(editor, hand_row(ui, row, editor.state.floating))
    item = knowledge.get(editor.state.floating.item)
    study = editor.result.study if editor.result is not None else None
    hull = study.hull if study is not None else None
    if study is None or hull is None or study.brim is None or not 0.0 < hull.rim_height_mm < math.inf:
        used = label(ui, pane.inset(4), NO_HULL if study is not None else "…")
        with scroll(ui, "findings", pane.cut_top(used + 8)[1]) as inside:
            findings(ui, inside, editor)
        return
    _afloat(ui, pane, editor, study, hull, item, tight)


def _objects(editor: Editor) -> dict[str, Item]:
    if own_fault():
        editor.say("Your own list of objects cannot be read. The others are here.", "warn")
    return {item.name: item for item in items()}


def _caution(ui: Ui, pane: Pane) -> None:
    ui.place("load/caution", pane, "text", text=CAUTION, stops=False, pointed=False)
    mark, words = pane.cut_left(24, 8)
    ui.display_list.icon("warn", (mark.middle[0], mark.y + 11), theme.WARN, 20)
    ui.display_list.text(CAUTION, words, "small", wrap=True, top=True)


def _afloat(ui: Ui, pane: Pane, editor: Editor, study: Study, hull: Hull, item: Item | None, tight: bool) -> None:
    load = editor.state.floating
    beside = pane.w >= 460
    with scroll(ui, "load/roll", pane) as inside:
        high = min(max(pane.h - 215.0, 175.0), 300.0)
        row = inside.cut_top(high if beside else 2 * high + 46)[0]
        side, plan = row.columns([1.8, 1], 8) if beside else row.rows([1, 1.26], 6)
        sizes = side.w >= SIZES_FROM_W
        into = Box(0.0, 0.0, side.w / PX_PER_MM, side.h / PX_PER_MM)
        knowledge = knowledge_of(editor, study, hull, load, item, into, sizes)
        down = _say(ui, inside, load, knowledge, "big" if tight else "title") + 6
        _side(ui, side.moved(0, down), knowledge)
        _plan(ui, plan.moved(0, down), editor, hull, knowledge)
        ui.spread(row.moved(0, down))
        rest = Pane(inside.x, row.bottom + down + 6, inside.w, 1e6)
        y = rest.y + _words(ui, rest, load, item, knowledge)
        if tight:
            row = Pane(rest.x, y + 6, rest.w, theme.PRESS_H)
            ui.spread(row)
            set_load(editor, hand_row(ui, row, editor.state.floating))


def _say(ui: Ui, pane: Pane, load: FloatState, knowledge: LoadKnowledge, size: Size) -> float:
    """What happens, in large words; the height that takes."""
    if knowledge.wrong or knowledge.pose is None:
        spoken = StatusText(knowledge.wrong or "Letting it down on the water …", "warn" if knowledge.wrong else "note", "")
    else:
        placed_cargo = None if load.is_off else knowledge.placed_cargo
        cargo = knowledge.prediction.cargo if knowledge.prediction is not None else None
        spoken = status_text(load, knowledge.mass_g, knowledge.pose, placed_cargo, None if cargo is None else cargo.count)
    room = pane.w - 60
    title_h, line_h = (ui.display_list.text_h(t, room, s, s == size) for t, s in ((spoken.title, size), (spoken.line, "body")))
    # What lies below must not jump while the hand drags it.
    lines = 1 if pane.w >= ONE_LINE_W else 2
    line_h = max(line_h, lines * theme.SIZES["body"] * theme.LEADING)
    pane = Pane(pane.x, pane.y, pane.w, title_h + line_h + 14)
    ui.place("load/state", pane, "text", text=spoken.title, value=spoken.level, stops=False, pointed=False)
    ui.place("load/line", pane, "text", text=spoken.line, stops=False, pointed=False)
    if not spoken.line:
        return max(notice(ui, pane._replace(h=1e6), spoken.title, spoken.level), pane.h)
    colour = theme.LEVEL_INK[spoken.level]
    ui.display_list.plate(pane, theme.LEVEL_TINT[spoken.level], colour)
    mark, words = pane.inset(10, 6).cut_left(32, 8)
    ui.display_list.icon(theme.LEVEL_ICON[spoken.level], mark.middle, colour, 30)
    title, line = words.cut_top(title_h)
    ui.display_list.text(spoken.title, title, size, bold=True, colour=colour, wrap=True, top=True)
    ui.display_list.text(spoken.line, line, colour=theme.INK, wrap=True, top=True)
    return pane.h


def _side(ui: Ui, pane: Pane, knowledge: LoadKnowledge) -> None:
    """The hull afloat."""
    cache: PaintLayer = ui.memory("load/side/layer", PaintLayer)
    pose = knowledge.pose
    text = "" if pose is None else pose.rest.state
    ui.place("load/side", pane, "picture", text=text, value=pose, stops=False, pointed=False)
    ui.display_list.plate(pane, theme.PAPER, theme.HAIR)
    if pose is None:
        return
    picture, inner = pose.side, pane.inset(2)
    key = (IdentityKey(pose), inner.w, inner.h, ui.scale)

    def draw(surface: pygame.Surface, rect: pygame.Rect) -> None:
        cache.show(surface, rect, key, lambda s: _painted(ui, s, picture))

    ui.display_list.custom(inner, key, draw)


def _painted(ui: Ui, surface: pygame.Surface, picture: Picture) -> None:
    surface.fill(theme.PAPER)
    viewport = Viewport.fit(picture.box, 0, 0, *surface.get_size())
    paint(surface, picture, viewport, ui.display_list.renderer.glyph_cache, PX_PER_MM * ui.scale)


def _plan(ui: Ui, pane: Pane, editor: Editor, hull: Hull, knowledge: LoadKnowledge) -> None:
    """The floor from above, with what belongs to it below."""
    load = editor.state.floating
    foot, pane = pane.cut_bottom(34, 4)
    placed_cargo = knowledge.placed_cargo if not load.is_off else None
    objects = placed_cargo.objects if placed_cargo is not None else ()
    layer = min(load.layer, max((placed_cargo.layers if placed_cargo is not None else 1) - 1, 0))
    wet = None if knowledge.pose is None else knowledge.pose.rest.at[:2]
    if knowledge.pose is not None and knowledge.pose.rest.freeboard is not None:
        wet = knowledge.pose.rest.freeboard.at[:2]
    best = knowledge.best
    at = knowledge.at if load.is_off else best
    wanted = floor_map(ui, pane, hull, objects, layer, at, wet, key=map_key(hull, placed_cargo))
    if wanted != at:
        x, y = on_floor(hull, best, wanted)
        set_load(editor, replace(load, eccentricity_mm=(round(x - best[0], 1), round(y - best[1], 1))))
        ui.redraw()
    if load.is_off:
        text = f"Bring it back {math.hypot(*load.eccentricity_mm):.0f} mm"
        text = text if button_w(ui, text) <= foot.w else text.removeprefix("Bring it ").capitalize()
        if button(ui, "load/middle", foot, text, tip="Lay the load where it should be"):
            set_load(editor, replace(load, eccentricity_mm=(0.0, 0.0)))
    elif placed_cargo is not None and placed_cargo.layers > 1:
        _layers(ui, foot, editor, layer, placed_cargo.layers)
    elif placed_cargo is not None and objects:
        ui.display_list.text("Load by number", foot, "small", align="middle")
    else:
        ui.display_list.text("Drag the load", foot, "small", align="middle")


def _layers(ui: Ui, pane: Pane, editor: Editor, layer: int, layers: int) -> None:
    """Which layer the map shows."""
    down, rest = pane.cut_left(36, 4)
    up, words = rest.cut_right(36, 4)
    text = f"Layer {layer + 1} of {layers}"
    text = text if ui.display_list.text_w(text, "small") <= words.w else text.removeprefix("Layer ")
    ui.display_list.text(text, words, "small", align="middle")
    if button(ui, "load/lower", down, icon="left", enabled=layer > 0, tip="The layer below"):
        set_load(editor, replace(editor.state.floating, layer=layer - 1))
    if button(ui, "load/upper", up, icon="right", enabled=layer + 1 < layers, tip="The layer above"):
        set_load(editor, replace(editor.state.floating, layer=layer + 1))


def _words(ui: Ui, pane: Pane, load: FloatState, item: Item | None, knowledge: LoadKnowledge) -> float:
    """What is foretold, and why no more; the height it takes."""
    if knowledge.prediction is None:
        return 0.0 if knowledge.wrong else label(ui, pane, "Working out how many it takes …", colour=theme.SOFT_INK)
    y = pane.y
    lines = list(prediction_words(load, item, knowledge.prediction))
    ui.place("load/prediction", Pane(pane.x, y, pane.w, 1), "text", text=lines[0], stops=False, pointed=False)
    for k, line in enumerate(lines):
        y += label(ui, Pane(pane.x, y, pane.w, 1e6), line, "body" if k == 0 else "small", bold=k == 0) + 3
    return y - pane.y
