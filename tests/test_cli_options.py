"""The options of the command line: none hides a parameter, values below zero are read, misspelt words are answered."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from folder.cli import VERBS, main
from folder.cli.verbs.make import make_parser, option_of
from folder.errors import BadRequest, nearest
from folder.pattern.families.catalogue import FAMILIES, make
from folder.pattern.file import pattern_bytes, read_pattern
from folder.pattern.pattern import Pattern
from tests.test_cli import Cli
from tests.test_cli_faults import one_line_said

# Options and parameters.


@pytest.mark.parametrize("name", FAMILIES)
def test_no_option_of_make_shadows_a_parameter(name: str) -> None:
    """One place each: argparse would refuse two options of one name, and two of one place would overwrite each other."""
    family = FAMILIES[name]
    options = {o for action in make_parser(None)._actions for o in action.option_strings}
    places = {action.dest for action in make_parser(None)._actions}
    assert not options & {option_of(p) for p in family.parameters}
    assert not places & {p.name for p in family.parameters}
    shown = make_parser(family).format_help()
    assert all(option_of(p) in shown for p in family.parameters)


@pytest.mark.parametrize("name", FAMILIES)
def test_every_parameter_of_every_family_arrives_as_it_was_given(name: str, cli: Cli, tmp_path: Path) -> None:
    """Each set by itself, a little off its default, and found again in the file; so for `make` and to `improve --keep`."""
    for p in FAMILIES[name].parameters:
        if isinstance(p.default, str):
            continue
        value = p.default + (1.0 if p.default < p.high else -1.0)
        path = tmp_path / f"{p.name}.json"
        code, out, err = cli("make", name, option_of(p), str(value), "--to", str(path), "--json")
        if code == 2:  # a hull of these numbers there is none, but the number was read
            assert "no such parameter" not in err
            continue
        assert value == json.loads(out)["parameters"][p.name]
        assert (150.0, 150.0) == (read_pattern(path).sheet.width_mm, read_pattern(path).sheet.height_mm)


def test_a_barge_of_22_mm_has_a_rim_of_22_mm_on_a_sheet_of_150(cli: Cli, tmp_path: Path) -> None:
    path = str(tmp_path / "barge.json")
    assert 0 == cli("make", "long-barge", "--height", "22", "--to", path)[0]
    assert 150.0 == read_pattern(path).sheet.height_mm
    measures = json.loads(cli("check", path, "--json")[1])["measures"]
    assert pytest.approx(22.0, abs=0.01) == measures["rim_height_mm"]


def test_the_sheet_is_set_by_an_option_of_its_own(cli: Cli, tmp_path: Path) -> None:
    path = str(tmp_path / "wide.json")
    assert 0 == cli("make", "square-tray", "--sheet", "200,120", "--to", path)[0]
    assert (200.0, 120.0) == (read_pattern(path).sheet.width_mm, read_pattern(path).sheet.height_mm)


@pytest.mark.parametrize("at", [["--at", "-7,-7"], ["--at=-7,-7"], ["--at", "-7.0,-7.0"], ["--at", "-7,-7.0"]])
def test_a_place_left_of_the_middle_is_read(at: list[str], cli: Cli) -> None:
    """Mirror image of the load right of it: the same freeboard, the other way over."""
    left = json.loads(cli("water", "plain-tray", "--mass", "50", *at, "--json")[1])
    right = json.loads(cli("water", "plain-tray", "--mass", "50", "--at", "7,7", "--json")[1])
    assert pytest.approx(-right["heel_deg"]) == left["heel_deg"] < 0
    assert pytest.approx(right["freeboard_mm"]["least"]) == left["freeboard_mm"]["least"]


def test_parameters_below_zero_are_read(cli: Cli) -> None:
    code, out, _ = cli("make", "pleated-floor-tray", "--shift", "-5")
    assert (0, -5.0) == (code, json.loads(out)["family"]["parameters"]["shift"])


@pytest.mark.parametrize(
    ("argv", "said"),
    [
        (["water", "plain-tray", "--mass", "-5"], "mass"),
        (["water", "plain-tray", "--mass", "5", "--temp", "-3"], "-3"),
        (["water", "plain-tray", "--mass", "5", "--salt", "-.5"], "-0.5"),
        (["make", "square-tray", "--sheet", "-5,150"], "found -5"),
        (["make", "square-tray", "--thickness", "-16"], "found -16"),
        (["drill", "--grade", "-3"], "found -3"),
        (["count", "--holds", "-96", "--each", "12"], "-96"),
    ],
    ids=lambda value: " ".join(value) if isinstance(value, list) else value,
)
def test_a_number_below_zero_is_read_and_refused_by_its_meaning(argv: list[str], said: str, cli: Cli) -> None:
    code, out, err = cli(*argv)
    assert (2, "") == (code, out)
    one_line_said(err, said)
    assert "--help" not in err


@pytest.mark.parametrize("name", FAMILIES)
def test_improve_keeps_every_parameter_by_its_name(name: str, cli: Cli, monkeypatch: pytest.MonkeyPatch) -> None:
    """Its parameters are values of --keep, so that no option can hide one."""
    kept: list[dict[str, object]] = []

    def look(_: str, keep: dict[str, object], **__: object) -> None:
        kept.append(keep)
        raise BadRequest("enough")

    monkeypatch.setattr("folder.cli.verbs.improve.improve", look)
    names = [p.name for p in FAMILIES[name].parameters]
    assert 2 == cli("improve", name, *(word for p in names for word in ("--keep", f"{p}=7")))[0]
    assert [dict.fromkeys(names, "7")] == kept


@pytest.mark.parametrize(
    ("argv", "said"),
    [
        (["--wall-most", "nan"], "--wall-most: a limit is a number above 0 (found nan)"),
        (["--wall-most", "0"], "found 0"),
        (["--floor-least", "inf"], "--floor-least: a limit is a number above 0 (found inf)"),
        (["--fold-least", "-1"], "found -1"),
        (["--hand", "clumsy"], "Choose one of careful, usual, hurried"),
        (["--keep", "wall=20", "--keep", "wall=30"], "one parameter is to keep two values (found wall=20 and wall=30)"),
        (["--to", "there/is/none.json"], "the file cannot be written"),
        (["--to", "."], "the file cannot be written"),
    ],
)
def test_improve_refuses_before_it_searches(argv: list[str], said: str, cli: Cli, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("folder.cli.verbs.improve.improve", lambda *_, **__: pytest.fail("it searches"))
    code, out, err = cli("improve", "square-tray", *argv)
    assert (2, "") == (code, out)
    one_line_said(err, said)


def test_a_better_design_of_a_file_keeps_its_name_and_note(cli: Cli, tmp_path: Path) -> None:
    mine, better = tmp_path / "mine", tmp_path / "better.json"
    mine.write_bytes(pattern_bytes(make("square-tray", {"wall": 20.0}, name="Mine", note="my first")))
    assert 0 == cli("improve", str(mine), "--to", str(better))[0]
    found = read_pattern(better)
    assert ("Mine", "my first", {"wall": 25.0, "tuck": "auto"}) == (
        found.name, found.note, found.family and {**found.family.parameters, "wall": round(float(found.family.parameters["wall"]), 2)},
    )  # fmt: skip


def test_the_family_may_stand_after_its_parameters(cli: Cli) -> None:
    code, out, _ = cli("make", "--wall", "20", "square-tray")
    assert (0, 20.0) == (code, json.loads(out)["family"]["parameters"]["wall"])


# What is nearly right is answered with what is.


@pytest.mark.parametrize(
    ("argv", "meant"),
    [
        (["chek", "plain-tray"], "check"),
        (["prnt", "plain-tray"], "print"),
        (["check", "plian-tray"], "plain-tray"),
        (["check", "long-brge"], "long-barge"),
        (["check", "plain"], "plain-tray"),
        (["make", "squre-tray"], "square-tray"),
        (["make", "hemmed_tray"], "hemmed-tray"),
        (["make", "square-tray", "--wal", "20"], "wall"),
        (["improve", "square-try"], "square-tray"),
        (["improve", "square-tray", "--keep", "wal=20"], "wall"),
        (["cargo", "plain-tray", "--item", "us-cnt"], "us-cent"),
        (["print", "plain-tray", "--what", "tempalte"], "template"),
        (["print", "plain-tray", "--paper", "leter"], "letter"),
        (["trial", "lst"], "list"),
        (["check", "plain-tray", "--jsn"], "--json"),
    ],
    ids=lambda value: " ".join(value) if isinstance(value, list) else value,
)
def test_a_misspelt_word_is_answered_with_the_nearest_right_one(argv: list[str], meant: str, cli: Cli) -> None:
    code, out, err = cli(*argv)
    assert (2, "") == (code, out)
    one_line_said(err, f"Did you mean '{meant}'")


@pytest.mark.parametrize("verb", VERBS)
def test_every_verb_is_found_again_with_a_letter_missing(verb: str) -> None:
    for k in range(len(verb)):
        assert f"Did you mean '{verb}'?" in nearest(verb[:k] + verb[k + 1 :], VERBS)


def test_nothing_is_suggested_where_nothing_is_near() -> None:
    assert nearest("zzzz", ["check", "water"]) == "There are: check, water"
    assert nearest("", ["check", "water"]) == "There are: check, water"


def test_the_version_is_told(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as left:
        main(["--version"])
    assert 0 == left.value.code
    assert "folder 0.1.0\n" == capsys.readouterr().out


def test_a_file_alone_is_opened_in_the_window(monkeypatch: pytest.MonkeyPatch, cli: Cli, tmp_path: Path) -> None:
    path = tmp_path / "mine.json"
    path.write_bytes(pattern_bytes(Pattern(name="Mine")))
    seen: list[list[str]] = []
    monkeypatch.setattr("folder.cli.verbs.draw.run", lambda argv: seen.append(list(argv)) or 0)
    assert 0 == cli(str(path))[0]
    assert 0 == cli("plain-tray")[0]
    assert [[str(path)], ["plain-tray"]] == seen
