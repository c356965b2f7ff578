"""Which page is turned to, and how the sheet and the hull are looked at."""

from __future__ import annotations

import math

from msgspec.structs import replace

from folder.draw.hull.view import View
from folder.draw.picture import Box
from folder.findings import Point
from folder.window.editor import Editor
from folder.window.fold.film.player import Player, one_step, played, stepped
from folder.window.tools.tool import SheetPointer, Tool
from folder.window.view_state import PageName
from folder.window.viewport import Viewport

MARGIN_PX, LITTLE_MARGIN_PX = 40.0, 16.0
"""Round the whole sheet: for the numbers beside it, or for the half of a sign that stands on its edge."""
ZOOM_PX = 42.0
"""At the right of the sheet's pane, for the zoom buttons: the whole sheet stays clear of them."""
LITTLE_PX = 350.0
"""In a pane smaller than this the whole sheet gets the little margin, and no numbers of steps."""
LEAST_ZOOM, MOST_ZOOM = 0.4, 40.0
LOWEST_RAD, HIGHEST_RAD = math.radians(-60.0), math.radians(89.0)
KEY_TURN_RAD = math.radians(15.0)


# The sheet


def is_roomy(size: tuple[float, float]) -> bool:
    """Whether there is room round the whole sheet for what stands outside it."""
    return min(size) > LITTLE_PX


def viewport_of(editor: Editor, size: tuple[float, float]) -> Viewport:
    """How the sheet is looked at in a pane of a size, logical px from its upper left."""
    viewport = editor.state.viewport
    if viewport is not None and viewport.is_sound:
        return viewport
    sheet = editor.pattern.sheet
    margin = MARGIN_PX if is_roomy(size) else LITTLE_MARGIN_PX
    return Viewport.fit(Box(0.0, 0.0, sheet.width_mm, sheet.height_mm), 0.0, 0.0, size[0] - ZOOM_PX, size[1], margin)


def set_sheet_size(editor: Editor, size: tuple[float, float]) -> None:
    """The room the sheet has in the window, logical px."""
    editor.sheet_size = size


def look_through(editor: Editor, viewport: Viewport | None) -> None:
    """Look at the sheet through a viewport; None shows it whole."""
    editor.show(replace(editor.state, viewport=viewport))


def zoom(editor: Editor, times: float, about: Point | None = None) -> None:
    """Nearer or further off, about a place of the sheet's pane, its middle if none is named."""
    width, height = editor.sheet_size
    about = about or (width / 2, height / 2)
    look_through(editor, viewport_of(editor, editor.sheet_size).zoomed(times, about, LEAST_ZOOM, MOST_ZOOM))


def point(editor: Editor, pointer: SheetPointer | None, *, by_keys: bool = False) -> None:
    """The pointer is at a place of the sheet, or has left it."""
    editor.show(replace(editor.state, pointer=pointer, by_keys=by_keys))


def go_to_sheet(editor: Editor) -> None:
    """The keys go to the sheet."""
    editor.focus_request = "sheet"


# The hull


def turn_camera(editor: Editor, around_rad: float, above_rad: float) -> None:
    """Turn the hull."""
    camera = editor.state.camera
    above = min(max(camera.above_rad + above_rad, LOWEST_RAD), HIGHEST_RAD)
    camera = replace(camera, around_rad=(camera.around_rad + around_rad) % (2 * math.pi), above_rad=above)
    editor.show(replace(editor.state, camera=camera))


def usual_camera(editor: Editor) -> None:
    """The hull as it is usually looked at."""
    editor.show(replace(editor.state, camera=View()))


def quarter_turn(editor: Editor, quarters: int) -> None:
    """Turn the hull by a quarter, or by several."""
    turn_camera(editor, quarters * math.pi / 2.0, 0.0)


# The film of the folding


def step_count(editor: Editor) -> int:
    """How many steps there are; 0 while the order of folds is not known."""
    order = editor.result.order if editor.result is not None else None
    return 0 if order is None else len(order.steps)


def set_player(editor: Editor, player: Player) -> None:
    """Show the folding at a moment; what runs has its film found."""
    editor.show(replace(editor.state, player=player))
    if player.runs:
        editor.worker.want_film()


def play(editor: Editor) -> None:
    """Play the folding, or pause."""
    set_player(editor, played(editor.state.player, step_count(editor)))


def play_step(editor: Editor, index: int) -> None:
    """Play one step; pressed again while it is shown, the whole hull is shown."""
    set_player(editor, Player() if editor.state.player.step == index else one_step(index))


def step_by(editor: Editor, by: int) -> None:
    """One step on or back; past either end the whole hull again."""
    set_player(editor, stepped(editor.state.player, by, step_count(editor)))


# The pages


def turn_to(editor: Editor, page: PageName) -> None:
    """Turn to a page; what the hand had begun is put down."""
    if page != editor.state.page:
        editor.show(replace(editor.state, page=page, tool=Tool(editor.state.tool.name), drag_pattern=None, pointer=None))
        editor.changed()
