"""This hull with another wall: the curve of what it takes over one of its numbers, worked out point by point and kept. No pygame."""

from __future__ import annotations

from functools import partial

from msgspec import Struct

from folder.cargo.item import Item
from folder.pattern.pattern import Pattern
from folder.practice.log import trials_now
from folder.search.ranking import Contender, contender
from folder.search.sweeps import WALLS, Sweep, Variable
from folder.studies import study
from folder.window.background.identity import IdentityKey
from folder.window.compare.compared import MeasuredHull, key_of, measured, weighed_item
from folder.window.editor import Editor

NAMES = {WALLS: "walls", "wall": "wall", "turn": "lean"}
VARIANT_THREAD = "variant"
"""What is under the hand does not wait for the rest of the curve."""
STEPS = {"mm": 0.5, "deg": 1.0, "": 1.0}


class CurvePoint(Struct, frozen=True, eq=False):
    """A value of the number, and what the hull takes there; None where there is no hull, or it is not known yet."""

    value: float
    contender: Contender | None = None
    is_known: bool = False


class Curve(Struct, frozen=True, eq=False):
    """A number of the hull on the table, and what the hull takes along it."""

    variables: tuple[Variable, ...]
    variable: Variable
    points: tuple[CurvePoint, ...]
    value: float
    variant: Pattern | None
    at_value: MeasuredHull | None
    """What the hull takes at the value that is set."""

    @property
    def best(self) -> CurvePoint | None:
        """The point at which most is likely."""
        good = [p for p in self.points if p.contender is not None and p.contender.good]
        return max(good, key=lambda p: p.contender.likely or 0.0 if p.contender is not None else 0.0, default=None)


def word_of(variable: Variable) -> str:
    """A number of a hull in a word."""
    return NAMES.get(variable.name, variable.name)


def curve_of(editor: Editor) -> tuple[Curve | None, str]:
    """The curve, as far as it is known; or why there is none, in a sentence."""
    pattern, state = editor.document.pattern, editor.state.comparing
    counts, worker = state.counts, editor.worker
    asked = counts.ask(worker, ("sweep", IdentityKey(pattern)), partial(_sweep, pattern), heavy=True)
    if not asked.done() or asked.cancelled():
        return None, "Working out what can be changed …"
    if asked.exception() is not None:
        return None, "This hull is too much for the program to change."
    sweep: Sweep = asked.result()
    variables = sweep.variables
    if not variables:
        return None, "This one has no walls that could be raised or lowered all at once."
    variable = next((v for v in variables if v.name == state.variable), variables[0])
    key, item, hand = key_of(editor, pattern), weighed_item(editor), editor.state.floating.hand
    value = variable.now if state.value is None else min(max(state.value, variable.low), variable.high)
    # The value that is set comes first, then the points from the middle outward.
    variant_key = ("variant", variable.name, value, *key)
    asked_value = counts.ask(worker, variant_key, partial(_variant, sweep, variable, value, item, hand), VARIANT_THREAD)
    points = {}
    for at in sorted(variable.values, key=lambda v: abs(v - variable.now)):
        future = counts.ask(worker, ("point", variable.name, at, *key), partial(_point, sweep, variable, at, item, hand))
        if future.done() and not future.cancelled():
            points[at] = CurvePoint(at, future.result() if future.exception() is None else None, is_known=True)
        else:
            points[at] = CurvePoint(at)
    at_value, variant = None, None
    if asked_value.done() and not asked_value.cancelled() and asked_value.exception() is None:
        variant, at_value = asked_value.result()
    return Curve(variables, variable, tuple(points[at] for at in variable.values), value, variant, at_value), ""


def _sweep(pattern: Pattern) -> Sweep:
    sweep = Sweep(study(pattern))
    _ = sweep.variables
    return sweep


def _point(sweep: Sweep, variable: Variable, value: float, item: Item | None, hand: str) -> Contender | None:
    pattern = sweep.variant(variable, value)
    return None if pattern is None else contender(study(pattern, trials=trials_now(), hand=hand), item, first=True)


def _variant(
    sweep: Sweep, variable: Variable, value: float, item: Item | None, hand: str
) -> tuple[Pattern | None, MeasuredHull | None]:
    pattern = sweep.variant(variable, value)
    return (
        (None, None) if pattern is None else (pattern, measured(study(pattern, trials=trials_now(), hand=hand), item, first=True))
    )
