"""Counts against a plain simulation: every build loaded object by object, one after the other, with the same hands."""

import itertools
import math
from decimal import Decimal
from functools import cache
from types import SimpleNamespace

import numpy as np
import pytest
from msgspec.structs import replace

from folder.cargo.builds import held_by_builds, standing_rad
from folder.cargo.item_list import find_item
from folder.cargo.plan import FEW
from folder.cargo.predict import held_by_mass, predict
from folder.cargo.vessel import vessel_of
from folder.water.build_variation import BuildDraws, draw_builds, variation_named
from folder.water.equilibrium.under_loads import laden
from folder.water.working_load import LIKELY, working_load
from tests.designs import READY
from tests.studied import ready_study

TALL = {"paper-cup": "5", "baking-cup": "1.4", "measuring-cup-30": "1.6", "wood-cube-25": "10.938", "wood-cube-20": "5.6"}
"""Tall objects, or such as make tall stacks, and a mass for each."""
LOW = {"us-cent": "2.5", "washer-m8": "1.9", "marble-16": "5.3"}


@cache
def ship(name, hand="usual"):
    known = ready_study(name)
    load = working_load(known.hull.skin, known.hull.weight, known.water, hand)
    return vessel_of(known.hull, known.water, load), load


def plain_counts(name, places_mm, mass_g, towers, hand, builds):
    """Object after object is set down in the first so many builds until water comes in, or it tips: what each holds."""
    known = ready_study(name)
    vessel, load = ship(name, hand)
    every = draw_builds(variation_named(hand), known.water, load.at_brim.rim_mm, 500, 1)[0]
    most = held_by_mass(load.brim_g, Decimal(str(mass_g)))
    own = known.hull.weight
    still = np.arange(builds)
    held, total = np.zeros(builds, dtype=int), np.zeros(3)
    for count, (place, stands) in enumerate(zip(places_mm[:most], towers, strict=False), 1):
        total = total + place
        # Foil that weighs more or less than it should is so much more or less load where the foil is.
        more = own.mass_g * (every.gauge[still] - 1.0)
        middle = total / count + np.column_stack([vessel.builds.eccentricity_mm[still], np.zeros(len(still))])
        mass = mass_g * count + more
        middle = (mass_g * count * middle + more[:, None] * np.array(own.centre_mm)) / mass[:, None]
        lying = laden(known.hull.skin, own, mass, middle, known.water)
        stays = lying.stands & (lying.tilt_rad <= stands) & (lying.least_mm + every.shift_mm[still] >= 0.0)
        still = still[stays]
        held[still] = count
        if not len(still):
            break
    return held


def towers(cargo, places_mm):
    """The tilt up to which what is aboard stands, after each object."""
    item = cargo.item
    if item.shape in ("ball", "tube", "screw") or cargo.stack.way == "heap":
        return np.full(len(places_mm), math.pi / 2.0)
    length, width, tall = item.extents_mm
    tops = np.maximum.accumulate(places_mm[:, 2] + tall / 2.0)
    return standing_rad(tops, min(length, width), tall, cargo.stack.way == "nest")


def cases(count):
    """So many hulls, objects and hands: tall and low objects in turn."""
    masses = TALL | LOW
    every = list(itertools.product(READY, masses, ("usual", "careful", "hurried")))
    np.random.default_rng(11).shuffle(every)
    found = 0
    for name, item, hand in every:
        if ready_study(name).working is None:
            continue
        load = ship(name, hand)[1]
        if load.stands_from_g == 0.0 and FEW < load.likely_g / float(masses[item]) < 90:
            found += 1
            yield name, item, masses[item], hand
            if found == count:
                return


def test_counts_are_those_of_a_plain_simulation(many):
    """The same builds: low, likely and high within one object or 5 %."""
    off, builds = [], many(50, 200)
    for name, item, mass, hand in cases(many(2, 64)):
        vessel, _ = ship(name, hand)
        cargo = predict(vessel, find_item(item), mass_each=mass, rounds=0)
        places = cargo.simulated.places_mm
        plain = plain_counts(name, places, float(mass), towers(cargo, places), hand, builds)
        for percent in (10.0, LIKELY, 90.0):
            ours, theirs = np.percentile(cargo.counts[:builds], percent), np.percentile(plain, percent)
            if abs(ours - theirs) > max(1.0, 0.05 * theirs):
                off.append((name, item, hand, percent, float(ours), float(theirs)))
    assert [] == off


@pytest.mark.parametrize(
    ("item", "mass", "low", "likely", "high"), [("paper-cup", "5", 8, 10, 12), ("wood-cube-25", "10.938", 10, 14, 18)]
)
def test_tall_things_are_counted_at_their_own_height(item, mass, low, likely, high):
    """By an outside one-by-one simulation with the same hands, orders and walls of its own: within one object."""
    name = "plain-tray" if item == "wood-cube-25" else "leaning-tray"
    cargo = predict(ship(name)[0], find_item(item), mass_each=mass, rounds=0)
    found = np.array([cargo.count_low, cargo.count, cargo.count_high])
    assert np.abs(found - [low, likely, high]).max() <= 1
    assert cargo.count_low < cargo.count < cargo.count_high


def test_a_hull_with_perfect_hands_takes_18_cubes_that_tilt_it_little():
    """25 mm cubes of 10.938 g in the plain tray: plain greedy floats 18 with 4.4 deg at most."""
    loading = predict(ship("plain-tray")[0], find_item("wood-cube-25"), mass_each="10.938", wanted=18, rounds=0).loading
    assert 18 == loading.held
    assert math.degrees(loading.most_rad) <= 5.4


@pytest.mark.parametrize(
    ("name", "item", "tilt_deg", "least_mm"),
    [("leaning-tray", "marble-16", 6.3, 6.5), ("heavy-duty-tray", "wood-cube-25", 6.3, 2.9)],
)
def test_the_first_objects_tilt_an_empty_hull_no_farther_than_the_rest(name, item, tilt_deg, least_mm):
    """Of the likely number: never as far as greedy on the same places and a degree, nor lower than that."""
    mass = None if item == "marble-16" else "10.938"
    loading = predict(ship(name)[0], find_item(item), mass_each=mass, rounds=0).loading
    assert math.degrees(loading.most_rad) <= tilt_deg + 1.0
    assert loading.least_mm >= least_mm


def test_a_tower_stands_while_its_weight_is_in_the_middle_third_of_its_foot():
    """Closed forms: w / 3h for loose things, w / h for a rigid one, w / 1.5h for nested cups."""
    found = standing_rad(np.array([50.0, 25.0]), 25.0, 25.0)
    assert [math.atan(1.0 / 6.0), math.pi / 4.0] == pytest.approx(found.tolist())
    assert math.atan(1.0 / 3.0) == pytest.approx(standing_rad(np.array([50.0]), 25.0, 25.0, nests=True)[0])


def test_a_hull_that_turns_over_when_empty_is_held_until_it_stands():
    """The count says for how many objects a hand must hold it, and the advice says so: 11 g are five cents."""
    vessel, _ = ship("plain-tray")
    cargo = predict(replace(vessel, stands_from_g=11.0), find_item("us-cent"), rounds=0)
    assert 5 == cargo.hold_until == cargo.as_json()["hold_until"]
    assert any("hold it until 5" in said for said in cargo.advice)


@pytest.mark.parametrize("dips", [False, True])
def test_a_build_ends_at_the_first_object_that_it_does_not_take_however_wrong_the_guess(dips):
    """Made-up hulls: a build off the middle by x holds 60 + 60 sin(50 x) of 150, and two fewer where it dips two sooner.

    The guess reads straight lines between five distances off the middle, which say nothing of so many waves.
    """
    random = np.random.default_rng(4)
    off = np.column_stack([random.uniform(-3.0, 3.0, 400), np.zeros(400)])
    held = np.floor(60.0 + 60.0 * np.sin(50.0 * off[:, 0])).astype(int)

    def lie(masses_g, centres_mm):
        left = np.floor(60.0 + 60.0 * np.sin(50.0 * centres_mm[:, 0])) - masses_g + 0.5
        if dips:
            left = np.where(left == 1.5, -0.5, left)
        still = np.ones(len(left), dtype=bool)
        return SimpleNamespace(corners_mm=left[:, None], least_mm=left, tilt_rad=np.zeros(len(left)), stands=still)

    draws = BuildDraws(off, np.zeros(400), np.ones(400))
    found = held_by_builds(np.zeros((150, 3)), 1.0, lie, draws, np.ones(150), 150)
    assert (np.where(held >= 2, held - 2, held) if dips else held).tolist() == found.counts.tolist()
