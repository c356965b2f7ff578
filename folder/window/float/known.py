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
from folder.window.fold.side_panel import PLAIN, Afloat
from folder.window.identity import IdentityKey
from folder.window.tools.tool import sentence


class LoadKnowledge(Struct, frozen=True):
    """What is known of a load, so far as it has been worked out."""

    best: Point
    """Where the load should be: there the hull lies level."""
    mass_g: float = 0.0
    at: Point = (0.0, 0.0)
    told: CountPrediction | None = None
    aboard: PlacedCargo | None = None
    lying: FloatingPose | None = None
    wrong: str = ""
    """Why there is no answer, in a sentence."""


def knowledge_of(
    desk: Editor, study: Study, hull: Hull, load: Afloat, item: Item | None, into: Box, sizes: bool
) -> LoadKnowledge:
    """Ask for what is not known yet, and gather what is."""
    each = load.each_g if load.each_g is not None else item.mass_g if item is not None else None
    best = best_load_place(hull, study)
    if item is None and load.item != PLAIN:
        return LoadKnowledge(best, at=best, wrong="There is no such object in the list any more. Choose another.")
    if item is not None and each is None:
        return LoadKnowledge(best, at=best, wrong="Its mass varies. Weigh one and type its mass.")
    mass = load.mass_g if item is None or each is None else load.count * each
    told, aboard, wrong = _foretold(desk, study, load, item, each)
    height = aboard.centre_mm[2] if aboard is not None and load.count else LOAD_HEIGHT_MM
    at = on_floor(hull, best, (best[0] + load.off_mm[0], best[1] + load.off_mm[1])) if load.is_off else best
    objects: tuple[DrawnCargo, ...] = ()
    if aboard is not None and not load.is_off:
        at, objects = aboard.centre_mm[:2], aboard.objects
    elif mass > 0.0:
        objects = (pile(hull, at, height),)
    key = (IdentityKey(study), mass, at, height, IdentityKey(aboard), load.is_off, into, sizes)
    lane = desk.worker.ask_lane(
        "lying", key, partial(floating_pose, hull, study.water, mass, (*at, height), objects, into, sizes)
    )
    lying = lane.answer
    if lying is not None and lying.failed is not None:
        return LoadKnowledge(best, mass, at, told, aboard, None, wrong or _why(lying.failed))
    return LoadKnowledge(best, mass, at, told, aboard, None if lying is None else lying.value, wrong)


def _foretold(
    desk: Editor, study: Study, load: Afloat, item: Item | None, each: float | None
) -> tuple[CountPrediction | None, PlacedCargo | None, str]:
    """What the hand makes of it, and the objects in their places; not asked for while the hand drags on the sheet."""
    fresh = desk.fresh
    settled = fresh is not None and desk.live is None and (load.hand != "usual" or fresh.load is not None)
    if not settled:
        return None, _last_aboard(desk, load), ""
    key = (IdentityKey(study), load.hand, load.item, load.each_g)
    told = desk.worker.ask_lane("foretold", key, partial(predict_count, study, load.hand, item, load.each_g)).answer_to(key)
    if told is None:
        return None, _last_aboard(desk, load), ""
    if told.failed is not None or told.value is None:
        return None, None, _why(told.failed)
    if item is None or each is None:
        return told.value, None, ""
    places = (IdentityKey(told.value), load.count)
    lane = desk.worker.ask_lane("aboard", places, partial(place_cargo, told.value, load.count, each))
    aboard = lane.answer_to(places)
    if aboard is None:
        return told.value, _last_aboard(desk, load), ""
    if aboard.failed is not None:
        return told.value, None, _why(aboard.failed)
    return told.value, aboard.value, ""


def _last_aboard(desk: Editor, load: Afloat) -> PlacedCargo | None:
    """The places as they were last worked out, if they are of this load."""
    last = desk.worker.last_answer("aboard")
    if not isinstance(last, PlacedCargo):
        return None
    same = last.cargo.item.name == load.item and len(last.objects) == load.count
    return last if same else None


def _why(error: BaseException | None) -> str:
    if isinstance(error, FolderError):
        return sentence(error)
    return "This hull is too much for the program to load."
