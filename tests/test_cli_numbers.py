"""Numbers on the command line: none is ever not-a-number, and the contract's names are all there."""

import json
import math

import pytest

from folder.cli import main
from folder.pattern.file import ready_patterns
from tests.studied import ready_study

READY = ["plain-tray", "leaning-tray", "double-sheet-tray", "pinched-barge", "long-barge", "two-bend-tray"]


def cli(capsys, *argv):
    """Exit code and parsed JSON; every number in it is finite."""
    code = main([*argv, "--json"])
    value = json.loads(capsys.readouterr().out, parse_constant=lambda name: pytest.fail(f"{name} in {argv}"))
    walk(value)
    return code, value


def walk(value):
    if isinstance(value, dict):
        for part in value.values():
            walk(part)
    elif isinstance(value, list):
        for part in value:
            walk(part)
    elif isinstance(value, float):
        assert math.isfinite(value)


@pytest.mark.parametrize("name", READY)
def test_check_tells_the_whole_contract_in_finite_numbers(name, capsys):
    code, value = cli(capsys, "check", name)
    assert 0 == code
    assert {"brim_g", "surface_tension_g", "low_g", "likely_g", "high_g", "limited_by"} <= set(value["load"])
    load = value["load"]
    assert 0 < load["low_g"] < load["likely_g"] < load["high_g"] < load["brim_g"] < load["surface_tension_g"]
    assert value["walls"]
    assert all(0 < wall["bow_mm"] < 5 for wall in value["walls"])


@pytest.mark.parametrize("mass", ["0", "50", "240", "260", "900000"])
@pytest.mark.parametrize("name", READY[:3])
def test_water_tells_the_whole_contract_whatever_the_mass(name, mass, capsys):
    code, value = cli(capsys, "water", name, "--mass", mass, "--height", "4")
    assert 0 == code
    assert {
        "state",
        "draft_mm",
        "heel_deg",
        "trim_deg",
        "freeboard_mm",
        "kb_mm",
        "bm_mm",
        "gm_mm",
        "displaced_mm3",
        "righting",
        "flooding_heel_deg",
    } == set(value)
    assert {"toward_deg", "heel_deg", "arm_mm", "vanishing_heel_deg"} == set(value["righting"])
    assert (value["state"] == "floats") == (value["draft_mm"] is not None)


def test_the_tray_row_of_the_handbook_comes_out_on_the_command_line(capsys):
    """CHECKS section 3: 40 cents of 2.5 g one deep: draft 10.115, freeboard 14.885, KB 5.06, BM 82.38, GM 86.6 mm.

    With the cents' centre 0.76 mm up; the row's GM leaves the foil where the cents are.
    """
    _, value = cli(capsys, "water", "plain-tray", "--mass", "100", "--height", "0.76")
    assert 10.115 == pytest.approx(value["draft_mm"], abs=1e-3)
    assert 14.885 == pytest.approx(value["freeboard_mm"]["least"], abs=1e-3)
    assert 5.06 == pytest.approx(value["kb_mm"], abs=0.01)
    assert 82.38 == pytest.approx(value["bm_mm"], abs=0.01)
    assert 86.6 == pytest.approx(value["gm_mm"], abs=0.1)


def test_cargo_tells_the_whole_contract(capsys):
    code, value = cli(capsys, "cargo", "plain-tray", "--item", "us-cent")
    assert 0 == code
    assert 27 == value["fits_per_layer"]
    assert len(value["placed"]) == len(value["least_freeboard_mm"]) == value["count"]
    assert value["count_low"] <= value["count"] <= value["count_high"]


@pytest.mark.parametrize(
    "argv",
    [
        ["water", "plain-tray", "--mass", "-1"],
        ["water", "plain-tray", "--mass", "nan"],
        ["water", "plain-tray", "--mass", "1e30"],
        ["water", "plain-tray", "--mass", "5", "--at", "400,0"],
        ["water", "plain-tray", "--mass", "5", "--at", "nowhere"],
        ["water", "plain-tray", "--mass", "5", "--temp", "300"],
        ["water", "plain-tray", "--mass", "5", "--tub", "1,2,3"],
        ["water", "no-such-thing", "--mass", "5"],
        ["cargo", "plain-tray", "--item", "anvil"],
        ["cargo", "plain-tray", "--item", "us-cent", "--count", "-3"],
        ["count", "--holds", "0", "--each", "2"],
        ["count", "--holds", "1e9", "--each", "2"],
        ["make", "square-tray", "--wall", "nan"],
        ["improve", "no-such-family"],
        ["compare", "plain-tray"],
        ["drill", "--grade", "99"],
        ["trial", "add", "--pattern", "x", "--item", "us-cent", "--count", "-1"],
    ],
    ids=" ".join,
)
def test_nonsense_gets_one_line_and_exit_2(argv, capsys):
    assert 2 == main(argv)
    out = capsys.readouterr()
    assert "" == out.out
    assert 1 == out.err.count("\n")
    assert out.err.startswith("folder: ")


def noted(*counts: int, pattern: str = "plain-tray") -> None:
    for count in counts:
        assert 0 == main(["trial", "add", "--pattern", pattern, "--item", "us-cent", "--count", str(count)])


@pytest.mark.parametrize("each", ["2,5", "2.5 g", "25e-1"])
def test_cargo_reads_the_mass_of_one_object_as_count_does(each, capsys):
    code, value = cli(capsys, "cargo", "plain-tray", "--item", "us-cent", "--each", each, "--count", "3")
    assert (0, cli(capsys, "cargo", "plain-tray", "--item", "us-cent", "--count", "3")[1]) == (code, value)


def test_trials_in_the_log_draw_the_load_of_check_from_the_model_toward_them(capsys):
    """Four trials of 48.5 cents in the middle: 121 g held, so up to 123.75; the model alone says 165."""
    model = cli(capsys, "check", "plain-tray")[1]["load"]
    noted(44, 48, 50, 52)
    capsys.readouterr()
    load = cli(capsys, "check", "plain-tray")[1]["load"]
    assert "4 trials of this design" in load["basis"]
    assert (4, 0, None) == (load["trials_own"], load["trials_others"], model["count_on_g"])
    assert 121.25 < load["likely_g"] < 121.25 + (model["likely_g"] - 121.25) / 3
    assert 0 < load["count_on_g"] < load["low_g"] < load["likely_g"] < load["high_g"] < model["high_g"]


def test_the_hand_matters_with_trials_too(capsys):
    noted(60, 62)
    capsys.readouterr()
    likely = [cli(capsys, "check", "plain-tray", "--hand", h)[1]["load"]["likely_g"] for h in ("careful", "usual", "hurried")]
    assert likely[0] > 1.1 * likely[1] > 1.1 * 1.1 * likely[2]


def test_round_objects_get_a_dimple_each_on_the_template(tmp_path, capsys):
    """As many more closed lines as marbles lie side by side, and one in the key; coins do not roll and get none."""
    marbles = cli(capsys, "cargo", "plain-tray", "--item", "marble-16")[1]["fits_per_layer"]
    assert 30 <= marbles
    rings = {}
    for item in ("marble-16", "us-cent"):
        assert 0 == main(["print", "plain-tray", "--what", "template", "--item", item, "--to", str(tmp_path / item)])
        text = (tmp_path / item / "plain-tray-template-a4.svg").read_text()
        rings[item] = text.count("<path") + text.count("<polygon") + text.count("<circle")
        assert ("dimple" in text) == (item == "marble-16")
    assert marbles + 1 == rings["marble-16"] - rings["us-cent"]


def test_every_ready_pattern_folds_with_nothing_to_stop():
    for name in ready_patterns():
        result = ready_study(name)
        assert (True, False, False, ()) == (result.folds, result.needs_cut, result.needs_tape, result.report.stops)
