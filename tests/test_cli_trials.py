"""`folder trial`: corrections, strikes, and what is asked about before it is noted."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from folder.pattern.file import read_pattern
from folder.places import PATTERNS
from folder.practice.identity import design_key
from folder.practice.log import read_history, read_trials

Cli = Callable[..., tuple[int, str, str]]
TRAY = ("--pattern", "plain-tray", "--item", "us-cent")


def add(cli: Cli, count: int, *more: str) -> None:
    assert (0, "") == cli("trial", "add", *TRAY, "--count", str(count), *more)[::2]


def refused(cli: Cli, *argv: str) -> str:
    """The one line that a refused command says."""
    code, out, err = cli(*argv)
    assert (2, "") == (code, out)
    assert 1 == err.count("\n")
    return err


def test_a_trial_of_a_known_pattern_is_noted_with_the_key_of_its_design(cli: Cli) -> None:
    add(cli, 60, "--pupil", "Kim", "--happened", "it tipped")
    [trial] = read_trials()
    assert design_key(read_pattern(PATTERNS / "plain-tray.json")) == trial.design
    assert ("Kim", "it tipped", 248) == (trial.pupil, trial.happened, int(trial.brim_g or 0))


def test_a_slip_is_corrected_and_what_stood_there_is_kept(cli: Cli) -> None:
    add(cli, 60, "--note", "first")
    code, out, _ = cli("trial", "edit", "1", "--count", "61")
    assert (0, True) == (code, "Trial 1 is now" in out)
    [trial] = read_trials()
    assert (61, "first") == (trial.count, trial.note)
    assert "(corrected or struck out later)" in cli("trial", "list", "--all")[1]
    assert [60, 61] == [entry["count"] for entry in json.loads(cli("trial", "list", "--all", "--json")[1])]
    assert [61] == [entry["count"] for entry in json.loads(cli("trial", "list", "--json")[1])]


def test_a_trial_struck_out_does_not_count_until_an_edit_brings_it_back(cli: Cli) -> None:
    add(cli, 60)
    assert 0 == cli("trial", "remove", "1")[0]
    assert () == read_trials()
    assert "No trials yet." in cli("trial", "list")[1]
    assert "struck out already" in refused(cli, "trial", "remove", "1")
    assert 0 == cli("trial", "edit", "1")[0]
    assert [60] == [trial.count for trial in read_trials()]
    assert 3 == len(read_history()[1])


@pytest.mark.parametrize("what", ["edit", "remove"])
def test_a_number_that_was_never_noted_is_refused(cli: Cli, what: str) -> None:
    add(cli, 60)
    assert "no trial of that number" in refused(cli, "trial", what, "7")


def test_more_than_the_brim_load_is_asked_about_and_noted_only_when_confirmed(cli: Cli) -> None:
    for yes in ("--anyway", "--yes"):
        said = refused(cli, "trial", "add", *TRAY, "--count", "900000")
        assert "can this be?" in said
        assert "--anyway" in said
        before = len(read_trials())
        add(cli, 900_000, yes)
        assert before + 1 == len(read_trials())
    load = json.loads(cli("check", "plain-tray", "--json")[1])["load"]
    assert "2 trials set aside" in load["basis"]
    assert load["high_g"] < load["brim_g"]


def test_a_date_to_come_is_asked_about_and_so_is_an_edit_past_the_brim(cli: Cli) -> None:
    assert "still to come" in refused(cli, "trial", "add", *TRAY, "--count", "60", "--date", "2999-01-01")
    add(cli, 60)
    assert "can this be?" in refused(cli, "trial", "edit", "1", "--count", "600")
    assert [60] == [trial.count for trial in read_trials()]


def test_the_same_file_twice_changes_nothing(cli: Cli, tmp_path: Path) -> None:
    table = str(tmp_path / "log.csv")
    for count in (60, 60, 61):
        add(cli, count)
    assert 0 == cli("trial", "export", table)[0]
    code, out, _ = cli("trial", "import", table)
    assert 0 == code
    assert "3 were noted before" in out
    assert 3 == len(read_trials())
    add(cli, 70)
    assert 0 == cli("trial", "export", table)[0]
    older = Path(table).read_text("utf-8").replace(",70,", ",71,")
    Path(table).write_text(older, "utf-8")
    assert '"imported": 1' in cli("trial", "import", table, "--json")[1]
    assert [60, 60, 61, 70, 71] == [trial.count for trial in read_trials()]
    assert '"imported": 4' in cli("trial", "import", table, "--anyway", "--json")[1]
    assert 9 == len(read_trials())


def test_a_column_that_is_none_of_ours_is_passed_over_with_a_word(cli: Cli, tmp_path: Path) -> None:
    table = tmp_path / "class.csv"
    table.write_text("Date,Pattern,Object,Held,weather\n2025-03-14,Plain_TRAY,us cent,58,rain\n", encoding="utf-8")
    assert "Columns passed over: weather." in cli("trial", "import", str(table))[1]
    [trial] = read_trials()
    assert (2.5, design_key(read_pattern(PATTERNS / "plain-tray.json"))) == (trial.mass_each_g, trial.design)


def test_a_slip_that_was_corrected_or_struck_out_does_not_come_back_with_the_file_it_came_from(cli: Cli, tmp_path: Path) -> None:
    table = str(tmp_path / "log.csv")
    for count in (60, 16, 2):
        add(cli, count)
    assert 0 == cli("trial", "export", table)[0]
    assert 0 == cli("trial", "edit", "2", "--count", "61")[0]
    assert 0 == cli("trial", "remove", "3")[0]
    assert '"imported": 0' in cli("trial", "import", table, "--json")[1]
    assert [60, 61] == [trial.count for trial in read_trials()]


def test_the_summary_tells_of_each_design_what_check_tells(cli: Cli) -> None:
    for count in (44, 48, 50, 52):
        add(cli, count)
    load = json.loads(cli("check", "plain-tray", "--json")[1])["load"]
    [one] = json.loads(cli("trial", "summary", "--json")[1])["patterns"]
    assert one["load"] == {name: load[name] for name in one["load"]}
    said = cli("trial", "summary")[1]
    assert "4 trials, 110.0 to 130.0 g, the middle one 122.5 g" in said
    assert "4 trials of this design" in said


def test_check_cargo_and_summary_tell_a_pupil_s_own_next_build(cli: Cli) -> None:
    for count, name in ((44, "Mira"), (66, "Kim"), (48, "mira"), (62, "Kim"), (64, "")):
        add(cli, count, "--pupil", name)
    anyone = json.loads(cli("check", "plain-tray", "--json")[1])
    mira = json.loads(cli("check", "plain-tray", "--pupil", " MIRA", "--json")[1])
    assert (None, "MIRA") == (anyone["pupil"], mira["pupil"])
    assert anyone.keys() == mira.keys()
    assert mira["load"]["likely_g"] < anyone["load"]["likely_g"] - 5.0
    assert (5, 0) == (mira["load"]["trials_own"], mira["load"]["trials_others"])
    assert "  the next build of Mira: " in cli("check", "plain-tray", "--pupil", "Mira")[1]
    cargo = json.loads(cli("cargo", "plain-tray", "--item", "us-cent", "--pupil", "Mira", "--json")[1])
    assert "Mira" == cargo["pupil"]
    assert "From the model, 2 trials of Mira (2 of this design) and 3 of the class (3 of this design): " in cargo["basis"]
    said = cli("trial", "summary")[1]
    spans = f"next {cargo['count_low']} to {cargo['count_high']} × US cent, likely {cargo['count']} (2 trials)"
    assert [f"  Mira: {spans}"] == [line for line in said.splitlines() if "Mira" in line]
    assert "  Kim: next " in said
    assert 0 == cli("trial", "add", *TRAY[:2], "--item", "golf-ball", "--count", "2", "--pupil", "Noa")[0]
    pupils = [line for line in cli("trial", "summary")[1].splitlines() if line.startswith(("  Mira", "  Kim", "  Noa"))]
    assert [True] * 3 == [" g, likely " in line for line in pupils], "two sorts of objects: told in g"


def test_the_names_of_ready_patterns_in_a_table_are_those_designs_and_a_slip_in_it_is_asked_about(
    cli: Cli, tmp_path: Path
) -> None:
    table = tmp_path / "class.csv"
    head = "date,pattern,item,mass_each_g,count\n2025-03-14,plain-tray,us-cent,2.5,58\n"
    table.write_text(f"{head}2025-03-14,Plain tray,us-cent,2.5,900000\n")
    assert "900000 of 2.5 g are 2,250,000 g, more than the 248.6 g" in refused(cli, "trial", "import", str(table))
    assert () == read_trials()
    table.write_text(f"{head}2025-03-14,Plain tray,us-cent,2.5,61\n2025-03-14,our own,us-cent,2.5,7\n")
    assert 0 == cli("trial", "import", str(table))[0]
    key = design_key(read_pattern(PATTERNS / "plain-tray.json"))
    assert [("Plain tray", key), ("Plain tray", key), ("our own", "")] == [(t.pattern, t.design) for t in read_trials()]
    assert "3 were noted before" in cli("trial", "import", str(table))[1]


def test_a_table_of_larger_sheets_does_not_speak_of_the_ready_pattern(cli: Cli, tmp_path: Path) -> None:
    table = tmp_path / "large.csv"
    table.write_text(
        "date,pattern,item,mass_each_g,count,sheet_width_mm,sheet_height_mm\n2025-03-14,plain-tray,us-cent,2.5,700,300,300\n"
    )
    assert 0 == cli("trial", "import", str(table))[0]
    assert [""] == [trial.design for trial in read_trials()]


def test_the_summary_does_not_tell_the_load_of_a_ready_pattern_for_a_larger_sheet_of_that_name(cli: Cli, tmp_path: Path) -> None:
    table = tmp_path / "large.csv"
    table.write_text(
        "date,pattern,item,mass_each_g,count,sheet_width_mm,sheet_height_mm\n"
        "2025-03-14,Plain tray,us-cent,2.5,60,150,150\n2025-03-14,Plain tray,us-cent,2.5,700,300,300\n"
    )
    assert 0 == cli("trial", "import", str(table))[0]
    patterns = json.loads(cli("trial", "summary", "--json")[1])["patterns"]
    assert {150.0: True, 300.0: False} == {one["sheet_width_mm"]: one["load"] is not None for one in patterns}


def test_one_trial_is_told_as_one(cli: Cli) -> None:
    assert 0 == cli("trial", "add", *TRAY, "--held", "60")[0]
    out = cli("trial", "summary")[1]
    assert "  held: 1 trial, 150 g\n" in out
    assert "All patterns: 1 trial, 60 % of the brim load\n" in out


def test_a_misspelt_option_of_edit_is_answered_with_those_of_edit(cli: Cli) -> None:
    err = refused(cli, "trial", "edit", "1", "--coumt", "61")
    assert "folder: trial edit: no such option (found --coumt). Did you mean '--count'" in err
