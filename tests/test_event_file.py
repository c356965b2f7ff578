"""An event on disk: several stations, several programs, merged in any order; what is confirmed is there."""

from __future__ import annotations

import random
import shutil
import signal
import sqlite3
import subprocess
import sys
import time
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from folder.cli.json_text import json_text
from folder.errors import BadRequest, UnreadableFile, UnwritableFile
from folder.event.exchange import read_names, standing_row, write_standings
from folder.event.file import EventFile
from folder.event.rescue import rescue
from folder.event.rules import Rules
from folder.places import write_whole

ROOT = Path(__file__).resolve().parent.parent

STATION = """
import random, sys
from pathlib import Path
from folder.event.file import EventFile
from folder.event.rescue import rescue
dice = random.Random(sys.argv[3])
with EventFile(Path(sys.argv[1])) as event:
    teams = event.teams()
    for _ in range(int(sys.argv[4])):
        team = dice.choice(teams)
        entry = event.note(team, sys.argv[2], **{dice.choice(["guess", "held"]): dice.randrange(90), "sheets": dice.randrange(1, 3)})
        print(entry.id, flush=True)
"""


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "day.sqlite"


def begun(path: Path, teams: int = 0) -> Path:
    with EventFile.new(path, Rules()) as event:
        event.add_teams([f"Team {i}" for i in range(teams)])
    return path


def station(path: Path, name: str, count: int) -> subprocess.Popen[str]:
    command = [sys.executable, "-c", STATION, str(path), name, name, str(count)]
    return subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, text=True)


def ranking(path: Path) -> str:
    with EventFile(path) as event:
        return json_text([standing_row(s, 2.5) for s in event.standings()])


def plain_places(path: Path) -> dict[int, int | None]:
    """The places by team number from the bare rows, with nothing of the package: most held, fewest sheets, nearest guess."""
    db = sqlite3.connect(path)
    numbers = dict(db.execute("SELECT id, number FROM team"))
    last: dict[str, dict[str, int]] = {team: {} for team in numbers}
    for team, guess, held, sheets in db.execute("SELECT team, guess, held, sheets FROM entry ORDER BY at, id"):
        last[team].update({k: v for k, v in (("guess", guess), ("held", held), ("sheets", sheets)) if v is not None})
    db.close()
    worth = {
        team: (noted["held"], -noted.get("sheets", 99), -abs(noted["guess"] - noted["held"]) if "guess" in noted else -999)
        for team, noted in last.items()
        if "held" in noted
    }
    return {
        number: None if team not in worth else 1 + sum(other > worth[team] for other in worth.values())
        for team, number in numbers.items()
    }


def test_four_stations_merge_to_the_same_places_in_any_order_and_any_number_of_times(path: Path, tmp_path: Path, many):
    begun(path, teams=40)
    copies = [Path(shutil.copy(path, tmp_path / f"{name}.sqlite")) for name in "ABC"]
    each = many(20, 60)
    shared = [path, path]  # two programs on one file at once
    running = [station(p, f"tub {i}", each) for i, p in enumerate([*copies, *shared])]
    noted = [line for one in running for line in one.communicate(timeout=60)[0].split()]
    assert 5 * each == len(set(noted))

    def merged_in(order: list[Path], name: str) -> str:
        target = Path(shutil.copy(order[0], tmp_path / name))
        with EventFile(target) as event:
            for other in [*order[1:], *order]:
                event.merge(other)
            assert 5 * each == len(event.entries())
        return ranking(target)

    dice = random.Random(5)
    files = [path, *copies]
    expected = merged_in(files, "first.sqlite")
    with EventFile(tmp_path / "first.sqlite") as event:
        assert plain_places(tmp_path / "first.sqlite") == {s.result.team.number: s.place for s in event.standings()}
        assert len({entry.team for entry in event.entries()}) < len(event.entries())  # corrections among them
    for turn in range(many(3, 20)):
        dice.shuffle(files)
        assert expected == merged_in(list(files), f"merged-{turn}.sqlite")


def test_what_was_confirmed_is_there_after_a_kill(path: Path, many):
    begun(path, teams=5)
    confirmed: set[str] = set()
    dice = random.Random(9)
    for turn in range(many(4, 100)):
        running = station(path, f"tub {turn}", 10_000)
        assert running.stdout is not None
        first = running.stdout.readline()  # it is at work
        time.sleep(0.05 * dice.random())
        running.send_signal(signal.SIGKILL)
        confirmed |= {line for line in (first + running.communicate()[0]).split("\n") if len(line) == 32}
    with EventFile(path) as event:
        found = {entry.id for entry in event.entries()}
    assert len(confirmed) >= many(4, 100)
    assert confirmed <= found


def test_a_correction_is_a_later_entry_even_where_the_clock_is_set_back(path: Path):
    begun(path, teams=1)
    db = sqlite3.connect(path)
    with EventFile(path) as event:
        (team,) = event.teams()
        event.note(team, held=4)
        db.execute("UPDATE entry SET at = '2999-01-01T00:00:00.000000+00:00'")
        db.commit()
        event.note(team, held=44)
        assert [4, 44] == [entry.held for entry in event.entries()]
        assert 44 == event.results()[0].held
    db.close()


def test_rules_set_anew_count_from_then_on(path: Path):
    begun(path)
    with EventFile(path) as event:
        event.rule(Rules(sheets=1))
        assert Rules(sheets=1) == event.rules()


def test_teams_of_one_name_are_told_apart_by_number(path: Path):
    begun(path)
    with EventFile(path) as event:
        event.add_teams(["Reef", "Tern", "Reef"])
        assert 2 == event.team("Tern").number
        assert 3 == event.team("3").number
        with pytest.raises(BadRequest, match="1, 3"):
            event.team("Reef")
        with pytest.raises(BadRequest, match="no such team"):
            event.team("Skua")


NAMES = [
    "می‌خواهم",
    "👨‍👩‍👧",
    'O\'Neil "the wave"',
    "=1+1",
    "<b>&amp;</b>",
    "'); DROP TABLE team; --",
    "فريق الموج",
    "x" * 300,
    "a\tb\nc",
]


def test_names_of_any_kind_come_back_and_are_no_formula_in_a_table(path: Path, tmp_path: Path):
    begun(path)
    with EventFile(path) as event:
        event.add_teams(NAMES)
        assert [*NAMES[:-1], "a b c"] == [t.name for t in event.teams()]
        write_standings(event.standings(), 2.5, tmp_path / "places.csv")
    table = (tmp_path / "places.csv").read_text(encoding="utf-8-sig")
    assert "'=1+1" in table
    assert len(NAMES) + 1 == len(table.splitlines())
    assert tuple(sorted([*NAMES[:-1], "a b c"])) == tuple(sorted(read_names(tmp_path / "places.csv")))


@pytest.mark.parametrize("name", ["", "  \n", "\u200d", "x" * 301])
def test_what_is_no_name_is_refused_and_no_team_is_entered(path: Path, name: str):
    begun(path)
    with EventFile(path) as event:
        with pytest.raises(BadRequest, match="name"):
            event.add_teams(["Reef", name])
        assert () == event.teams()


@pytest.mark.parametrize(
    ("data", "expected"),
    [
        (b"Reef\nTern\n", ("Reef", "Tern")),
        (b"sep=;\r\nteam;class\r\nReef;4a\r\nTern;4b\r\n", ("Reef", "Tern")),
        (b"class;team\r\n4a;Reef\r\n4b;Tern\r\n;\r\n", ("Reef", "Tern")),
        ("\ufeffname\nMöwe\n".encode(), ("Möwe",)),
        ("name\nMöwe\n".encode("cp1252"), ("Möwe",)),
        (b'"Reef, red",1\n"Tern",2\n', ("Reef, red", "Tern")),
        (b"No.,Team name\n1,Reef\n", ("Reef",)),
        (b"First name,Class,Last_name\nAda,4a,Reef\n", ("Ada Reef",)),
        (b'The "Wave"\nTern\n', ('The "Wave"', "Tern")),
    ],
)
def test_teams_come_from_a_table(tmp_path: Path, data: bytes, expected: tuple[str, ...]):
    write_whole(tmp_path / "teams.csv", data)
    assert expected == read_names(tmp_path / "teams.csv")


def test_a_table_without_teams_is_refused(tmp_path: Path):
    write_whole(tmp_path / "teams.csv", b"team\n\n")
    with pytest.raises(UnreadableFile, match="no teams"):
        read_names(tmp_path / "teams.csv")


def test_a_quotation_mark_without_its_partner_does_not_make_one_team_of_all(tmp_path: Path):
    write_whole(tmp_path / "teams.csv", b'Reef\n"Tern\nSkua\nAuk\n')
    with pytest.raises(UnreadableFile, match="without its partner"):
        read_names(tmp_path / "teams.csv")


def test_grams_are_those_of_paper(path: Path):
    begun(path, teams=1)
    with EventFile(path) as event:
        event.note(event.teams()[0], held=3)
        assert 0.3 == standing_row(event.standings()[0], 0.1)["held_g"]  # as binary numbers 0.1 times 3 is more


NOW = "2026-01-01T00:00:00.000000+00:00"
UNSOUND = {
    "a time that is none": ("entry", ("e", "zzz", "s", "t", 1, 1, 1)),
    "a time without a place on the globe": ("entry", ("e", "2026-01-01T00:00:00", "s", "t", 1, 1, 1)),
    "a time after all times": ("entry", ("e", "9999-12-31T23:59:59.999999+00:00", "s", "t", 1, 2, 1)),
    "fewer than none": ("entry", ("e", NOW, "s", "t", None, -5, 1)),
    "a number as long as a row": ("team", ("t", NOW, 2**63 - 1, "Reef")),
    "a team without a name": ("team", ("t", NOW, 4, " ")),
    "rules that are none": ("rules", ("r", "9000-01-01", "nonsense")),
}


@pytest.mark.parametrize("case", UNSOUND)
def test_a_file_with_an_unsound_row_spoils_no_other(path: Path, tmp_path: Path, case: str):
    begun(path, teams=1)
    other = Path(shutil.copy(path, tmp_path / "tub-2.sqlite"))
    table, row = UNSOUND[case]
    with sqlite3.connect(other) as db:
        db.execute(f"INSERT INTO {table} VALUES ({', '.join('?' * len(row))})", row)
    db.close()
    with EventFile(path) as event, pytest.raises(UnreadableFile, match=r"tub-2.*damaged.*--rescue"):
        event.merge(other)
    rescue(other, tmp_path / "saved.sqlite")
    with EventFile(path) as event:
        event.merge(tmp_path / "saved.sqlite")
        assert (1, ()) == (len(event.teams()), event.entries())
        event.note(event.teams()[0], held=4)


@pytest.mark.parametrize(("minutes", "warning"), [(0, ""), (-600, ""), (90, "89 min ahead")])
def test_a_clock_that_runs_ahead_is_told_for_its_entries_count_as_later(path: Path, tmp_path: Path, minutes: int, warning: str):
    begun(path, teams=1)
    other = Path(shutil.copy(path, tmp_path / "tub-2.sqlite"))
    with EventFile(other) as theirs, EventFile(path) as event:
        theirs.note(theirs.teams()[0], held=4)
        at = datetime.now(UTC) + timedelta(minutes=minutes)
        theirs._db.execute("UPDATE entry SET at = ?", (at.isoformat(timespec="microseconds"),))
        event.note(event.teams()[0], held=44)
        said = event.merge(other).clock_words
        assert warning in said
        assert bool(warning) == bool(said)
        assert (4 if warning else 44) == event.results()[0].held
        event.note(event.teams()[0], held=40)  # once both are here, what is noted later counts
        assert 40 == event.results()[0].held


def test_numbers_stay_when_teams_are_entered_after_a_merge(path: Path, tmp_path: Path):
    begun(path, teams=2)
    other = Path(shutil.copy(path, tmp_path / "tub-2.sqlite"))
    for where, names in ((path, ["Reef"]), (other, ["Tern", "Skua"])):
        with EventFile(where) as event:
            event.add_teams(names)
    with EventFile(path) as event:
        event.merge(other)
        before = [(team.number, team.name) for team in event.teams()]
        assert [(3, "Reef"), (4, "Skua"), (5, "Tern")] == before[2:]
        event.add_teams(["Auk"])
        assert [*before, (6, "Auk")] == [(team.number, team.name) for team in event.teams()]


def test_an_empty_file_is_no_event_and_stays_empty(path: Path):
    path.write_bytes(b"")
    with pytest.raises(UnreadableFile, match="empty"):
        EventFile(path)
    assert b"" == path.read_bytes()


def test_where_there_is_no_room_nothing_is_left_behind(path: Path, tmp_path: Path):
    pytest.importorskip("resource", reason="a limit on the size of files is this system's own")
    begun(path, teams=40)
    code = (
        "import resource, signal, sys; from pathlib import Path; from folder.event.file import EventFile;"
        " from folder.event.rescue import rescue; from folder.event.rules import Rules; from folder.errors import UnwritableFile\n"
        "signal.signal(signal.SIGXFSZ, signal.SIG_IGN); resource.setrlimit(resource.RLIMIT_FSIZE, (20_000, 20_000))\n"
        "for doing in (lambda to: EventFile.new(to, Rules()), lambda to: rescue(Path(sys.argv[1]), to)):\n"
        "    try: doing(Path(sys.argv[2]))\n"
        "    except UnwritableFile: print('said')\n"
    )
    made = subprocess.run([sys.executable, "-c", code, path, tmp_path / "new.sqlite"], cwd=ROOT, capture_output=True, text=True)
    assert "said\nsaid\n" == made.stdout
    assert [path] == list(tmp_path.iterdir())


def test_files_of_two_events_do_not_merge(path: Path, tmp_path: Path):
    begun(path)
    other = begun(tmp_path / "other.sqlite")
    with EventFile(path) as event, pytest.raises(BadRequest, match="another event"):
        event.merge(other)


def test_a_new_event_takes_nobodys_place(path: Path):
    path.write_text("mine")
    with pytest.raises(UnwritableFile, match="cannot be begun"):
        EventFile.new(path, Rules())
    assert "mine" == path.read_text()


@pytest.mark.parametrize(
    ("made", "word"),
    [
        (Path.absolute, "no such event"),
        (lambda p: p.mkdir(), "a directory"),
        (lambda p: p.write_bytes(b"hello"), "damaged"),
        (lambda p: sqlite3.connect(p).executescript("PRAGMA user_version = 0; VACUUM").close(), "never begun"),
        (lambda p: sqlite3.connect(p).executescript("PRAGMA application_id = 7; CREATE TABLE x (y)").close(), "another program"),
        (lambda p: (begun(p, 40), p.write_bytes(p.read_bytes()[:5000])), "damaged"),
    ],
)
def test_what_is_no_event_is_said_in_a_line(path: Path, made, word: str):
    made(path)
    with pytest.raises(UnreadableFile, match=word) as raised:
        EventFile(path)
    assert "\n" not in str(raised.value)


def test_a_file_that_is_locked_is_a_sentence_and_nothing_is_half_noted(path: Path):
    begun(path, teams=1)
    other = sqlite3.connect(path, isolation_level=None)
    with EventFile(path, wait_s=0.05) as event:
        (team,) = event.teams()
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(UnwritableFile, match="Close other programs") as raised:
            event.note(team, held=4)
        assert "\n" not in str(raised.value)
        other.execute("COMMIT")
        event.note(team, held=5)
        assert [5] == [entry.held for entry in event.entries()]
        other.execute("BEGIN EXCLUSIVE")
        with pytest.raises(UnwritableFile, match="locked"):
            event.teams()
    other.close()


def test_a_file_that_may_only_be_read_tells_its_places_and_takes_no_note(path: Path):
    begun(path, teams=1)
    with EventFile(path) as event:
        event._db.execute("PRAGMA query_only = ON")  # what the system says of a file that is not ours to write
        (team,) = event.teams()
        assert 1 == len(event.standings())
        with pytest.raises(UnwritableFile, match="readonly"):
            event.note(team, held=4)
        assert () == event.entries()


@pytest.mark.parametrize("share", [0.35, 0.6, 0.9, 1.0])
def test_of_a_file_cut_short_what_can_be_read_goes_on_as_the_same_event(path: Path, tmp_path: Path, share: float):
    begun(path, teams=40)
    copy = tmp_path / "tub-2.sqlite"
    with EventFile(path) as event:
        shutil.copy(path, copy)
        with event._db:  # one commit for all
            event._db.execute("BEGIN")
            rows = [
                (f"{k:032x}", f"3000-01-01T00:00:00.{k:06}+00:00", "A", team.id, None, 9, 1)
                for k, team in enumerate(event.teams() * 5)
            ]
            event._add("entry", rows)
        noted = {entry.id for entry in event.entries()}
    whole = path.read_bytes()
    path.write_bytes(whole[: int(share * len(whole))])
    saved = tmp_path / "saved.sqlite"
    found = rescue(path, saved)
    assert found.entries >= {0.35: 0, 0.6: 20, 0.9: 100, 1.0: 200}[share]
    with EventFile(saved) as event:
        assert {entry.id for entry in event.entries()} <= noted
        assert (found.teams, found.entries) == (len(event.teams()), len(event.entries()))
        event.merge(copy)
        assert 40 == len(event.teams())
    if share == 1.0:
        assert (40, 200) == found[:2]
    else:
        with pytest.raises(UnreadableFile, match="--rescue"):
            EventFile(path)


@pytest.mark.parametrize("data", [b"", b"hello", b"SQLite format 3\x00" + bytes(80)])
def test_of_what_is_no_event_nothing_is_rescued_and_nothing_begun(path: Path, tmp_path: Path, data: bytes):
    path.write_bytes(data)
    with pytest.raises(UnreadableFile, match="nothing of this event"):
        rescue(path, tmp_path / "saved.sqlite")
    assert not (tmp_path / "saved.sqlite").exists()


def test_places_of_500_teams_and_5000_entries_are_those_of_a_plain_count(path: Path):
    begun(path, teams=500)
    dice, held = random.Random(3), {}
    with EventFile(path) as event:
        teams = event.teams()
        with event._db:  # one commit for all: a day's worth in a moment
            event._db.execute("BEGIN")
            rows = []
            for i in range(5000):
                team = dice.choice(teams)
                held[team.number] = dice.randrange(100)
                rows.append((f"{i:032x}", f"3000-01-01T00:00:00.{i:06}+00:00", "A", team.id, None, held[team.number], 1))
            event._add("entry", rows)
        places = {s.result.team.number: s.place for s in event.standings() if s.place}
    assert {n: 1 + sum(other > count for other in held.values()) for n, count in held.items()} == places
