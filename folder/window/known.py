"""What is known of a load on the water so far; what is not known yet is asked for. No pygame."""

from __future__ import annotations

from functools import partial

from msgspec import Struct

from folder.cargo.item import Item
from folder.draw.afloat import Laid
from folder.draw.picture import Box
from folder.errors import FolderError
from folder.findings import Point
from folder.hull.hull import Hull
from folder.study import Study
from folder.water.working import LOAD_HEIGHT_MM
from folder.window.desk import Desk
from folder.window.floating import Aboard, Foretold, Lying, best_place, foretell, lie, on_floor, pile, put_aboard
from folder.window.right import PLAIN, Afloat
from folder.window.same import Same
from folder.window.tool import sentence


class Known(Struct, frozen=True):
    """What is known of a load, so far as it has been worked out."""

    best: Point
    """Where the load should be: there the hull lies level."""
    mass_g: float = 0.0
    at: Point = (0.0, 0.0)
    told: Foretold | None = None
    aboard: Aboard | None = None
    lying: Lying | None = None
    wrong: str = ""
    """Why there is no answer, in a sentence."""


def known_of(
    desk: Desk, study: Study, hull: Hull, load: Afloat, item: Item | None, into: Box, sizes: bool
) -> Known:
    """Ask for what is not known yet, and gather what is."""
    each = load.each_g if load.each_g is not None else item.mass_g if item is not None else None
    best = best_place(hull, study)
    if item is None and load.item != PLAIN:
        return Known(best, at=best, wrong="There is no such object in the list any more. Choose another.")
    if item is not None and each is None:
        return Known(best, at=best, wrong="Its mass varies. Weigh one and type its mass.")
    mass = load.mass_g if item is None or each is None else load.count * each
    told, aboard, wrong = _foretold(desk, study, load, item, each)
    height = aboard.centre_mm[2] if aboard is not None and load.count else LOAD_HEIGHT_MM
    at = on_floor(hull, best, (best[0] + load.off_mm[0], best[1] + load.off_mm[1])) if load.is_off else best
    objects: tuple[Laid, ...] = ()
    if aboard is not None and not load.is_off:
        at, objects = aboard.centre_mm[:2], aboard.objects
    elif mass > 0.0:
        objects = (pile(hull, at, height),)
    key = (Same(study), mass, at, height, Same(aboard), load.is_off, into, sizes)
    lane = desk.worker.ask_lane(
        "lying", key, partial(lie, hull, study.water, mass, (*at, height), objects, into, sizes)
    )
    lying = lane.answer
    if lying is not None and lying.failed is not None:
        return Known(best, mass, at, told, aboard, None, wrong or _why(lying.failed))
    return Known(best, mass, at, told, aboard, None if lying is None else lying.value, wrong)


def _foretold(
    desk: Desk, study: Study, load: Afloat, item: Item | None, each: float | None
) -> tuple[Foretold | None, Aboard | None, str]:
    """What the hand makes of it, and the objects in their places; not asked for while the hand drags on the sheet."""
    fresh = desk.fresh
    settled = fresh is not None and desk.live is None and (load.hand != "usual" or fresh.load is not None)
    if not settled:
        return None, _last_aboard(desk, load), ""
    key = (Same(study), load.hand, load.item, load.each_g)
    told = desk.worker.ask_lane("foretold", key, partial(foretell, study, load.hand, item, load.each_g)).answer_to(key)
    if told is None:
        return None, _last_aboard(desk, load), ""
    if told.failed is not None or told.value is None:
        return None, None, _why(told.failed)
    if item is None or each is None:
        return told.value, None, ""
    places = (Same(told.value), load.count)
    lane = desk.worker.ask_lane("aboard", places, partial(put_aboard, told.value, load.count, each))
    aboard = lane.answer_to(places)
    if aboard is None:
        return told.value, _last_aboard(desk, load), ""
    if aboard.failed is not None:
        return told.value, None, _why(aboard.failed)
    return told.value, aboard.value, ""


def _last_aboard(desk: Desk, load: Afloat) -> Aboard | None:
    """The places as they were last worked out, if they are of this load."""
    last = desk.worker.last_answer("aboard")
    if not isinstance(last, Aboard):
        return None
    same = last.cargo.item.name == load.item and len(last.objects) == load.count
    return last if same else None


def _why(error: BaseException | None) -> str:
    if isinstance(error, FolderError):
        return sentence(error)
    return "This hull is too much for the program to load."
