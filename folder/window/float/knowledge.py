"""What is known of the hull and the object so far; what is not known yet is asked for. No pygame."""

from __future__ import annotations

import math
from functools import lru_cache, partial

from msgspec import Struct

from folder.cargo.item import Item
from folder.cargo.loading_plan import LoadingPlan
from folder.cargo.packing.room import Room, room_of
from folder.cargo.settle import free_of
from folder.cargo.spot import Spot
from folder.errors import FolderError
from folder.hull.hull import Hull
from folder.practice.identity import design_key
from folder.studies import Study
from folder.window.background.identity import IdentityKey
from folder.window.editor import Editor
from folder.window.float.floating import CountPrediction, first_count, predict_count
from folder.window.float.lying import TubPose, lying_of
from folder.window.float.state import FloatState, Of
from folder.window.tools.tool import sentence

NO_FIT = "Not one of them fits on the floor. Make the floor wider, or take a smaller object."
AT_A_TIME = 24
"""So many places are asked at a time whether they are free."""
NEAR = 0.35
"""An object let go this near to the next place, over its own width, goes onto it."""


class KnownHull(Struct, frozen=True, eq=False):
    """A hull that floats, the object to load it with, and what is known of the two."""

    study: Study
    hull: Hull
    room: Room
    item: Item | None
    each_g: float | None
    of: Of
    prediction: CountPrediction | None = None
    is_final: bool = False
    """Packing and order have been searched."""
    wrong: str = ""
    """Why nothing can be loaded, in a sentence."""

    @property
    def plan(self) -> LoadingPlan | None:
        """Where each object goes, once it is known."""
        return None if self.prediction is None else self.prediction.plan

    def lying(self, state: FloatState, spots: tuple[Spot, ...] | None = None) -> TubPose:
        """How it lies with what is in it, or with other objects."""
        return lying_of(self.study, state.loading.spots if spots is None else spots, self.each_g or 1.0, state.tub)


def known_of(editor: Editor) -> KnownHull | None:
    """What is known of the hull on the table; None where there is no hull to float. Asks for what is not known yet."""
    study = editor.result.study if editor.result is not None else None
    hull = study.hull if study is not None else None
    if study is None or hull is None or study.brim is None or not 0.0 < hull.rim_height_mm < math.inf:
        return None
    item = editor.state.object_choice.item
    each = item.mass_g if item is not None else None
    of = Of(_key_of(IdentityKey(study.pattern)), item.name if item is not None else "", each or 0.0)
    known = KnownHull(study, hull, _room_of(hull), item, each, of)
    if item is None:
        return _but(known, "There is no such object in the list any more. Choose another.")
    if each is None:
        return _but(known, "Its mass varies. Weigh one and type its mass.")
    if study.brim.load_g <= 0.0 or study.stands_from_g is None:
        return _but(known, "This hull carries nothing: it sinks or turns over by itself.")
    return _with_prediction(editor, known, item, each)


def _but(known: KnownHull, wrong: str) -> KnownHull:
    return KnownHull(known.study, known.hull, known.room, known.item, known.each_g, known.of, wrong=wrong)


def _with_prediction(editor: Editor, known: KnownHull, item: Item, each: float) -> KnownHull:
    """First the quick count, then the one that is searched; not asked for while the hand drags on the sheet."""
    if editor.fresh is None or editor.state.drag_pattern is not None:
        return known
    hand = editor.state.floating.hand
    key = (IdentityKey(known.study), hand, item, each)
    quick = editor.worker.ask_job("count-first", key, partial(first_count, known.study, hand, item, each)).answer_to(key)
    if quick is None:
        return known
    if quick.failed is not None or quick.value is None:
        return _but(known, _why(quick.failed))
    if not quick.value.plan.spots:
        return _but(known, NO_FIT)
    settled = hand == "usual" and editor.fresh.load is None  # its own load is still worked on: it will be there for nothing
    best = None
    if not settled:
        best = editor.worker.ask_job("count", key, partial(full_count, known.study, hand, item, each)).answer_to(key)
    whole = best is not None and best.failed is None and best.value is not None
    prediction = best.value if best is not None and whole else quick.value
    return KnownHull(known.study, known.hull, known.room, item, each, known.of, prediction, whole)


def full_count(study: Study, hand: str, item: Item, each_g: float) -> CountPrediction | None:
    """What is asked of a hull and an object: packing and order searched. The page Fold asks the same."""
    return predict_count(study, hand, item, each_g)


def _why(error: BaseException | None) -> str:
    if isinstance(error, FolderError):
        return sentence(error)
    return "This hull is too much for the program to load." if error is not None else "This hull carries nothing."


@lru_cache(maxsize=8)
def _key_of(pattern: IdentityKey) -> str:
    return design_key(pattern.thing)  # type: ignore[arg-type]  # the key of a pattern is made of one above


@lru_cache(maxsize=8)
def _room_of(hull: Hull) -> Room:
    return room_of(hull)


@lru_cache(maxsize=64)
def next_spot(plan: LoadingPlan | None, spots: tuple[Spot, ...], item: Item) -> Spot | None:
    """The first place of the plan that is free and carried; None past its end."""
    if plan is None:
        return None
    mine = set(spots)
    count = len(spots)
    if count < len(plan.spots) and mine == set(plan.spots[:count]):
        return plan.spots[count]
    open_ = [spot for spot in plan.spots if spot not in mine]
    for start in range(0, len(open_), AT_A_TIME):  # the first that is free mostly comes soon
        some = open_[start : start + AT_A_TIME]
        for spot, free in zip(some, free_of(item, some, spots).tolist(), strict=True):
            if free and (spot.layer == 0 or any(_carries(item, other, spot) for other in spots)):
                return spot
    return None


@lru_cache(maxsize=64)
def mapped(plan: LoadingPlan | None, spots: tuple[Spot, ...], item: Item) -> tuple[Spot, ...]:
    """What the map numbers: what lies in the hull, then the places of the plan that are still free."""
    if plan is None:
        return spots
    if spots == plan.spots[: len(spots)]:
        return plan.spots
    first = next_spot(plan, spots, item)
    taken = {*spots, first}
    open_ = [spot for spot in plan.spots if spot not in taken]
    free = [spot for spot, is_free in zip(open_, free_of(item, open_, spots).tolist(), strict=True) if is_free]
    return (*spots, *((first,) if first is not None else ()), *free)


def _carries(item: Item, below: Spot, spot: Spot) -> bool:
    """Whether one lies under a place, near enough to carry what lies there."""
    reach = max(item.footprint_mm)
    near = math.hypot(below.x_mm - spot.x_mm, below.y_mm - spot.y_mm) < 2.0 * reach
    return near and below.layer == spot.layer - 1
