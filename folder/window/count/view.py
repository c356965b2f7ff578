"""The dialog in which a division is worked: the pupil's own try first, then the steps, in several ways; and the drill."""

from __future__ import annotations

from folder.cargo.division.arithmetic import WorkedDivision, read_mass
from folder.cargo.division.drill import GRADES
from folder.cargo.division.tables import plain
from folder.errors import BadRequest
from folder.window import theme
from folder.window.commands.files import close_dialog
from folder.window.count.commands import may_guess, print_drill, set_counting, take_as_guess, take_printed
from folder.window.count.state import DRILL_LENGTH, MOST_TRIED, CountState
from folder.window.editor import Editor
from folder.window.tools.tool import sentence
from folder.window.widgets import Pane, Ui, button, button_w, choice, dialog, label, notice, number_field, scroll, text_field

PAGES = {"work": "The day's division", "drill": "Practise"}
TRY_FIRST = "Try it yourself first. A rough number is a good beginning."
NOT_COUNTED = "The object that lets the water in does not count."
NARROW = 620.0
LINE_H = 30.0


def work_out_page(ui: Ui, editor: Editor) -> None:
    """The dialog."""
    take_printed(editor)
    counting = editor.state.counting
    with dialog(
        ui,
        "work-out-page",
        "Work it out",
        min(ui.page.w - 20, 960),
        min(ui.page.h - 20, 720),
        first="count/try",
        default="count/check",
    ) as card:
        foot, pane = card.inside.cut_bottom(theme.PRESS_H, 8)
        head, pane = pane.cut_top(theme.PRESS_H, 10)
        page = choice(ui, "count/page", head, PAGES, counting.page)
        counting = counting.on_page("drill" if page == "drill" else "work")
        used, counting = _problem(ui, pane, counting) if counting.page == "drill" else _division(ui, pane, counting)
        pane = pane.cut_top(used, 8)[1]
        working = counting.working
        if working is not None:
            used, counting = _own_try(ui, pane, counting)
            pane = pane.cut_top(used, 8)[1]
            counting = _ways(ui, pane, counting, working)
        counting = _foot(ui, foot, editor, counting)
        printed = editor.state.counting.printed
        if counting != editor.state.counting:
            set_counting(editor, counting if printed is counting.printed else editor.state.counting)
            ui.redraw()
        if card.closed:
            close_dialog(editor)


def _division(ui: Ui, pane: Pane, counting: CountState) -> tuple[float, CountState]:
    """What the hull holds, and what one weighs."""
    narrow = pane.w < NARROW
    rows = pane.cut_top(2 * theme.PRESS_H + 6 if narrow else theme.PRESS_H)[0]
    left, right = rows.rows(2, 6) if narrow else rows.columns(2, 16)
    holds = _mass(ui, left, "count/holds", "The hull holds", counting.holds)
    each = _mass(ui, right, "count/each", "One weighs", counting.each)
    used = rows.h
    if counting.working is None:
        text = "What does the hull hold, and what does one weigh? Type both in grams."
        used += 8 + label(ui, pane.moved(0, used + 8), text, colour=theme.SOFT_INK)
    return used, counting.of_division(holds, each)


def _mass(ui: Ui, pane: Pane, name: str, words: str, text: str) -> str:
    word, field = pane.cut_left(ui.display_list.text_w(words) + 6, 8)
    ui.display_list.text(words, word)
    unit, field = field.cut_right(20, 4)
    ui.display_list.text("g", unit)
    return text_field(ui, name, field, text, longest=12, wrong=_wrong_mass, hint="grams").strip()


def _wrong_mass(text: str) -> str:
    if not text.strip():
        return ""
    try:
        read_mass(text, "the mass")
    except BadRequest as error:
        return sentence(error)
    return ""


def _problem(ui: Ui, pane: Pane, counting: CountState) -> tuple[float, CountState]:
    """A problem of the drill, its grade, and how it goes."""
    row, rest = pane.cut_top(theme.PRESS_H, 8)
    word, row = row.cut_left(ui.display_list.text_w("School year") + 6, 8)
    ui.display_list.text("School year", word)
    grades, score = row.cut_left(min(4 * 52.0, row.w * 0.5), 14)
    picked = choice(ui, "count/grade", grades, {f"{grade}": f"{grade}" for grade in GRADES}, f"{counting.grade}")
    if int(picked) != counting.grade:
        counting = counting.with_drill(int(picked), counting.seed)
    text = f"{counting.index + 1} of {DRILL_LENGTH}"
    if counting.solved:
        text += f"; right at once: {counting.right_at_once} of {counting.solved}"
    ui.place("count/score", score, "text", text=text, stops=False, pointed=False)
    ui.display_list.text(text, score, bold=True, align="right")
    used = label(ui, rest, counting.problem.question, "body")
    return theme.PRESS_H + 8 + used, counting


def _own_try(ui: Ui, pane: Pane, counting: CountState) -> tuple[float, CountState]:
    """The pupil's own number, and what is said of it."""
    row = pane.cut_top(theme.PRESS_H)[0]
    words = "My number"
    word, row = row.cut_left(ui.display_list.text_w(words, "body", True) + 6, 8)
    ui.display_list.text(words, word, bold=True)
    field, row = row.cut_left(130, 8)
    tried = None if counting.tried is None else float(counting.tried.number)
    number = number_field(
        ui, "count/try", field, tried, low=0, high=MOST_TRIED, digits=0, empty="how many?", tip="How many whole objects"
    )
    check_w = button_w(ui, "Check it", "tick", bold=True)
    pressed = button(ui, "count/check", row.cut_left(check_w)[0], "Check it", icon="tick", rank="main")
    if number is not None and (number != tried or pressed):
        counting = counting.with_try(int(number)) if number != tried else counting
    used = float(theme.PRESS_H)
    answer = counting.tried
    if answer is not None:
        level, detail = ("good", NOT_COUNTED) if answer.side == "right" else ("warn", "")
        ui.place("count/told", pane.moved(0, used + 8), "text", text=answer.text, stops=False, pointed=False)
        used += 8 + notice(ui, pane.moved(0, used + 8), answer.text, "good" if level == "good" else "warn", detail)
    return used, counting


def _ways(ui: Ui, pane: Pane, counting: CountState, working: WorkedDivision) -> CountState:
    """The steps, line by line, in the way that is chosen; offered after a try."""
    row, pane = pane.cut_top(theme.PRESS_H, 8)
    steps = counting.steps
    if steps is None:
        return counting
    if counting.shown == 0:
        text = "Show me how" if counting.tried is not None else "I have no idea: show me"
        if button(ui, "count/show", row.cut_left(button_w(ui, text, "play"))[0], text, icon="play"):
            return counting.with_line()
        if counting.tried is None:
            ui.display_list.text(
                TRY_FIRST, row.cut_left(button_w(ui, text, "play"), 12)[1], "small", colour=theme.SOFT_INK, wrap=True
            )
        return counting
    left, right = pane.cut_left(min(max(pane.w * 0.34, 190), 300), 14)
    names = {step.way: f"{step.way[0].upper()}{step.way[1:]}" for step in working.steps}
    one, every = row.cut_left(2 * 150.0 + 8)[0].columns(2, 8)
    more = counting.shown < len(steps.lines)
    if button(ui, "count/line", one, "Next line", icon="down", enabled=more):
        counting = counting.with_line()
    if button(ui, "count/lines", every, "All lines", enabled=more):
        counting = counting.with_line(every=True)
    with scroll(ui, "count/ways", left) as inside:
        y = inside.y
        ui.display_list.text("Ways", Pane(inside.x, y, inside.w, LINE_H), "small", bold=True, colour=theme.SOFT_INK)
        y += LINE_H
        for way, words in names.items():
            high = max(theme.PRESS_H, ui.display_list.text_h(words, inside.w - 24, "small") + 16)
            if _way(ui, way, Pane(inside.x, y, inside.w, high), words, way == steps.way, way == working.suggestion):
                counting = counting.with_way(way)
            y += high + 6
    with scroll(ui, "count/working", right) as inside:
        y = inside.y
        begin = f"{plain(working.held_g)} ÷ {plain(working.each_g)}"
        y += label(ui, Pane(inside.x, y, inside.w, 1e6), begin, "big", bold=True) + 6
        for k, line in enumerate(steps.lines[: counting.shown], 1):
            last = k == counting.shown
            y += label(ui, Pane(inside.x, y, inside.w, 1e6), line, "body", bold=last) + 7
    return counting


def _way(ui: Ui, way: str, pane: Pane, words: str, on: bool, easiest: bool) -> bool:
    """One way to go; whether it is pressed."""
    record = ui.place(f"count/way/{way}", pane, "toggle", text=words, value=on, tip="The least work here" if easiest else "")
    if ui.drawing:
        ground = theme.PICKED if on else record.ground
        ui.display_list.plate(pane, ground, theme.INK if on or record.hovered else theme.EDGE, width=2 if on else 1, ear=on)
        mark, inner = pane.inset(8, 2).cut_right(20 if easiest else 0, 4)
        ui.display_list.text(words, inner, "small", bold=on, wrap=True)
        if easiest:
            ui.display_list.icon("good", mark.middle, theme.GOOD, 18)
        if ui.shows_focus(record):
            ui.display_list.ring(pane)
    return ui.fired(record)


def _foot(ui: Ui, pane: Pane, editor: Editor, counting: CountState) -> CountState:
    """Go on, print, close."""
    close, rest = pane.cut_right(120, 10)
    if counting.page == "drill":
        printing = counting.printed is not None
        text = "Writing …" if printing else "Print this drill"
        if button(ui, "count/print", rest.cut_left(button_w(ui, text, "print"))[0], text, icon="print", enabled=not printing):
            print_drill(editor)
            counting = editor.state.counting
        words = "New drill" if counting.index + 1 == DRILL_LENGTH else "Next problem"
        following = rest.cut_right(button_w(ui, words, "right", bold=True))[0]
        if button(ui, "count/next", following, words, icon="right", rank="main", enabled=counting.may_go_on):
            counting = counting.with_next()
            ui.focus_on("count/try")
    elif counting.tried is not None and may_guess(editor):
        text = f"My guess: {counting.tried.number}"
        if button(ui, "count/guess", rest.cut_right(button_w(ui, text, "tick", bold=True))[0], text, icon="tick", rank="main"):
            take_as_guess(editor, counting.tried.number)
    if button(ui, "count/close", close, "Close"):
        close_dialog(editor)
    return counting
