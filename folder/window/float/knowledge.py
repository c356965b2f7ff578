"""What is known of a load on the water so far; what is not known yet is asked for. No pygame."""

from __future__ import annotations

from functools import partial

from msgspec import Struct

from folder.cargo.item import Item
from folder.draw.afloat import DrawnCargo
from folder.draw.picture import Box
from folder.errors import FolderError
from folder.findings import Point
from folder.hull.hull import Hull
from folder.studies import Study
from folder.water.working_load import LOAD_HEIGHT_MM
from folder.window.background.identity import IdentityKey
from folder.window.editor import Editor
from folder.window.float.floating import (
    CountPrediction,
    FloatingPose,
    PlacedCargo,
    best_load_place,
    floating_pose,
    on_floor,
    pile,
    place_cargo,
    predict_count,
)
from folder.window.float.state import PLAIN, FloatState
from folder.window.tools.tool import sentence


class LoadKnowledge(Struct, frozen=True):
    """What is known of a load, so far as it has been worked out."""

    best: Point
    """Where the load should be: there the hull lies level."""
    mass_g: float = 0.0
    at: Point = (0.0, 0.0)
    prediction: CountPrediction | None = None
    placed_cargo: PlacedCargo | None = None
    pose: FloatingPose | None = None
    wrong: str = ""
    """Why there is no answer, in a sentence."""


def knowledge_of(
    editor: Editor, study: Study, hull: Hull, load: FloatState, item: Item | None, into: Box, sizes: bool
) -> LoadKnowledge:
    """Ask for what is not known yet, and gather what is."""
    each = load.each_g if load.each_g is not None else item.mass_g if item is not None else None
    best = best_load_place(hull, study)
    if item is None and load.item != PLAIN:
        return LoadKnowledge(best, at=best, wrong="There is no such object in the list any more. Choose another.")
    if item is not None and each is None:
        return LoadKnowledge(best, at=best, wrong="Its mass varies. Weigh one and type its mass.")
    mass = load.mass_g if item is None or each is None else load.count * each
    prediction, placed_cargo, wrong = _prediction(editor, study, load, item, each)
    height = placed_cargo.centre_mm[2] if placed_cargo is not None and load.count else LOAD_HEIGHT_MM
    at = on_floor(hull, best, (best[0] + load.eccentricity_mm[0], best[1] + load.eccentricity_mm[1])) if load.is_off else best
    objects: tuple[DrawnCargo, ...] = ()
    if placed_cargo is not None and not load.is_off:
        at, objects = placed_cargo.centre_mm[:2], placed_cargo.objects
    elif mass > 0.0:
        objects = (pile(hull, at, height),)
    key = (IdentityKey(study), mass, at, height, IdentityKey(placed_cargo), load.is_off, into, sizes)
    job = editor.worker.ask_job(
        "lying", key, partial(floating_pose, hull, study.water, mass, (*at, height), objects, into, sizes, study.layering)
    )
    pose = job.answer
    if pose is not None and pose.failed is not None:
        return LoadKnowledge(best, mass, at, prediction, placed_cargo, None, wrong or _why(pose.failed))
    return LoadKnowledge(best, mass, at, prediction, placed_cargo, None if pose is None else pose.value, wrong)


def _prediction(
    editor: Editor, study: Study, load: FloatState, item: Item | None, each: float | None
) -> tuple[CountPrediction | None, PlacedCargo | None, str]:
    """What the hand makes of it, and the objects in their places; not asked for while the hand drags on the sheet."""
    fresh = editor.fresh
    settled = fresh is not None and editor.state.drag_pattern is None and (load.hand != "usual" or fresh.load is not None)
    if not settled:
        return None, _last_placed_cargo(editor, load), ""
    key = (IdentityKey(study), load.hand, load.item, load.each_g)
    prediction = editor.worker.ask_job("prediction", key, partial(predict_count, study, load.hand, item, load.each_g)).answer_to(
        key
    )
    if prediction is None:
        return None, _last_placed_cargo(editor, load), ""
    if prediction.failed is not None or prediction.value is None:
        return None, None, _why(prediction.failed)
    if item is None or each is None:
        return prediction.value, None, ""
    places = (IdentityKey(prediction.value), load.count)
    job = editor.worker.ask_job("aboard", places, partial(place_cargo, prediction.value, load.count, each))
    placed_cargo = job.answer_to(places)
    if placed_cargo is None:
        return prediction.value, _last_placed_cargo(editor, load), ""
    if placed_cargo.failed is not None:
        return prediction.value, None, _why(placed_cargo.failed)
    return prediction.value, placed_cargo.value, ""


def _last_placed_cargo(editor: Editor, load: FloatState) -> PlacedCargo | None:
    """The places as they were last worked out, if they are of this load."""
    last = editor.worker.last_answer("aboard")
    if not isinstance(last, PlacedCargo):
        return None
    same = last.cargo.item.name == load.item and len(last.objects) == load.count
    return last if same else None


def _why(error: BaseException | None) -> str:
    if isinstance(error, FolderError):
        return sentence(error)
    return "This hull is too much for the program to load."
