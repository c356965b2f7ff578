"""What the room sees: the object in letters that can be read from the last row, and the clocks."""

from __future__ import annotations

from folder.event.rules import EventObject
from folder.window import theme
from folder.window.editor import Editor
from folder.window.event.commands import announce, clock_of, press_clock, reset_clock
from folder.window.event.day import Day
from folder.window.event.letters import READ_FROM_M, read_from_m, type_size
from folder.window.event.state import LAST_MINUTE_S, ClockName
from folder.window.event.writing import set_event, show_part, the_day
from folder.window.theme import Rgb
from folder.window.widgets import Pane, Ui, button, choice, label

CLOCK_WORDS: dict[ClockName, str] = {"build": "building", "load": "loading"}
LEAST_SIZE = 28.0
TIGHT = 1.12
"""From line to line of the large letters, over their size."""
NOT_YET = "not announced yet"
ENTER = "Enter the object"


def _lines(thing: EventObject | None) -> list[str]:
    """What is announced, line by line."""
    if thing is None:
        return [NOT_YET]
    mass = [] if thing.mass_g is None else [f"{thing.mass_g:g} g"]
    return [thing.name, *mass]


def fitted(ui: Ui, lines: list[str], room: Pane, most: float) -> tuple[float, list[str]]:
    """The largest size up to `most` at which the lines fit the room, broken at spaces, and the lines as they are then broken."""
    size = most
    cache = ui.display_list.renderer.glyph_cache
    while True:
        px, width = ui.display_list.text_px(size), int(room.w * ui.scale)
        broken = [part for line in lines for part in cache.wrap(line, px, True, width)]
        words = max((word for line in lines for word in line.split()), key=len, default="")
        fits = len(broken) * TIGHT * size <= room.h and ui.display_list.text_w(words, size, True) <= room.w
        if fits or size <= LEAST_SIZE:
            return size, broken
        size = max(0.94 * size, LEAST_SIZE)


def draw_large(ui: Ui, lines: list[str], room: Pane, most: float, ink: Rgb) -> float:
    """Lines in the middle of a room, as large as they fit; their size."""
    size, broken = fitted(ui, lines, room, most)
    high = TIGHT * size
    y = room.y + max(room.h - high * len(broken), 0.0) / 2
    for line in broken:
        # A line of type is higher than the step from one to the next: its pane reaches over its neighbours'.
        pane = Pane(room.x, y + high / 2 - 0.66 * size, room.w, 1.32 * size)
        ui.display_list.text(line, pane, size, bold=True, colour=ink, align="middle")
        y += high
    return size


def object_card(ui: Ui, pane: Pane, editor: Editor, day: Day) -> None:
    """The object beside the station."""
    ui.display_list.plate(pane, theme.INK, radius=12)
    inside = pane.inset(18, 14)
    head, inside = inside.cut_top(26, 4)
    ui.display_list.text("today's object", head, "small", colour=theme.PAPER, align="middle")
    foot, inside = inside.cut_bottom(theme.PRESS_H, 8)
    thing = day.rules.objects[0] if day.rules.objects else None
    draw_large(ui, _lines(thing), inside, 64.0, theme.PAPER)
    if thing is None:
        _enter_object(ui, "test/object", foot, editor)
    elif button(ui, "test/announce", foot, "Show the room", icon="fit", tip="The object as large as the window (O)"):
        announce(editor)


def _enter_object(ui: Ui, name: str, pane: Pane, editor: Editor) -> None:
    """The way to the field where the object is entered."""
    if button(ui, name, pane, ENTER, icon="new"):
        show_part(editor, "rules")
        ui.focus_on("rules/object")
        ui.redraw()


def announcement(ui: Ui, pane: Pane, editor: Editor) -> None:
    """The object as large as the window, with the clock that runs."""
    day = the_day(editor)
    if day is None:
        announce(editor)
        return
    ui.display_list.fill(pane, theme.INK)
    ui.messages = [message for message in ui.messages if message.level in ("warn", "stop")]  # the room does not read along
    foot, inside = pane.inset(24, 10).cut_bottom(theme.PRESS_H, 4)
    objects = day.rules.objects or (None,)
    lines = [line for thing in objects for line in _lines(thing)]
    size = draw_large(ui, lines, inside, 1.25 * type_size(pane.w), theme.PAPER)
    back, rest = foot.cut_right(120, 14)
    clock, words = rest.cut_left(170, 14)
    running = editor.state.eventing.clocks.get(editor.state.eventing.shown_clock)
    if running is not None:
        ui.redraw_in(0.2)
        ui.display_list.text(clock_text(running.left(ui.now_s)), clock, "number", bold=True, colour=theme.PAPER)
    far = read_from_m(size, pane.w)
    text = (
        f"Read from {READ_FROM_M:g} m with ease."
        if far >= READ_FROM_M
        else f"Read from {far:.1f} m with ease: a shorter name is larger."
    )
    ui.place("announce/far", words, "text", text=text, value=far, stops=False, pointed=False)
    ui.display_list.text(text, words, "small", colour=theme.PAPER, align="right")
    if button(ui, "announce/back", back, "Back", tip="Back to the day (O, Escape)") or ui.shortcut("escape"):
        announce(editor)
    if ui.focus.name != "announce/back":
        ui.focus_on("announce/back")


def clock_text(left_s: float) -> str:
    """Minutes and seconds; a second that has begun is still told."""
    whole = int(left_s + 0.999)
    return f"{whole // 60}:{whole % 60:02d}"


def clock_card(ui: Ui, pane: Pane, editor: Editor, large: bool = False, back_to: str = "") -> None:
    """The clock that is shown: what is left, a bar with a mark at one minute, start and stop. After a press the focus is `back_to`."""
    state = editor.state.eventing
    name = state.shown_clock
    clock = clock_of(editor, name)
    left, whole = clock.left(ui.now_s), clock_of_whole(editor, name)
    if clock.ends_s is not None:
        ui.redraw_in(0.2 if left else 60.0)
    last = left <= LAST_MINUTE_S
    ui.display_list.plate(pane, theme.LEVEL_TINT["warn"] if last else theme.PAPER, theme.WARN if last else theme.HAIR,
                          width=3 if last else 1, radius=12)  # fmt: skip
    inside = pane.inset(18, 10)
    top, inside = inside.cut_top(theme.PRESS_H - 4, 4)
    words: dict[str, str] = {key: word for key, word in CLOCK_WORDS.items()}  # noqa: C416 (a mapping of plain words)
    picked = choice(ui, "clock/which", top, words, name)
    foot, inside = inside.cut_bottom(theme.PRESS_H, 6)
    bar, inside = inside.cut_bottom(16, 4)
    said = "Time!" if left <= 0 else clock_text(left)
    ui.place("clock/left", inside, "text", text=said, value=left, stops=False, pointed=False)
    draw_large(ui, [said], inside, type_size(ui.page.w) if large else 72.0, theme.WARN if last else theme.INK)
    _bar(ui, bar, left, whole)
    start, reset = foot.columns([1.6, 1], 8)
    pressed = False
    text, icon = ("Pause", "pause") if clock.ends_s is not None and left else ("Start", "play")
    if button(ui, "clock/start", start, text, icon=icon, rank="plain", enabled=left > 0):
        press_clock(editor, name, ui.now_s)
        ui.redraw()
        pressed = True
    if button(ui, "clock/reset", reset, "Reset"):
        reset_clock(editor, name)
        pressed = True
    if back_to and (pressed or picked != name):
        ui.focus_on(back_to)
    for key in CLOCK_WORDS:
        if key == picked and key != name:
            from msgspec.structs import replace

            set_event(editor, replace(editor.state.eventing, shown_clock=key))


def clock_of_whole(editor: Editor, name: ClockName) -> float:
    """The whole time of a clock, s."""
    from folder.window.event.commands import FIELD_OF, USUAL_MIN

    day = the_day(editor)
    ruled: float | None = getattr(day.rules, FIELD_OF[name]) if day is not None else None
    return 60.0 * (ruled or USUAL_MIN[name])


def _bar(ui: Ui, pane: Pane, left: float, whole: float) -> None:
    """What is left as a bar, and where the last minute begins."""
    ui.display_list.plate(Pane(pane.x, pane.y + 4, pane.w, 8), theme.TRAY, radius=4)
    share = min(left / max(whole, 1.0), 1.0)
    if share > 0:
        ui.display_list.plate(
            Pane(pane.x, pane.y + 4, pane.w * share, 8), theme.WARN if left <= LAST_MINUTE_S else theme.INK, radius=4
        )
    if whole > LAST_MINUTE_S:
        x = pane.x + pane.w * LAST_MINUTE_S / whole
        ui.display_list.line((x, pane.y), (x, pane.bottom), theme.WARN, 2)


def room_view(ui: Ui, pane: Pane, editor: Editor, day: Day) -> None:
    """The object and the clock, side by side, for a screen the room looks at."""
    left, right = pane.columns([1.5, 1], 14) if pane.w >= 800 else pane.columns([1.1, 1], 10)
    ui.display_list.plate(left, theme.INK, radius=12)
    foot, inside = left.inset(20, 14).cut_bottom(theme.PRESS_H, 10)
    lines = [line for thing in (day.rules.objects or (None,)) for line in _lines(thing)]
    draw_large(ui, lines, inside, type_size(ui.page.w), theme.PAPER)
    if not day.rules.objects:
        _enter_object(ui, "room/object", foot, editor)
    elif button(ui, "room/announce", foot, "As large as the window", icon="fit", tip="For the last row (O)"):
        announce(editor)
    clock, note = right.cut_top(right.h - 56, 10)
    clock_card(ui, clock, editor, large=True)
    label(ui, note, "The mark on the bar is the last minute: then the card turns yellow.", "small", colour=theme.SOFT_INK)
