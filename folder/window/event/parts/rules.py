"""The rules as a form in plain words: each row says what it does."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import permutations

from msgspec.structs import replace

from folder.cargo.item_list import find_item
from folder.errors import FolderError
from folder.event.rules import Criterion, EventObject, Points, Rules
from folder.event.words import DECIDES, order_words
from folder.window import theme
from folder.window.editor import Editor
from folder.window.event.choose import ask_file
from folder.window.event.day import Day
from folder.window.event.writing import set_rules, show_part
from folder.window.widgets import Pane, Ui, button, button_w, check, drop_down, label, number_field, scroll, text_field

WORD_W = 190.0
LEAST_FIELD_W, MOST_FIELD_W = 340.0, 480.0
HIGHEST_MM = 1000.0
NEXT = "Next: teams"


class _Form:
    """Rows under one another: a word, what is entered, what it does."""

    def __init__(self, ui: Ui, inside: Pane) -> None:
        self.ui, self.x, self.y, self.w = ui, inside.x, inside.y, inside.w

    def row(self, word: str, does: str) -> Pane:
        """The room for what is entered."""
        wide = self.w > WORD_W + LEAST_FIELD_W + 200
        field_w = min(max(0.39 * self.w, LEAST_FIELD_W), MOST_FIELD_W, self.w - WORD_W)
        words = Pane(self.x, self.y, WORD_W, theme.PRESS_H)
        field = Pane(self.x + WORD_W, self.y, field_w, theme.PRESS_H)
        self.ui.display_list.text(word, words, bold=True, wrap=True)
        high: float = theme.PRESS_H
        if wide:
            room_w = self.x + self.w - field.right - 18
            below = max((theme.PRESS_H - self.ui.display_list.text_h(does, room_w, "small")) / 2, 2.0)  # in line with the field
            room = Pane(field.right + 18, self.y + below, room_w, 200)
            high = max(high, label(self.ui, room, does, "small", colour=theme.SOFT_INK) + 4)
        self.y += high + 8
        self.ui.spread(Pane(self.x, self.y, self.w, 4))
        return field

    def heading(self, text: str) -> None:
        """What the next rows are about."""
        self.y += label(self.ui, Pane(self.x, self.y, self.w, 40), text, "big", bold=True) + 6


def rules_view(ui: Ui, pane: Pane, editor: Editor, day: Day) -> None:
    """The form, and the way to a file of rules."""
    foot, pane = pane.cut_bottom(theme.PRESS_H, 8)
    ui.display_list.plate(pane, theme.PAPER, theme.HAIR, radius=12)
    with scroll(ui, "rules/roll", pane.inset(14, 8)) as inside:
        form = _Form(ui, inside)
        _the_event(ui, form, editor, day.rules)
        _the_hull(ui, form, editor, day.rules)
        _the_count(ui, form, editor, day.rules)
        _the_places(ui, form, editor, day.rules)
    taking, rest = foot.cut_left(button_w(ui, "Take rules from a file", "open") + 10, 14)
    on, rest = rest.cut_right(button_w(ui, NEXT, bold=True) + 16, 14)
    if button(ui, "rules/next", on, NEXT, rank="main"):
        show_part(editor, "teams")
        ui.redraw()
    if button(ui, "rules/from", taking, "Take rules from a file", icon="open"):
        ask_file(editor, "rules")
    ui.display_list.text("What you change counts at once, at every tub. The rules before are kept.", rest, "small", wrap=True)


def _the_event(ui: Ui, form: _Form, editor: Editor, rules: Rules) -> None:
    name = text_field(ui, "rules/name", form.row("Name", "Stands on every page and certificate."), rules.name, longest=80)
    set_rules(editor, name=name)
    thing = rules.objects[0] if rules.objects else None
    field = form.row(
        "Object", "What the hulls are loaded with, and what one weighs: weigh ten. Leave it empty until it is announced."
    )
    word, mass = field.columns([1.5, 1], 8)
    called = text_field(ui, "rules/object", word, thing.name if thing else "", hint="such as 2 cent coin", longest=60)
    weighs = number_field(
        ui, "rules/mass", mass, thing.mass_g if thing else None, unit="g", low=0.001, high=5000, digits=3, empty="mass",
        enabled=thing is not None,
    )  # fmt: skip
    # Several objects come from a file of rules; the form changes the first and leaves the others.
    others = rules.objects[1:]
    if called.strip() and called.strip() != (thing.name if thing else ""):
        weighs = _known_g(called) or weighs
    if called.strip():
        set_rules(editor, objects=(EventObject(called.strip(), weighs, thing.count if thing else None), *others))
    elif thing is not None:
        set_rules(editor, objects=others)
    build, load = form.row("Minutes", "To build, and to load. The clocks start with these; without them, with 20 and 5.").columns(
        2, 8
    )
    set_rules(editor, build_min=_minutes(ui, "rules/build", build, rules.build_min, "build"))
    set_rules(editor, load_min=_minutes(ui, "rules/load", load, rules.load_min, "load"))


def _known_g(name: str) -> float | None:
    """What an object of this name weighs, where there is one that is known."""
    try:
        return find_item(name).mass_g
    except FolderError:
        return None


def _minutes(ui: Ui, name: str, pane: Pane, value: float | None, word: str) -> float | None:
    return number_field(ui, name, pane, value, unit="min", low=0.5, high=240, digits=1, empty=word)


def _the_hull(ui: Ui, form: _Form, editor: Editor, rules: Rules) -> None:
    form.heading("The hull")
    wide, high, most = form.row("Sheet", "Its two sides, and how many sheets a team may use.").columns([1, 1, 1], 8)
    sides = [
        number_field(ui, f"rules/sheet-{k}", cell, side, unit="mm", low=20, high=HIGHEST_MM) or side
        for k, (cell, side) in enumerate(zip((wide, high), rules.sheet_mm, strict=True))
    ]
    sheets = number_field(ui, "rules/sheets", most, rules.sheets, low=1, high=99, digits=0, unit="sheets")
    set_rules(editor, sheet_mm=(sides[0], sides[1]), sheets=int(sheets or 1))
    cuts = check(ui, "rules/cuts", form.row("Cuts", "Empty: a hull with a cut is refused. Else it is only told what the cut costs."),
                 "Cuts are allowed", rules.cuts == "allowed")  # fmt: skip
    set_rules(editor, cuts="allowed" if cuts else "not-allowed")
    field = form.row("Footprint", "The folded hull, flaps and all, must fit this rectangle at some turn. Empty: any size.")
    one, other = field.columns(2, 8)
    found = [
        number_field(ui, f"rules/footprint-{k}", cell, side, unit="mm", low=1, high=HIGHEST_MM, empty="any")
        for k, (cell, side) in enumerate(zip((one, other), rules.footprint_mm or (None, None), strict=True))
    ]
    both = (found[0] or found[1], found[1] or found[0]) if rules.footprint_mm is None else tuple(found)
    set_rules(editor, footprint_mm=both if None not in both else None)
    field = form.row("Wall, at most", "No wall may be higher. Empty: any height.")
    wall = number_field(
        ui, "rules/wall", field.cut_left(field.w / 2 - 4)[0], rules.wall_most_mm, unit="mm", low=1, high=500, empty="any"
    )
    set_rules(editor, wall_most_mm=wall)
    hold = check(
        ui,
        "rules/hold",
        form.row("Holds", "A hull with several rooms is refused. Empty: any hull."),
        "One open floor",
        rules.one_hold,
    )
    set_rules(editor, one_hold=hold)


def _the_count(ui: Ui, form: _Form, editor: Editor, rules: Rules) -> None:
    form.heading("The test")
    asked = check(ui, "rules/guess", form.row("Guess", "Each team says beforehand how many its hull will take."),
                  "A guess is asked for", rules.guess)  # fmt: skip
    set_rules(editor, guess=asked)


def _the_places(ui: Ui, form: _Form, editor: Editor, rules: Rules) -> None:
    form.heading("The places")
    does = "What decides, first to last. Equal in all: the teams share the place. A team without a result has none."
    options = _orders(rules)
    picked = drop_down(ui, "rules/order", form.row("What decides", does), options, " ".join(rules.order))
    order = tuple(c for word in picked.split() for c in DECIDES if c == word)
    if "points" in order and rules.points is None:
        set_rules(editor, order=order, points=Points())
    else:
        set_rules(editor, order=order)
    points = rules.points
    if points is None:
        return
    does = "For each object held; for each one the guess was off; for each sheet after the first. Below zero takes points away."
    cells = form.row("Points", does).columns(3, 8)
    keys = {"per_object": "held", "per_guess_off": "off", "per_extra_sheet": "sheet"}
    for cell, (key, word) in zip(cells, keys.items(), strict=True):
        value = number_field(ui, f"rules/{key}", cell, getattr(points, key), low=-1000, high=1000, digits=2, step=0.5, unit=word)
        set_rules(editor, points=replace(points, **{key: value or 0.0}))


def _orders(rules: Rules) -> Mapping[str, str]:
    """Every order that may decide, in words; the one that does first."""
    plain: tuple[Criterion, ...] = ("held", "sheets", "guess")
    found: list[tuple[Criterion, ...]] = [rules.order]
    found += [order for n in (3, 2, 1) for order in permutations(plain, n) if order[0] == "held" or n < 3]
    found += [("points", *order) for order in ((), ("held",), ("held", "sheets"), ("sheets", "held"), ("guess",))]
    words = {}
    for order in found:
        if order == ("guess",) and not rules.guess:
            continue
        words[" ".join(order)] = order_words(replace(rules, order=order, points=rules.points or Points())).capitalize()
    return words
