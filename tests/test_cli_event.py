"""The day from the command line, in the order in which it comes."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest

from folder.event.rules import Rules, rules_json
from tests.test_cli import Cli


def test_a_day_from_the_rules_to_the_places(cli: Cli, tmp_path: Path) -> None:
    rules, day = tmp_path / "rules.json", str(tmp_path / "day.sqlite")
    rules.write_text('{"objects": [{"name": "2 cent coin", "mass_g": 3.06}]}')
    assert 0 == cli("event", "new", day, "--rules", str(rules))[0]
    assert 0 == cli("event", "team", day, "add", "Reef", "Tern", "Skua", "Petrel")[0]
    station = str(shutil.copy(day, tmp_path / "tub-2.sqlite"))
    for team, guess, held, sheets in (("Reef", 60, 52, 1), ("2", 50, 52, 2), ("Skua", 44, 52, 1)):
        where = station if team == "Skua" else day
        cli("event", "note", where, "--team", team, "--guess", str(guess), "--station", "tub")
        assert 0 == cli("event", "note", where, "--team", team, "--held", str(held), "--sheets", str(sheets))[0]
    _, out, _ = cli("event", "merge", day, station)
    assert "2 entries and 0 teams were new" in out

    code, out, _ = cli("event", "rank", day, "--json")
    rows = json.loads(out)
    assert 0 == code
    assert [("Reef", 1), ("Skua", 1), ("Tern", 3), ("Petrel", None)] == [(r["team"], r["place"]) for r in rows]
    assert [52 * 3.06] * 3 + [None] == [r["held_g"] for r in rows]
    assert {"place", "team", "guess", "held", "held_g", "off", "sheets", "points"} <= set(rows[0])

    cli("event", "note", day, "--team", "Tern", "--held", "53")
    assert "    1       2  Tern" in cli("event", "rank", day)[1]
    assert 0 == cli("event", "export", day, "--to", str(tmp_path / "places.csv"))[0]
    assert (tmp_path / "places.csv").read_text(encoding="utf-8-sig").startswith("place,number,team")


def test_rules_go_out_and_come_back_in(cli: Cli, tmp_path: Path) -> None:
    day, rules = str(tmp_path / "day.sqlite"), tmp_path / "rules.json"
    cli("event", "new", day)
    rules.write_text(cli("event", "rules", day, "--json")[1])
    changed = json.loads(rules.read_text()) | {"sheets": 1}
    rules.write_text(json.dumps(changed))
    assert changed == json.loads(cli("event", "rules", day, "--from", str(rules), "--json")[1])
    assert json.loads(rules_json(Rules(sheets=1))) == changed


def test_a_long_name_pushes_no_number_off_the_terminal(cli: Cli, tmp_path: Path) -> None:
    day = str(tmp_path / "day.sqlite")
    cli("event", "new", day)
    cli("event", "team", day, "add", "W" * 300)
    assert max(map(len, cli("event", "rank", day)[1].splitlines())) < 100
    assert "W" * 300 == json.loads(cli("event", "rank", day, "--json")[1])[0]["team"]


def test_teams_from_a_table(cli: Cli, tmp_path: Path) -> None:
    day, table = str(tmp_path / "day.sqlite"), tmp_path / "teams.csv"
    cli("event", "new", day)
    table.write_text("class,team\n4a,Reef\n4b,Tern\n")
    assert 0 == cli("event", "team", day, "import", str(table))[0]
    assert ["Reef", "Tern"] == [t["team"] for t in json.loads(cli("event", "team", day, "list", "--json")[1])]
    table.write_text("class,team\n4a,Reef\n4b,Tern\n4b,Reef\n")
    assert "2 were there already" in cli("event", "team", day, "import", str(table))[1]
    assert "3 were there already" in cli("event", "team", day, "import", str(table))[1]
    assert ["Reef", "Tern", "Reef"] == [t["team"] for t in json.loads(cli("event", "team", day, "list", "--json")[1])]


def test_more_sheets_than_the_rules_allow_are_noted_with_a_word(cli: Cli, tmp_path: Path) -> None:
    day = str(tmp_path / "day.sqlite")
    cli("event", "new", day)
    cli("event", "team", day, "add", "Reef")
    assert "The rules allow 2 sheets." in cli("event", "note", day, "--team", "1", "--sheets", "3")[1]
    assert "allow" not in cli("event", "note", day, "--team", "1", "--sheets", "2")[1]


def test_the_pages_of_the_day_are_written_and_named(cli: Cli, tmp_path: Path) -> None:
    day = str(tmp_path / "day.sqlite")
    cli("event", "new", day)
    cli("event", "team", day, "add", "Reef", "Tern")
    code, out, _ = cli(
        "event", "print", day, "--what", "slips,stations", "--stations", "2", "--to", str(tmp_path / "out"), "--json"
    )
    assert 0 == code
    written = sorted(Path(name).name for name in json.loads(out)["written"])
    expected = ["day-slips-a4.pdf", "day-slips-a4.svg", "day-stations-a4-1.svg", "day-stations-a4-2.svg", "day-stations-a4.pdf"]
    assert expected == written == sorted(path.name for path in (tmp_path / "out").iterdir())


def test_of_a_damaged_event_what_can_be_read_goes_on(cli: Cli, tmp_path: Path) -> None:
    day = tmp_path / "day.sqlite"
    cli("event", "new", str(day))
    cli("event", "team", str(day), "add", "Reef", "Tern")
    whole = day.read_bytes()
    day.write_bytes(whole[: len(whole) - 5000])
    assert "--rescue" in cli("event", "rank", str(day))[2]
    assert "2 teams" in cli("event", "new", str(tmp_path / "saved.sqlite"), "--rescue", str(day))[1]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("note", "DAY", "--team", "1"), "nothing to note"),
        (("note", "DAY", "--team", "7", "--held", "1"), "no such team"),
        (("note", "DAY", "--team", "1", "--held", "-1"), "held"),
        (("note", "DAY", "--team", "1", "--sheets", "0"), "sheets"),
        (("team", "DAY", "add"), "at least one name"),
        (("team", "DAY", "import"), "one CSV file"),
        (("new", "DAY"), "cannot be begun"),
        (("rank", "nowhere.sqlite"), "no such event"),
        (("merge", "DAY", "nowhere.sqlite"), "no such event"),
        (("merge", "DAY", "x" * 400), "no such event"),
        (("new", "x" * 400), "cannot be begun"),
        (("export", "DAY", "--to", "x" * 400), "cannot be written"),
        (("rnak", "DAY"), "rank"),
        (("export", "DAY", "--to", "DAY"), "something stands there already"),
        (("print", "DAY", "--what", "slip"), "slips"),
        (("print", "DAY", "--stations", "0"), "stations"),
        (("new", "NEW", "--rescue", "nowhere.sqlite"), "nowhere.sqlite"),
    ],
)
def test_what_cannot_be_is_said_in_one_line(cli: Cli, tmp_path: Path, words: tuple[str, ...], said: str) -> None:
    day = str(tmp_path / "day.sqlite")
    cli("event", "new", day)
    cli("event", "team", day, "add", "Reef")
    code, out, err = cli("event", *(day if w == "DAY" else w for w in words))
    assert (2, "") == (code, out)
    assert said in err
    assert 1 == len(err.splitlines())
