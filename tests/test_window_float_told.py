"""What the page Float says of a load is what `folder cargo` and `folder water` say of it, at every count."""

import itertools
import json
import math

import numpy as np
import pytest

from folder.cargo.item_list import find_item
from folder.cargo.spot import centre_of
from folder.window.float.floating import predict_count
from folder.window.float.lying import lying_of
from folder.window.float.state import USUAL_TUB, TubLoading
from folder.window.float.words import answer_words, status_text
from tests.studied import ready_study

HULLS = (
    "plain-tray", "six-sided-bowl", "tall-small-tray", "long-barge", "hemmed-tray", "leaning-tray", "bevelled-tray",
    "two-bend-tray", "pinched-barge", "shallow-tray",
)  # fmt: skip
OBJECTS = (("us-cent", 2.5), ("marble-16", 5.4), ("washer-m8", 1.5), ("glass-tile-20", 4.0), ("wood-screw-3x20", 1.2),
           ("golf-ball", 45.93), ("pony-bead", 0.35), ("domino", 8.0))  # fmt: skip
EVERY = list(itertools.product(HULLS, OBJECTS))
FEW = (0, 43)


def pytest_generate_tests(metafunc):
    if "case" in metafunc.fixturenames:
        whole = metafunc.config.getoption("--whole")
        metafunc.parametrize("case", EVERY if whole else [EVERY[k] for k in FEW], ids=lambda c: f"{c[0]} {c[1][0]}")


def test_state_tilt_freeboard_and_count_are_those_of_the_command_line(case, cli, many):
    name, (item_name, each) = case
    item, made = find_item(item_name), ready_study(name)
    code, out, _ = cli("cargo", name, "--item", item_name, "--each", f"{each}", "--json")
    assert 0 == code
    cargo = json.loads(out)
    prediction = predict_count(made, "usual", item, each)
    large, _ = answer_words(item, prediction)
    numbers = [int(word) for word in large.replace(",", "").split() if word.isdigit()]
    assert [cargo["count"], cargo["count_low"], cargo["count_high"]] == [numbers[0], *numbers[-2:]]
    spots = prediction.plan.spots
    placed = [(p["x_mm"], p["y_mm"], p["z_mm"]) for p in cargo["placed"]]
    assert np.array(placed) == pytest.approx(np.array([spot.centre for spot in spots[: len(placed)]]), abs=1e-6)
    near = 1e-4
    for count, (board, tilt) in enumerate(zip(cargo["least_freeboard_mm"], cargo["tilt_deg"], strict=True), 1):
        lying = lying_of(made, spots[:count], each, USUAL_TUB)
        assert lying.afloat == (board is not None)
        if board is not None:
            assert (board, tilt) == pytest.approx((lying.least_mm, math.degrees(lying.tilt_rad)), abs=near)
    # Beyond the likely count too, until water comes in, the pose is that of `folder water`, at every sixth count and the last.
    last = next((n for n in range(1, len(spots) + 1) if not lying_of(made, spots[:n], each, USUAL_TUB).afloat), len(spots))
    step = many(max(last // 3, 1), 6)
    for count in sorted({*range(1, last + 1, step), last} - {0}):
        as_water_says(cli, made, name, spots[:count], each, cargo["hold_until"])


def as_water_says(cli, made, name, spots, each, hold_until):
    x, y, z = centre_of(spots)
    _, out, err = cli("water", name, "--mass", f"{len(spots) * each!r}", f"--at={x!r},{y!r}", "--height", f"{z!r}", "--json")
    water = json.loads(out)
    lying = lying_of(made, spots, each, USUAL_TUB)
    assert not err
    if len(spots) < hold_until:
        assert "held" == lying.state
        return
    assert water["state"] == lying.state
    loading = TubLoading(spots=spots, ending="" if lying.afloat else lying.state)
    title = status_text(loading, lying, hold_until, (1.0, 0.0)).title
    if lying.state != "floats":
        assert {"floods": "Water comes in!", "capsizes": "It turns over!"}[water["state"]] == title
        return
    assert title.startswith(("It floats", "It stands on the bottom"))
    assert water["freeboard_mm"]["least"] == pytest.approx(lying.least_mm, abs=1e-6)
    assert water["draft_mm"] == pytest.approx(lying.pose.draft_mm, abs=1e-6)
    assert (water["heel_deg"], water["trim_deg"]) == pytest.approx(
        (math.degrees(lying.pose.heel_rad), math.degrees(lying.pose.trim_rad)), abs=1e-6
    )
