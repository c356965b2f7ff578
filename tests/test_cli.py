"""The command line: what the verbs print, their exit codes, and one line for whatever cannot be done."""

from __future__ import annotations

import io
import json
import math
import subprocess
import sys
import sysconfig
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from folder import read_pattern, write_pattern
from folder.cli import VERBS, main
from folder.cli.json_text import json_text, rounded_for_json
from folder.errors import one_line
from folder.pattern.families.catalogue import FAMILIES, make
from folder.pattern.pattern import Pattern
from folder.places import PATTERNS
from tests.drawings import crossing_creases, drawn, line, slit_tray, tray
from tests.strategies import tried

Output = tuple[int, str, str]
"""Exit code, output, error output."""
Cli = Callable[..., Output]

CHECK_KEYS = {"name", "folds", "needs_cut", "needs_tape", "closure_gap_mm", "findings", "measures", "load"}
MEASURE_KEYS = {
    "floor_area_mm2", "wall_height_mm", "rim_height_mm", "volume_mm3", "foil_mass_g", "floor_layers", "faces", "creases",
}  # fmt: skip
LOAD_KEYS = {"brim_g", "surface_tension_g", "low_g", "likely_g", "high_g", "limited_by"}


def kept(pattern: Pattern, tmp_path: Path, name: str = "pattern.json") -> str:
    path = tmp_path / name
    write_pattern(pattern, path)
    return str(path)


def one_error(result: Output, *words: str) -> None:
    """Exit 2, nothing printed, and one line that says these words."""
    code, out, err = result
    assert (2, "") == (code, out)
    assert err.startswith("folder: ")
    assert err.endswith("\n")
    assert 1 == err.count("\n")
    assert all(word in err for word in words), err


# check


def test_a_pattern_that_folds_is_told_in_a_few_lines(cli: Cli) -> None:
    code, out, err = cli("check", "plain-tray")
    assert (0, "") == (code, err)
    lines = out.splitlines()
    assert ["Plain tray", "  Folds from one sheet, no cut, no tape."] == lines[:2]
    assert "  floor 100.0 cm2, wall 25.0 mm, rim 25.0 mm, foil 0.97 g" == lines[2]
    assert "brim load 248 g" in lines[3]


def test_machines_get_the_same_as_json(cli: Cli) -> None:
    code, out, err = cli("check", "--json", "plain-tray")
    got = json.loads(out)
    assert (0, "") == (code, err)
    assert set(got) >= CHECK_KEYS
    assert set(got["measures"]) >= MEASURE_KEYS
    assert set(got["load"]) >= LOAD_KEYS
    assert (True, False, False, []) == (got["folds"], got["needs_cut"], got["needs_tape"], got["findings"])
    assert got["closure_gap_mm"] < 1e-9
    assert pytest.approx(250_000.0) == got["measures"]["volume_mm3"]
    assert pytest.approx(248.58, abs=0.005) == got["load"]["brim_g"]


def test_a_pattern_with_a_stop_finding_exits_1_and_says_where_and_what_to_try(cli: Cli, tmp_path: Path) -> None:
    path = kept(crossing_creases(), tmp_path)
    code, out, _ = cli("check", path)
    assert 1 == code
    assert "4 points will not close yet." in out
    assert 1 == out.count("STOP  will-not-close")
    assert 1 == out.count("Try:")
    assert "Try: Fold all corners. (then likely 165 g; folder mend does it)" in out
    assert "at (25.0, 25.0), (25.0, 125.0), (125.0, 25.0), (125.0, 125.0) mm" in out
    code, out, _ = cli("check", "--json", path)
    got = json.loads(out)
    assert (1, False, True) == (code, got["folds"], got["needs_cut"])
    assert {"code": "not-closed", "level": "stop", "text": "4 points will not close yet."} == got["verdict"]
    (finding,) = got["findings"]
    assert "Fold all corners." == finding["remedy"]
    assert {"code", "level", "at", "places", "text", "detail"} <= set(finding)
    assert [[25.0, 25.0], [25.0, 125.0], [125.0, 25.0], [125.0, 125.0]] == finding["places"]
    assert ("will-not-close", [25.0, 25.0]) == (finding["code"], finding["at"])


def test_a_slit_tray_needs_a_cut(cli: Cli, tmp_path: Path) -> None:
    code, out, _ = cli("check", kept(slit_tray(), tmp_path))
    assert 1 == code
    assert "Needs a cut: not allowed." in out


def test_a_pattern_with_warnings_alone_is_fine(cli: Cli, tmp_path: Path) -> None:
    loose = replace(tray(), crimps=())
    code, out, _ = cli("check", kept(loose, tmp_path))
    assert 0 == code
    assert "warn  loose-flap" in out


def test_several_files_are_told_one_after_another_and_as_one_list(cli: Cli, tmp_path: Path) -> None:
    path = kept(crossing_creases(), tmp_path)
    code, out, _ = cli("check", "plain-tray", path)
    assert 1 == code
    assert 2 == len(out.split("\n\n"))
    code, out, _ = cli("check", "--json", "plain-tray", path)
    assert (1, [True, False]) == (code, [got["folds"] for got in json.loads(out)])


def test_one_unreadable_file_does_not_keep_the_others_from_being_checked(cli: Cli, tmp_path: Path) -> None:
    code, out, err = cli("check", str(tmp_path / "none.json"), "plain-tray")
    assert 2 == code
    assert out.startswith("Plain tray")
    assert 1 == err.count("\n")
    code, out, err = cli("check", "--json", str(tmp_path / "none.json"), "plain-tray")
    assert (2, ["Plain tray"]) == (code, [got["name"] for got in json.loads(out)])


def test_a_scribble_is_one_finding_with_its_places(cli: Cli, tmp_path: Path) -> None:
    dots = drawn([line((10.0 + k, 10.0), (10.0 + k, 10.0)) for k in range(50)])
    code, out, _ = cli("check", kept(dots, tmp_path))
    assert 1 == code
    assert 1 == out.count("STOP")
    assert "(10.0, 10.0), (11.0, 10.0), (12.0, 10.0), (13.0, 10.0), (14.0, 10.0), (15.0, 10.0) and 44 more places" in out
    (finding,) = json.loads(cli("check", "--json", str(tmp_path / "pattern.json"))[1])["findings"]
    assert [[10.0 + k, 10.0] for k in range(50)] == finding["places"]


BAD_FILES = {
    "empty": b"",
    "not JSON": b"hello",
    "5 MB": b'{"format": "foil-pattern", "version": 1, "note": "' + b"x" * 5_000_000 + b'"}',
    "NaN": b'{"format": "foil-pattern", "version": 1, "floor_at": [NaN, 1]}',
    "overflow": b'{"format": "foil-pattern", "version": 1, "floor_at": [1e999, 1]}',
    "strings for numbers": b'{"format": "foil-pattern", "version": 1, "floor_at": ["1", "2"]}',
    "unknown key": b'{"format": "foil-pattern", "version": 1, "colour": 1}',
    "version 2": b'{"format": "foil-pattern", "version": 2}',
    "5,001 creases": b'{"format": "foil-pattern", "version": 1, "creases": ['
    + b",".join([b'{"from": [1, 2], "to": [3, 4], "sense": "valley"}'] * 5001)
    + b"]}",
    "the same key twice": b'{"format": "foil-pattern", "version": 1, "version": 1}',
    "nested too deeply": b"[" * 200_000 + b"]" * 200_000,
    "escape": b'{"format": "foil-pattern", "version": 1, "\\u001b[2J\\n": 1}',
}


@pytest.mark.parametrize("case", BAD_FILES)
@pytest.mark.parametrize("verb", ["check", "print"])
def test_a_file_that_is_no_pattern_gets_one_line_and_is_not_harmed(verb: str, case: str, cli: Cli, tmp_path: Path) -> None:
    path = tmp_path / "bad.json"
    path.write_bytes(BAD_FILES[case])
    one_error(cli(verb, str(path)), str(path))
    assert BAD_FILES[case] == path.read_bytes()
    assert [path] == list(tmp_path.iterdir())


@pytest.mark.parametrize("name", ["no-such-tray", "", "none.json", "/nowhere/at/all.json"])
def test_a_name_that_is_no_file_gets_one_line(name: str, cli: Cli) -> None:
    one_error(cli("check", name))


def test_a_directory_gets_one_line(cli: Cli, tmp_path: Path) -> None:
    one_error(cli("check", str(tmp_path)), "directory")


def test_a_name_that_would_paint_the_terminal_is_printed_plainly(cli: Cli, tmp_path: Path) -> None:
    code, out, _ = cli("check", kept(Pattern(name="a\n\x1b[31mb\x9b" + "c" * 500), tmp_path))
    assert 1 == code  # an empty sheet is no hull yet
    first = out.splitlines()[0]
    assert first.startswith("a [31mb c")
    assert len(first) <= 100


@pytest.mark.parametrize("name", ["a\x9b31mb", "a\u202eb", "tab\tand \x1b[2J", "boat \u2192 \U0001f6f6", "\U000e0001"])
def test_json_holds_nothing_a_terminal_would_obey_and_is_the_same_text(name: str, cli: Cli, tmp_path: Path) -> None:
    _, out, _ = cli("check", kept(Pattern(name=name), tmp_path), "--json")
    assert name == json.loads(out)["name"]
    assert out.replace("\n", "").isprintable()


def test_letters_a_terminal_lacks_are_shown_by_number(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = kept(Pattern(name="boat \u2192 \U0001f6f6"), tmp_path)
    narrow = io.TextIOWrapper(io.BytesIO(), encoding="cp1252")
    monkeypatch.setattr(sys, "stdout", narrow)
    assert 1 == main(["check", path])
    narrow.flush()
    assert b"boat \\u2192 \\U0001f6f6" in narrow.buffer.getvalue()  # type: ignore[attr-defined]


# make


@pytest.mark.parametrize("family", FAMILIES)
def test_every_family_is_made_folds_and_is_written(family: str, cli: Cli, tmp_path: Path) -> None:
    path = tmp_path / "made.json"
    code, out, err = cli("make", family, "--to", str(path), "--name", "Mine")
    assert (0, "") == (code, err)
    assert "Mine. Folds from one sheet, no cut, no tape." in out
    assert make(family, name="Mine") == read_pattern(path)


def test_parameters_reach_the_family(cli: Cli, tmp_path: Path) -> None:
    path = tmp_path / "made.json"
    code, out, _ = cli(
        "make", "leaning-tray", "--wall=34.86", "--turn", "57.914", "--sheet", "150,150", "--thickness", "24", "--to", str(path), "--json"
    )  # fmt: skip
    got = json.loads(out)
    assert (0, str(path), "leaning-tray") == (code, got["written"], got["family"])
    assert (34.86, 57.914) == (got["parameters"]["wall"], got["parameters"]["turn"])
    made = read_pattern(path)
    assert pytest.approx(57.914) == math.degrees(made.creases[0].turn_rad or 0.0)
    assert 24.0 == made.sheet.thickness_um


def test_without_a_file_the_pattern_goes_to_the_screen(cli: Cli) -> None:
    code, out, _ = cli("make", "square-tray", "--wall", "20")
    got = json.loads(out)
    assert (0, "square-tray", 20) == (code, got["family"]["name"], got["family"]["parameters"]["wall"])


def test_the_families_are_listed_with_their_parameters(cli: Cli) -> None:
    code, out, _ = cli("make", "--list")
    assert 0 == code
    assert all(f"{name}: " in out for name in FAMILIES)
    assert "--wall 25.0, 3 to 400 mm" in out
    listed = json.loads(cli("make", "--list", "--json")[1])
    assert list(FAMILIES) == [f["name"] for f in listed]


@pytest.mark.parametrize(
    ("argv", "words"),
    [
        ([], ["no family named", "square-tray"]),
        (["no-such-family"], ["no such family"]),
        (["square-tray", "--wal", "20"], ["no such parameter", "wal"]),
        (["square-tray", "--wall"], ["--wall", "expected one"]),
        (["square-tray", "--wall", "x"], ["a number is wanted", "'x'"]),
        (["square-tray", "--wall", "nan"], ["out of range"]),
        (["square-tray", "--wall", "-5"], ["out of range"]),
        (["square-tray", "--wall", "74"], ["leave no floor"]),
        (["square-tray", "wall", "20"], ["one word too many", "wall"]),
        (["square-tray", "--sheet", "19,150"], ["out of range", "20 to 1000"]),
        (["square-tray", "--sheet", "150,inf"], ["out of range"]),
        (["square-tray", "--sheet", "150"], ["2 numbers", "150,150"]),
        (["square-tray", "--width", "150"], ["no such parameter", "--sheet W,H"]),
        (["square-tray", "--thickness", "0"], ["out of range"]),
        (["square-tray", "--thickness", "x"], ["--thickness"]),
        (["square-tray", "--to", "/nowhere/at/all.json"], ["cannot be written"]),
    ],
)
def test_what_makes_no_hull_gets_one_line(argv: list[str], words: list[str], cli: Cli) -> None:
    one_error(cli("make", *argv), *words)


def test_a_pattern_that_cannot_be_made_leaves_the_old_file(cli: Cli, tmp_path: Path) -> None:
    path = kept(tray(), tmp_path)
    one_error(cli("make", "square-tray", "--wall", "74", "--to", path))
    assert tray() == read_pattern(path)


# print and demo


def test_pages_are_printed_and_named(cli: Cli, tmp_path: Path) -> None:
    code, out, _ = cli("print", "plain-tray", "--what", "template", "--paper", "letter", "--to", str(tmp_path))
    assert 0 == code
    written = sorted(p.name for p in tmp_path.iterdir())
    assert ["plain-tray-letter.pdf", "plain-tray-template-letter.svg"] == written
    assert all(str(tmp_path / name) in out for name in written)


def test_a_pattern_that_does_not_fold_is_not_printed_unless_one_insists(cli: Cli, tmp_path: Path) -> None:
    path = kept(crossing_creases(), tmp_path)
    code, out, err = cli("print", path, "--what", "template", "--to", str(tmp_path / "out"))
    assert (1, "", 1) == (code, out, err.count("\n"))
    assert "--anyway" in err
    assert not (tmp_path / "out").exists()
    assert 1 == cli("print", path, "--what", "template", "--anyway", "--to", str(tmp_path / "out"))[0]
    assert (tmp_path / "out").exists()


@pytest.mark.parametrize(
    ("argv", "word"),
    [
        (["--what", "poster"], "poster"),
        (["--what", ","], "no page"),
        (["--paper", "a3"], "a3"),
        (["--to", str(PATTERNS / "plain-tray.json")], "cannot be made"),
    ],
)
def test_pages_that_cannot_be_printed_get_one_line(argv: list[str], word: str, cli: Cli, tmp_path: Path) -> None:
    one_error(cli("print", "plain-tray", "--to", str(tmp_path), *argv), word)


def test_the_demo_writes_everything_and_says_so(cli: Cli, tmp_path: Path) -> None:
    code, out, err = cli("demo", "--to", str(tmp_path / "demo"))
    assert (0, "") == (code, err)
    names = {p.name for p in (tmp_path / "demo").iterdir()}
    assert {"plain-tray.json", "plain-tray-report.json", "plain-tray-a4.pdf"} <= names
    assert all(name in out for name in names)
    assert "brim load 248 g" in out
    assert "adult" in out  # the cautions
    assert read_pattern(tmp_path / "demo" / "plain-tray.json").creases == read_pattern(PATTERNS / "plain-tray.json").creases
    report = json.loads((tmp_path / "demo" / "plain-tray-report.json").read_text())
    assert report == json.loads(cli("check", "--json", "plain-tray")[1])


# The whole command.


@pytest.mark.parametrize("argv", [["fold"], ["--json"], ["check"], ["check", "--colour"], ["chek", "plain-tray"]])
def test_a_wrong_call_gets_one_line_and_where_to_learn_more(argv: list[str], cli: Cli) -> None:
    one_error(cli(*argv), "--help")


@pytest.mark.parametrize("verb", VERBS)
def test_every_verb_refuses_an_option_it_does_not_know_in_one_line(verb: str, cli: Cli) -> None:
    one_error(cli(verb, "--no-such-option", "--nor-this"))


@pytest.mark.parametrize("verb", VERBS)
def test_every_verb_tells_how_it_is_called(verb: str, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as left:
        main([verb, "--help"])
    assert 0 == left.value.code
    assert f"folder {verb}" in capsys.readouterr().out


def test_help_names_every_verb(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as left:
        main(["--help"])
    assert 0 == left.value.code
    out = capsys.readouterr().out
    assert all(verb in out for verb in VERBS)


def test_the_installed_command_runs_as_a_process(tmp_path: Path) -> None:
    command = Path(sysconfig.get_path("scripts")) / "folder"
    done = subprocess.run([command, "check", "plain-tray", "--json"], cwd=tmp_path, capture_output=True, check=False)
    assert (0, b"") == (done.returncode, done.stderr)
    assert pytest.approx(250_000.0) == json.loads(done.stdout)["measures"]["volume_mm3"]
    (tmp_path / "bad.json").write_bytes(b"[" * 200_000)
    module = [sys.executable, "-m", "folder", "check", "bad.json"]
    done = subprocess.run(module, cwd=tmp_path, capture_output=True, check=False)
    assert (2, b"", 1) == (done.returncode, done.stdout, done.stderr.count(b"\n"))


@pytest.mark.skipif(sys.platform == "win32", reason="a pipe of the shell")
def test_a_reader_that_leaves_early_is_no_fault(tmp_path: Path) -> None:
    pipe = f"{sys.executable} -m folder check plain-tray plain-tray | head -c 1"
    done = subprocess.run(["bash", "-o", "pipefail", "-c", pipe], cwd=tmp_path, capture_output=True, check=False)
    assert (b"P", b"") == (done.stdout, done.stderr)


# What is told.


def test_numbers_for_machines_are_free_of_noise() -> None:
    assert {"a": [0.1, 0.0, 250_000.0], "b": None} == rounded_for_json(
        {"a": (0.1 + 2e-14, -1e-17, 250_000.0000000001), "b": None}
    )
    assert "-0" not in json_text({"a": -0.0})


@given(st.text(max_size=200))
@tried(50)
def test_one_line_is_one_line(text: str) -> None:
    line_ = one_line(text, 100)
    assert line_.isprintable()
    assert len(line_) <= min(100, len(text))


def test_what_is_only_unfinished_is_still_to_do_and_what_is_not_known_has_no_number(cli: Cli, tmp_path: Path) -> None:
    trough = kept(drawn([line((0.0, 25.0), (150.0, 25.0)), line((0.0, 125.0), (150.0, 125.0))]), tmp_path)
    code, out, _ = cli("check", trough)
    assert (1, True) == (code, "  to do  open-side at (150.0, 75.0), (0.0, 75.0) mm: No wall stands on this side" in out)
    assert not any(word in out for word in ("STOP", "brim load"))
    crossing = kept(crossing_creases(), tmp_path, "crossing.json")
    out = cli("check", crossing)[1]
    assert "; walls and load are told once it folds" in out
    assert "STOP  will-not-close" in out
    assert not any(word in out for word in ("wall 0.0", "rim 0.0"))


def test_a_table_promises_no_more_than_check_does(cli: Cli) -> None:
    """The brim load of the plain tray is 248.58 g, the high load of a usual build 205.64 g: both are rounded down."""
    row = cli("compare", "plain-tray", "hemmed-tray")[1].splitlines()[1].split()
    assert ["248", "128", "165", "205", "tilt"] == row[-5:]


def test_a_tall_box_is_held_by_hand_until_three_coins_stand_in_it(cli: Cli, tmp_path: Path) -> None:
    box = kept(make("square-tray", {"wall": 65}), tmp_path)
    lines = cli("cargo", box, "--item", "us-cent")[1].splitlines()
    assert "  1 lie side by side, 7 layers" in lines
    placed = [text for text in lines if "mm left" in text]
    assert ([True, True] + [False] * 5) == [text.endswith(", held by hand") for text in placed]


def test_the_side_that_dips_is_named(cli: Cli) -> None:
    out = cli("water", "plain-tray", "--mass", "20", "--at", "-5,3")[1]
    assert "  heel -0.70 deg (the left side dips), trim 0.42 deg (the far side dips)" in out


def test_the_examples_of_the_readme_are_what_check_prints(cli: Cli, tmp_path: Path) -> None:
    """The plain tray; the same with one corner's diagonal swung by 3 deg; two walls and no more."""
    shown = (Path(__file__).parents[1] / "README.md").read_text(encoding="utf-8").split("```text\n")[1:4]
    plain, askew, trough = (block.split("```")[0].splitlines() for block in shown)
    assert plain == cli("check", "plain-tray")[1].splitlines()
    corner = 25.0 * (1.0 - math.tan(math.radians(42.0)))
    swung = [replace(c, end=(0.0, corner)) if c.end == (0.0, 0.0) else c for c in tray().creases]
    swung = [replace(c, start=(0.0, corner)) if c.start == (0.0, 0.0) else c for c in swung]
    lines = cli("check", kept(drawn(swung), tmp_path))[1].splitlines()
    assert askew == lines[lines.index(askew[0]) :][: len(askew)]
    two = drawn([line((25.0, 0.0), (25.0, 150.0)), line((125.0, 0.0), (125.0, 150.0))])
    assert trough == cli("check", kept(two, tmp_path))[1].splitlines()[1:]
