"""What is asked about a hull and an object; answered in threads of the worker. No pygame.

first count   rows in the greedy order: a tenth of a second
prediction    what a hand makes of the hull, and how many it will take: packing and order searched, half a second
Both are kept for each hull, hand and object, so that what was known once is there at once.
"""

from __future__ import annotations

from decimal import Decimal
from functools import lru_cache

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from folder.cargo.item import Item
from folder.cargo.loading_plan import SOUGHT, LoadingPlan, plan_of_cargo
from folder.cargo.order.order import Loading
from folder.cargo.predict import Cargo, predict
from folder.cargo.vessel import Vessel, vessel_of
from folder.findings import Point
from folder.hull.hull import Hull
from folder.practice.counted import joined_cargo, joined_prediction
from folder.studies import Study
from folder.water import working_load
from folder.water.working_load import WorkingLoad

KEPT = 12
"""So many hulls and objects are remembered."""


class CountPrediction(Struct, frozen=True, eq=False):
    """What a hand makes of a hull, and of an object, if there is one."""

    load: WorkingLoad
    vessel: Vessel
    cargo: Cargo | None = None
    basis: str = ""
    """What it rests on besides the model, in a sentence; empty where there are no trials."""
    plan: LoadingPlan | None = None
    """Where each object goes; None without an object."""


def predict_count(study: Study, hand: str, item: Item | None, each_g: float | None) -> CountPrediction | None:
    """What a hand makes of the hull; None where it is no hull or carries nothing. `each_g` replaces the object's own."""
    return _predicted(study, hand, item, each_g, False)


def first_count(study: Study, hand: str, item: Item | None, each_g: float | None) -> CountPrediction | None:
    """The same at once, from the plainest layout and order."""
    return _predicted(study, hand, item, each_g, True)


@lru_cache(maxsize=KEPT)
def _predicted(study: Study, hand: str, item: Item | None, each_g: float | None, first: bool) -> CountPrediction | None:
    made = study if study.hand == hand else replace(study, hand=hand)
    if made.hull is None or made.working is None or made.joined_load is None:
        return None
    vessel = vessel_of(made.hull, made.water, made.working)
    if item is None:
        return CountPrediction(made.joined_load, vessel, basis="" if made.joined is None else made.joined.in_grams.text)
    mass, each = mass_text(each_g), each_g or item.mass_g or 0.0
    if first:
        alone = predict(vessel, item, mass_each=mass, rounds=0)

        def of_the_same(count: int) -> Loading:
            known = alone.simulated or alone.loading
            return known.first(count) if count <= len(known.places_mm) else alone.loading

        cargo, estimate = joined_cargo(alone, made.joined, each, of_the_same)
    else:
        cargo, estimate = joined_prediction(vessel, item, made.joined, mass)
    plan = plan_of_cargo(cargo, vessel, each, sought=0 if first else SOUGHT)
    text = "" if estimate is None else estimate.text
    return CountPrediction(made.joined_load, vessel, cargo, text, plan)


def mass_text(each_g: float | None) -> str | None:
    """A mass as it is written, for arithmetic in decimals."""
    return None if each_g is None else format(Decimal(repr(each_g)), "f")


def best_load_place(hull: Hull, study: Study) -> Point:
    """Where a load keeps the hull level, or the floor's middle where that is not on the floor."""
    return (0.0, 0.0) if study.brim is None else working_load.level_place(hull.skin, study.brim)


def on_floor(hull: Hull, start: Point, wanted: Point) -> Point:
    """The place nearest to a wanted one, on the straight way there from a start, that is over the floor."""
    if hull.skin.over_floor(np.array([wanted]))[0]:
        return wanted
    near, far = np.array(start), np.array(wanted)
    for _ in range(2):  # the second time between the last place over the floor and the first beside it
        ways = near + np.linspace(1.0, 0.0, 65)[:, None] * (far - near)
        over = np.nonzero(hull.skin.over_floor(ways))[0]
        if not len(over):
            break
        near, far = ways[over[0]], ways[max(over[0] - 1, 0)]
    x, y = near.tolist()
    return (x, y)
