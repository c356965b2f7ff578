"""The trial log: nothing confirmed is lost, nothing is overwritten."""

from __future__ import annotations

import shutil
import signal
import sqlite3
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from msgspec.structs import replace

from folder.database import DamagedDatabase
from folder.errors import BadRequest, UnreadableFile, UnwritableFile
from folder.practice import log
from folder.practice import log as log_module
from folder.practice.log import TrialLog, default_path, read_history, read_trials
from folder.practice.trial import Trial

CENTS = Trial("2025-03-14", "Plain tray", "us-cent", 2.5, 40, guess=38, brim_g=242.5, note="corner caved in;\n2nd try")
WASHERS = Trial(
    "2025-03-15", "Größe 2", "washer-m8", 1.83, 31, None, 200.0, 150.0, 24.0, sheets_used=2, hand="hurried", design="0123456789abcdef",
    pupil="Ada", happened="it tipped",
)  # fmt: skip


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "club" / "trials.sqlite"


@pytest.fixture
def quick_path(tmp_path: Path) -> Iterator[Path]:
    """In memory where the system has such a place: hundreds of confirmed writes wait for whatever else the disk does."""
    memory = Path("/dev/shm")
    with tempfile.TemporaryDirectory(dir=memory if memory.is_dir() else tmp_path) as directory:
        yield Path(directory) / "trials.sqlite"


def test_what_is_noted_reads_back_as_it_was(path: Path) -> None:
    with TrialLog(path) as log:
        assert (1, 2) == (log.add(CENTS), log.add(WASHERS))
        assert {1: CENTS, 2: WASHERS} == log.numbered()
        assert "" == log.notice
    assert (CENTS, WASHERS) == read_trials(path)


def test_the_log_is_kept_among_the_users_data(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("FOLDER_DATA", str(tmp_path / "own"))
    with TrialLog() as log:
        log.add(CENTS)
    assert tmp_path / "own" / "trials.sqlite" == default_path()
    assert (CENTS,) == read_trials()


def test_looking_at_a_log_that_is_not_there_finds_nothing_and_makes_nothing(path: Path) -> None:
    assert () == read_trials(path)
    assert not path.parent.exists()


def test_a_mistyped_trial_is_struck_out_and_its_number_not_used_again(path: Path) -> None:
    with TrialLog(path) as log:
        log.add(CENTS)
        mistyped = log.add(replace(CENTS, count=400))
        assert 400 == log.remove(mistyped).count
        assert {1: CENTS} == log.numbered()
        assert 3 == log.add(WASHERS)
        with pytest.raises(BadRequest, match="struck out already"):
            log.remove(mistyped)
        for change in (log.remove, log.edit):
            with pytest.raises(BadRequest, match="no trial of that number"):
                change(77)
    assert (CENTS, WASHERS) == read_trials(path)


def test_a_correction_takes_the_place_of_the_trial_and_a_later_one_undoes_it(path: Path) -> None:
    with TrialLog(path) as log:
        number = log.add(CENTS)
        log.add(WASHERS)
        assert replace(CENTS, count=41, note="") == log.edit(number, count=41, note="")
        assert {1: replace(CENTS, count=41, note=""), 2: WASHERS} == log.numbered()
        log.edit(number, count=CENTS.count, note=CENTS.note)
        assert {1: CENTS, 2: WASHERS} == log.numbered()
        with pytest.raises(BadRequest, match="count: "):
            log.edit(number, count=-1)
        assert {1: CENTS, 2: WASHERS} == log.numbered()


def test_a_struck_trial_is_brought_back_by_an_edit(path: Path) -> None:
    with TrialLog(path) as log:
        number = log.add(CENTS)
        log.remove(number)
        assert () == log.trials()
        assert CENTS == log.edit(number)
        assert (CENTS,) == log.trials()


def test_nothing_that_was_ever_noted_is_lost(path: Path) -> None:
    """Adding, correcting, striking out, bringing back: five entries, all still there, and the file's rows only grow."""
    with TrialLog(path) as log:
        number = log.add(CENTS)
        log.edit(number, count=41)
        log.remove(number)
        log.edit(number, count=42)
        log.add(WASHERS)
    history = read_history(path)
    assert [(40, False), (41, False), (41, True), (42, False)] == [(e.trial.count, e.struck) for e in history[number]]
    assert ["", True, True, True] == [bool(e.noted_at) or "" for e in history[number]]
    assert [WASHERS] == [entry.trial for entry in history[2]]
    raw = sqlite3.connect(path)
    assert [(2,), (3,)] == [raw.execute(f"SELECT count(*) FROM {table}").fetchone() for table in ("trial", "later")]
    raw.close()


VERSION_1 = f"""
CREATE TABLE trial (
    number INTEGER PRIMARY KEY AUTOINCREMENT,
    date TEXT NOT NULL, pattern TEXT NOT NULL, item TEXT NOT NULL,
    mass_each_g REAL NOT NULL, count INTEGER NOT NULL, guess INTEGER,
    sheet_width_mm REAL NOT NULL, sheet_height_mm REAL NOT NULL, thickness_um REAL NOT NULL,
    sheets_used INTEGER NOT NULL, hand TEXT NOT NULL, brim_g REAL, note TEXT NOT NULL
) STRICT;
INSERT INTO trial VALUES (3, '2025-03-14', 'Plain tray', 'us-cent', 2.5, 40, 38, 150, 150, 16, 1, 'usual', 242.5, 'hello');
PRAGMA application_id = {log.LOG.application_id};
PRAGMA user_version = 1;
"""


@pytest.mark.parametrize("look", [False, True])
def test_a_log_of_the_first_version_is_brought_up_to_date_with_all_that_is_in_it(path: Path, look: bool) -> None:
    path.parent.mkdir()
    old = sqlite3.connect(path)
    old.executescript(VERSION_1)
    old.close()
    expected = replace(CENTS, note="hello")
    if look:
        assert (expected,) == read_trials(path)
    with TrialLog(path) as log:
        assert {3: expected} == log.numbered()
        assert expected.design == ""
        assert 4 == log.add(WASHERS)
        log.edit(3, pupil="Kim", happened="a corner leaked")
    assert (replace(expected, pupil="Kim", happened="a corner leaked"), WASHERS) == read_trials(path)


def test_the_log_is_one_file_and_a_copy_of_it_while_it_is_open_holds_everything_confirmed(path: Path) -> None:
    with TrialLog(path) as log:
        log.add(CENTS)
        assert [path] == list(path.parent.iterdir())
        shutil.copy(path, path.with_name("copy.sqlite"))
        log.add(WASHERS)
    assert (CENTS,) == read_trials(path.with_name("copy.sqlite"))


def test_many_trials_are_noted_all_or_none(path: Path) -> None:
    def some_then_trouble() -> Iterator[Trial]:
        yield CENTS
        raise RuntimeError("the coach pulls the plug")

    with TrialLog(path) as log:
        with pytest.raises(RuntimeError):
            log.add_all(some_then_trouble())
        assert () == log.trials()
        assert 0 == log.add_all([])
        assert 2 == log.add_all([CENTS, WASHERS])
    assert (CENTS, WASHERS) == read_trials(path)


WRITER = """
import sys
import tempfile
from pathlib import Path
from folder.practice.log import TrialLog
from folder.practice.trial import Trial

with TrialLog(Path(sys.argv[1])) as log:
    for count in range(int(sys.argv[2])):
        log.add(Trial("2025-03-14", sys.argv[3], "us-cent", 2.5, count))
        print(count, flush=True)
"""


def writer(path: Path, count: int, pattern: str) -> subprocess.Popen[str]:
    command = [sys.executable, "-c", WRITER, str(path), str(count), pattern]
    return subprocess.Popen(command, stdout=subprocess.PIPE, text=True)


@pytest.mark.skipif(sys.platform == "win32", reason="there is no kill -9 there")
@pytest.mark.parametrize("after", [1, 60, 140, 200])
def test_a_writer_killed_at_any_moment_loses_at_most_the_trial_not_yet_confirmed(quick_path: Path, after: int) -> None:
    with writer(quick_path, 100_000, "tray") as process:
        assert process.stdout
        for _ in range(after):
            process.stdout.readline()
        process.kill()
        confirmed = after + len(process.stdout.read().splitlines())
    assert -signal.SIGKILL == process.returncode, "it must not have finished"
    with TrialLog(quick_path) as log:
        assert "" == log.notice
        counts = [trial.count for trial in log.trials()]
        assert counts == list(range(len(counts)))
        assert len(counts) in (confirmed, confirmed + 1)
        assert len(counts) + 1 == log.add(CENTS)


def test_two_programs_adding_500_each_end_with_1000(quick_path: Path) -> None:
    with writer(quick_path, 500, "left") as left, writer(quick_path, 500, "right") as right:
        left.communicate(timeout=120)
        right.communicate(timeout=120)
    assert (0, 0) == (left.returncode, right.returncode)
    trials = read_trials(quick_path)
    assert 1000 == len(trials)
    for pattern in ("left", "right"):
        assert list(range(500)) == [trial.count for trial in trials if trial.pattern == pattern]


def filled(path: Path) -> bytes:
    with TrialLog(path) as log:
        log.add_all([CENTS] * 500)
    return path.read_bytes()


def overwrite(path: Path, data: bytes) -> bytes:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(data)
    return data


DAMAGE = {
    "another text": lambda _: b"shopping list\n" * 100,
    "one letter": lambda _: b"x",
    "cut short": lambda whole: whole[: len(whole) // 2],
    "a hole in the middle": lambda whole: whole[:6000] + bytes(8000) + whole[14000:],
    "no head": lambda whole: bytes(4096) + whole[4096:],
}


@pytest.mark.parametrize("how", DAMAGE)
def test_a_damaged_log_is_kept_aside_and_reported_and_a_new_one_begun(path: Path, how: str) -> None:
    damaged = overwrite(path, DAMAGE[how](filled(path)))
    with TrialLog(path) as log:
        [aside] = [other for other in path.parent.iterdir() if other != path]
        assert aside.name in log.notice
        assert "damaged" in log.notice
        assert 1 == log.add(CENTS)
    assert damaged == aside.read_bytes()
    assert (CENTS,) == read_trials(path)


def test_a_second_damaged_log_does_not_take_the_place_of_the_first(path: Path) -> None:
    for text in (b"first", b"second"):
        overwrite(path, text)
        TrialLog(path).close()
    kept = [other.read_bytes() for other in path.parent.iterdir() if other != path]
    assert [b"first", b"second"] == sorted(kept)


def test_looking_at_a_damaged_log_says_so_and_leaves_it_alone(path: Path) -> None:
    overwrite(path, b"shopping list")
    with pytest.raises(DamagedDatabase, match=r"trials\.sqlite: the trial log is damaged"):
        read_trials(path)
    assert b"shopping list" == path.read_bytes()
    assert [path] == list(path.parent.iterdir())


def test_a_journal_of_the_damaged_log_goes_with_it(path: Path) -> None:
    """Left behind, SQLite would play it into the new log."""
    overwrite(path, b"shopping list" * 100)
    overwrite(path.with_name("trials.sqlite-journal"), b"its journal")
    with TrialLog(path) as log:
        log.add(CENTS)
    assert {b"shopping list" * 100, b"its journal"} == {other.read_bytes() for other in path.parent.iterdir() if other != path}


def test_a_file_that_is_not_even_named_like_a_log_is_refused_and_left_alone(tmp_path: Path) -> None:
    note = tmp_path / "homework.txt"
    overwrite(note, b"my homework")
    with pytest.raises(UnreadableFile, match=r"homework\.txt"):
        TrialLog(note)
    assert b"my homework" == note.read_bytes()


def test_another_programs_database_is_refused_and_left_alone(path: Path) -> None:
    path.parent.mkdir()
    other = sqlite3.connect(path)
    other.execute("CREATE TABLE recipe (name TEXT)")
    other.commit()
    other.close()
    before = path.read_bytes()
    for look in (TrialLog, read_trials):
        with pytest.raises(UnreadableFile, match="another program's database"):
            look(path)
    assert before == path.read_bytes()


def test_a_log_of_a_newer_program_is_refused_and_left_alone(path: Path) -> None:
    filled(path)
    newer = sqlite3.connect(path)
    newer.execute(f"PRAGMA user_version = {log.LOG.version + 1}")
    newer.close()
    before = path.read_bytes()
    with pytest.raises(UnreadableFile, match="newer program"):
        TrialLog(path)
    assert before == path.read_bytes()


def test_a_row_that_is_no_trial_is_named(path: Path) -> None:
    filled(path)
    other = sqlite3.connect(path)
    other.execute("UPDATE trial SET mass_each_g = -1 WHERE number = 7")
    other.commit()
    other.close()
    with pytest.raises(UnreadableFile, match="trial 7, mass_each_g"):
        read_trials(path)


def test_a_log_that_another_program_holds_fast_is_reported_not_damaged(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    filled(path)
    monkeypatch.setattr(log_module, "WAIT_S", 0.01)
    other = sqlite3.connect(path, isolation_level=None)
    other.execute("BEGIN EXCLUSIVE")
    try:
        with pytest.raises(UnwritableFile, match="Close other programs"):
            TrialLog(path)
    finally:
        other.close()
    assert 500 == len(read_trials(path))


def test_a_place_where_nothing_can_be_written_is_named(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    with pytest.raises(UnwritableFile, match="file"):
        TrialLog(tmp_path / "file" / "trials.sqlite")
    with pytest.raises(UnwritableFile, match=tmp_path.name):
        TrialLog(tmp_path)
