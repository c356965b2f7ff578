"""This hull with another wall: a slider over one of its numbers, and the curve of what it takes, with where it stands on it."""

from __future__ import annotations

from msgspec.structs import replace

from folder.draw.picture import Box
from folder.draw.sweep_chart import SweepPoint, sweep_chart
from folder.units import rounded_down
from folder.window import theme
from folder.window.background.identity import IdentityKey
from folder.window.compare.commands import fold_variant, put_beside, set_comparing
from folder.window.compare.curve import STEPS, Curve, curve_of, word_of
from folder.window.editor import Editor
from folder.window.paint.shown import PX_PER_MM, show_picture
from folder.window.theme import Size
from folder.window.widgets import Pane, Ui, button, choice, drop_down, label, slider

LEAST_H, MOST_H = 228.0, 290.0


def sweep_h(room: float) -> float:
    """How high the panel is in a page that has so much room."""
    return min(max(room * 0.38, LEAST_H), MOST_H)


def sweep_panel(ui: Ui, pane: Pane, editor: Editor, unit: str) -> None:
    """The panel."""
    ui.display_list.plate(pane, theme.PAPER, theme.HAIR)
    inner = pane.inset(12, 10)
    curve, why = curve_of(editor)
    if curve is None:
        label(ui, inner, why, colour=theme.SOFT_INK)
        return
    left, right = inner.cut_left(min(max(inner.w * 0.44, 330.0), 480.0), 16)
    _left(ui, left, editor, curve)
    _chart(ui, right, curve, unit)


def _left(ui: Ui, pane: Pane, editor: Editor, curve: Curve) -> None:
    state, variable = editor.state.comparing, curve.variable
    row, pane = pane.cut_top(theme.PRESS_H, 6)
    names = {v.name: word_of(v).capitalize() for v in curve.variables}
    if len(names) > 1:
        pick = choice if len(names) <= 4 else drop_down
        picked = pick(ui, "sweep/variable", row, names, variable.name, tip=variable.text)
        if picked != variable.name:
            set_comparing(editor, state.of_variable(picked))
            ui.redraw()
            return
    else:
        text = variable.text.capitalize()
        size: Size = "body" if ui.display_list.text_w(text, "body", True) <= row.w else "small"
        ui.display_list.text(text, row, size, bold=True, wrap=True)
    track, pane = pane.cut_top(38, 4)
    value = slider(
        ui,
        "sweep/value",
        track,
        curve.value,
        variable.low,
        variable.high,
        step=0.0 if not variable.whole else 1.0,
        tip=variable.text,
    )
    if value != curve.value:
        step = STEPS.get(variable.unit, 0.5)
        rounded = min(max(round(value / step) * step, variable.low), variable.high)
        if rounded == curve.value:  # one press of an arrow is one step, however fine the track
            rounded = min(max(curve.value + (step if value > curve.value else -step), variable.low), variable.high)
        set_comparing(editor, replace(state, value=rounded, variable=variable.name))
        ui.redraw()
    foot, pane = pane.cut_bottom(theme.PRESS_H, 6)
    used = label(ui, pane, _value_text(curve), "body", bold=True)
    label(ui, pane.moved(0, used + 2).cut_top(max(pane.h - used - 2, 0))[0], _said(curve), "small")
    fold, keep = foot.columns([1, 1.45], 8)
    fold_icon, keep_icon = ("tick", "copy") if foot.w > 400 else ("", "")
    ready = curve.variant is not None and abs(curve.value - variable.now) > 1e-9
    if button(ui, "sweep/keep", keep, "Put it on the list", icon=keep_icon, enabled=ready) and curve.variant is not None:
        name = f"{editor.document.pattern.name}, {word_of(variable)} {curve.value:g}"
        put_beside(editor, replace(curve.variant, name=name[:60]), ready=False)
        ui.redraw()
    if button(ui, "sweep/fold", fold, "Fold it so", icon=fold_icon, enabled=ready) and curve.variant is not None:
        fold_variant(editor, curve.variant)
        ui.redraw()


def _value_text(curve: Curve) -> str:
    variable = curve.variable
    unit = f" {variable.unit}" if variable.unit else ""
    now = "" if abs(curve.value - variable.now) < 1e-9 else f" (now {variable.now:.3g}{unit})"
    return f"{word_of(variable).capitalize()} {curve.value:.3g}{unit}{now}"


def _said(curve: Curve) -> str:
    """What the hull takes so, and where it would take most."""
    if curve.at_value is None:
        here = "working …" if curve.variant is None and not _is_known(curve) else "No hull can be made so."
    else:
        one = curve.at_value.contender
        if not one.good or one.likely is None or one.low is None or one.high is None:
            here = f"{one.verdict.text}"
        else:
            here = f"{'About' if one.about else 'Likely'} {rounded_down(one.likely)}, {rounded_down(one.low)} to {rounded_down(one.high)}."
    best = curve.best
    if best is None or best.contender is None or not all(point.is_known for point in curve.points):
        return here
    unit = f" {curve.variable.unit}" if curve.variable.unit else ""
    word = "about" if best.contender.about else "likely"
    return f"{here} The most is near {best.value:.3g}{unit}: {word} {rounded_down(best.contender.likely or 0.0)}."


def _is_known(curve: Curve) -> bool:
    """Whether the point nearest to the value has been worked out."""
    return min(curve.points, key=lambda p: abs(p.value - curve.value)).is_known


def _chart(ui: Ui, pane: Pane, curve: Curve, unit: str) -> None:
    """The curve as far as it is known, with now and the value that is set."""
    points = []
    for point in curve.points:
        one = point.contender
        good = one is not None and one.good
        span = (one.low or 0.0, one.likely or 0.0, one.high or 0.0) if one is not None and good else None
        points.append(SweepPoint(point.value, span, point.is_known))
    box = Box(0.0, 0.0, pane.w / PX_PER_MM, pane.h / PX_PER_MM)
    at = curve.at_value.contender.likely if curve.at_value is not None and curve.at_value.contender.good else None
    key = (tuple(points), curve.variable, curve.value, at, box, unit)
    kept: list[object] = ui.memory("sweep/kept", lambda: [None, None])
    if kept[0] != key:
        words = f"{word_of(curve.variable)}, {curve.variable.unit}" if curve.variable.unit else word_of(curve.variable)
        kept[:] = [key, sweep_chart(points, curve.variable.now, curve.value, at, box, words, unit)]
    known = sum(point.is_known for point in points)
    ui.place("sweep/chart", pane, "chart", text=f"{known} of {len(points)}", value=tuple(points), stops=False, pointed=False)
    show_picture(ui, "sweep/picture", pane, kept[1], key=IdentityKey(kept[1]), zoom=PX_PER_MM, pen=1.0)  # type: ignore[arg-type]  # the picture beside its key
