"""The form for an object of one's own: shape, sizes, mass, habits. What it will look like stands beside it."""

from __future__ import annotations

from msgspec import Struct

from folder.cargo.item import LARGEST_MM, Item, item_name
from folder.cargo.item_search import read_wish
from folder.cargo.shape import SHAPES
from folder.errors import BadRequest
from folder.window import theme
from folder.window.editor import Editor
from folder.window.objects.commands import keep_object
from folder.window.objects.portrait import portrait
from folder.window.objects.state import HEAVIEST_G
from folder.window.tools.tool import sentence
from folder.window.widgets import Pane, Ui, button, check, choice, label, notice, number_field, scroll, text_field

USUAL_MM: dict[str, tuple[float, float, float]] = {
    "disc": (20.0, 2.0, 15.0), "ball": (15.0, 15.0, 15.0), "block": (20.0, 15.0, 15.0), "tube": (10.0, 30.0, 15.0),
    "cup": (60.0, 30.0, 15.0), "screw": (8.0, 20.0, 15.0),
}  # fmt: skip
"""What stands in the form before it is measured: a coin, a marble, a brick, a bead, a baking cup, a screw."""
SHAPE_WORDS = {"disc": "Disc", "ball": "Ball", "block": "Block", "tube": "Tube", "cup": "Cup", "screw": "Screw"}
STACKING = ("disc", "block", "cup")
"""Shapes of which one may stand on another."""


class OwnForm(Struct):
    """What has been filled in so far."""

    label: str = ""
    shape: str = "disc"
    sizes: list[float] = []
    mass_g: float | None = None
    stacks: bool = True
    rolls: bool = False
    sharp: bool = False
    problem: str = ""


def own_form(typed: str, like: Item | None = None) -> OwnForm:
    """A form with what was typed put in: its shape, its sizes, its mass; or with an object of one's own that is to be changed."""
    if like is not None:
        return OwnForm(
            like.label,
            like.shape,
            [*like.size_mm, *USUAL_MM[like.shape][len(like.size_mm) :]],
            like.mass_g,
            like.stacks,
            like.rolls,
            like.sharp,
        )
    wish = read_wish(typed)
    shape = next((word for word in wish.words if word in SHAPES), "")
    count = len(wish.sizes_mm)
    shape = shape or {1: "ball", 3: "block"}.get(count, "disc")
    words = " ".join(word for word in wish.words if word not in SHAPES)
    mass = wish.mass_g if wish.mass_g is None or wish.mass_g <= HEAVIEST_G else None
    sizes = [min(max(mm, 0.1), LARGEST_MM) for mm in wish.sizes_mm[:3]]
    return OwnForm(words, shape, [*sizes, *USUAL_MM[shape][len(sizes) :]], mass)


def item_of(form: OwnForm) -> Item:
    """The object that a form describes. BadRequest where it is none."""
    if not form.label.strip():
        raise BadRequest("give it a name", where="name", remedy="Such as “red bead”")
    sizes = tuple(form.sizes[: len(SHAPES[form.shape].sizes)])
    rolls = form.rolls or form.shape in ("ball", "tube")
    stacks = form.stacks and form.shape in STACKING
    return Item(
        item_name(form.label), form.label.strip(), form.shape, sizes, form.mass_g, stacks, None, rolls,
        form.sharp or form.shape == "screw", "your own",
    )  # fmt: skip


def own_page(ui: Ui, pane: Pane, editor: Editor, form: OwnForm) -> bool:
    """The form; whether it is done with."""
    foot, pane = pane.cut_bottom(theme.PRESS_H, 10)
    back, keep = foot.cut_right(min(420.0, foot.w))[0].columns([1, 1.6], 10)
    side, fields = pane.cut_right(min(max(pane.w * 0.34, 150), 300), 16)
    with scroll(ui, "own/roll", fields) as inside:
        _fields(ui, inside, form)
    _look(ui, side, form)
    if button(ui, "own/keep", keep, "Keep it in my list", icon="tick", rank="main"):
        try:
            form.problem = keep_object(editor, item_of(form))
        except BadRequest as error:
            form.problem = sentence(error)
        ui.redraw()
        if not form.problem:
            return True
    return button(ui, "own/back", back, "Back to the list")


def _fields(ui: Ui, inside: Pane, form: OwnForm) -> None:
    y = inside.y

    def row(words: str) -> Pane:
        nonlocal y
        place = Pane(inside.x, y, inside.w, theme.PRESS_H)
        y += theme.PRESS_H + 8
        name, field = place.cut_left(min(130.0, inside.w * 0.36), 8)
        ui.display_list.text(words, name)
        return field

    if form.problem:
        y += notice(ui, Pane(inside.x, y, inside.w, 1e6), form.problem, "stop") + 8
    form.label = text_field(ui, "own/label", row("Name"), form.label, longest=60, hint="such as red bead")
    shapes = Pane(inside.x, y, inside.w, theme.PRESS_H)
    y += theme.PRESS_H + 8
    shape = choice(ui, "own/shape", shapes, SHAPE_WORDS, form.shape, tip="Its form")
    if shape != form.shape:  # what has been measured stays
        both = zip(form.sizes, USUAL_MM[form.shape], USUAL_MM[shape], strict=True)
        form.sizes = [new if size == old else size for size, old, new in both]
        form.shape = shape
    for k, what in enumerate(SHAPES[form.shape].sizes):
        size = number_field(
            ui, f"own/size/{k}", row(what.capitalize()), form.sizes[k], unit="mm", low=0.1, high=LARGEST_MM, step=1, digits=2,
            tip="Measure it with a ruler, in mm",
        )  # fmt: skip
        form.sizes[k] = form.sizes[k] if size is None else size
    form.mass_g = number_field(
        ui, "own/mass", row("Mass of one"), form.mass_g, unit="g", low=0.001, high=HEAVIEST_G, step=0.1, digits=3,
        empty="weigh it later", tip="Weigh ten and divide by ten: that is more exact",
    )  # fmt: skip
    if form.shape in STACKING:
        form.stacks = check(ui, "own/stacks", row(""), "One stands on another", form.stacks)
    if form.shape not in ("ball", "tube"):
        form.rolls = check(ui, "own/rolls", row(""), "It rolls", form.rolls)
    if form.shape != "screw":
        form.sharp = check(ui, "own/sharp", row(""), "It has sharp edges or points", form.sharp)


def _look(ui: Ui, pane: Pane, form: OwnForm) -> None:
    """The object as it will be, and what an adult should know."""
    try:
        item = item_of(form if form.label.strip() else OwnForm("object", form.shape, form.sizes, form.mass_g))
    except BadRequest:
        return
    picture, rest = pane.cut_top(min(pane.w * 0.8, pane.h * 0.5), 8)
    portrait(ui, "own/portrait", picture, item)
    y = rest.y
    for caution in item.cautions:
        y += label(ui, Pane(rest.x, y, rest.w, max(rest.bottom - y, 0)), caution, "small") + 4
