"""The command line at its edges: damaged and locked files, names that are no names, faults of the program itself."""

from __future__ import annotations

import io
import json
import os
import random
import sqlite3
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from folder.cargo.item_list import items, own_file
from folder.cli import main, progress_line
from folder.cli.verbs import check
from folder.errors import BadRequest, FolderError, UnreadableFile, one_line
from folder.fault import KEPT, report_fault
from folder.pattern.file import parse_pattern, pattern_bytes
from folder.places import PATTERNS, user_data
from folder.practice import log as log_module
from folder.practice.log import TrialLog, default_path, read_trials
from folder.practice.trial import Trial
from tests.test_cli import Cli

CLEAR = "\x1b[2J\x07\x9b31m"
"""What a terminal would obey: clear the screen, ring, turn red."""


def process(*argv: str | bytes, **options: object) -> subprocess.CompletedProcess[bytes]:
    """The command as a process of its own, as a terminal runs it."""
    return subprocess.run([sys.executable, "-m", "folder", *argv], capture_output=True, check=False, **options)  # type: ignore[call-overload, no-any-return]


def noted(count: int = 50) -> Path:
    """A log with one trial."""
    with TrialLog() as log:
        log.add(Trial("2025-03-14", "Plain tray", "us-cent", 2.5, count, brim_g=248.6))
    return default_path()


def one_line_said(err: str, *words: str) -> None:
    assert 1 == err.count("\n"), err
    assert err.startswith("folder: ")
    assert all(word in err for word in words), err


# The log does not take the check down.


def damaged(path: Path) -> None:
    path.write_bytes(b"this is no log" * 100)


def damaged_within(path: Path) -> None:
    data = bytearray(path.read_bytes())
    data[4096:] = os.urandom(len(data) - 4096)
    path.write_bytes(bytes(data))


def not_text_in_the_schema(path: Path) -> None:
    data = path.read_bytes()
    assert b"CREATE TABLE trial" in data
    path.write_bytes(data.replace(b"CREATE TABLE trial", b"CREATE TABLE \xff\xfe\xfdal"))


def not_text_in_a_trial(path: Path) -> None:
    data = path.read_bytes()
    path.write_bytes(data.replace(b"Plain tray", b"Pl\xff\xfe\xfd tray"))


def a_directory(path: Path) -> None:
    path.unlink()
    path.mkdir()


def of_another_program(path: Path) -> None:
    path.unlink()
    db = sqlite3.connect(path)
    db.execute("CREATE TABLE recipe (name TEXT)")
    db.close()


def of_a_newer_program(path: Path) -> None:
    db = sqlite3.connect(path)
    db.execute("PRAGMA user_version = 99")
    db.close()


BROKEN_LOGS = [
    damaged, damaged_within, not_text_in_the_schema, not_text_in_a_trial, a_directory, of_another_program, of_a_newer_program,
]  # fmt: skip


@pytest.mark.parametrize("broken", BROKEN_LOGS, ids=lambda broken: broken.__name__)
def test_a_broken_log_is_said_in_a_line_and_the_check_goes_on_without_trials(broken: Callable[[Path], None], cli: Cli) -> None:
    path = noted()
    broken(path)
    before = path.read_bytes() if path.is_file() else None
    code, out, err = cli("check", "plain-tray")
    assert 0 == code
    assert out.startswith("Plain tray")
    one_line_said(err, str(path), "Going on without trials.")
    assert before == (path.read_bytes() if path.is_file() else None)


@contextmanager
def held(path: Path, *writing: str) -> Iterator[None]:
    """A log that another process holds, and does not let go of; with a command, in the midst of writing."""
    hold = """
import sqlite3, sys
db = sqlite3.connect(sys.argv[1], isolation_level=None)
for command in ("BEGIN EXCLUSIVE", *sys.argv[2:]):
    db.execute(command)
print("held", flush=True)
sys.stdin.read()
"""
    command = [sys.executable, "-c", hold, path, *writing]
    with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE) as holder:
        assert holder.stdout is not None
        assert holder.stdout.readline() == b"held\n"
        yield
        holder.kill()


STRIKE = "UPDATE trial SET count = 1"


def test_a_log_that_another_program_holds_is_read_all_the_same(cli: Cli, monkeypatch: pytest.MonkeyPatch) -> None:
    """Reading waits for nobody who is not writing. A trial is not noted, which is said in a line, and nothing is lost."""
    path = noted()
    free = cli("check", "plain-tray"), cli("trial", "list")
    monkeypatch.setattr(log_module, "WAIT_S", 0.05)
    with held(path):
        began = time.monotonic()
        assert free == (cli("check", "plain-tray"), cli("trial", "list"))
        assert 3.0 > time.monotonic() - began
        code, _, err = cli("trial", "add", "--pattern", "plain-tray", "--item", "us-cent", "--count", "5")
    assert 2 == code
    one_line_said(err, str(path), "locked", "Close other programs")
    assert [50] == [trial.count for trial in read_trials()]


def test_a_log_that_is_being_written_holds_the_check_up_by_less_than_a_second(cli: Cli) -> None:
    path = noted()
    cli("check", "plain-tray", "--json")
    with held(path, STRIKE):
        began = time.monotonic()
        code, out, err = cli("check", "plain-tray")
        assert 1.0 > time.monotonic() - began
        assert 0 == code
        assert out.startswith("Plain tray")
        one_line_said(err, str(path), "locked", "Going on without trials.")
        code, _, err = cli("trial", "list")
        assert 3.0 > time.monotonic() - began
    assert 2 == code
    one_line_said(err, str(path), "locked")
    assert [50] == [trial.count for trial in read_trials()]  # the other was killed: what it had begun is taken back


@pytest.mark.skipif(sys.platform == "win32", reason="no limit of the size of files there")
def test_a_log_that_finds_no_room_on_the_disk_leaves_no_file(tmp_path: Path) -> None:
    """At whatever size the room ends: the log is whole or not there, and what is said is a line."""
    path = tmp_path / "trials.sqlite"
    note = """
import resource, sys
from folder.cli import main
code = main(["trial", "list"])
resource.setrlimit(resource.RLIMIT_FSIZE, (int(sys.argv[1]),) * 2)
sys.exit(main(["trial", "add", "--log", sys.argv[2], "--pattern", "plain-tray", "--item", "us-cent", "--count", "5"]))
"""
    for room in (0, 4096, 100_000):
        done = subprocess.run([sys.executable, "-c", note, f"{room}", path], capture_output=True, text=True, check=False)
        if room < 100_000:
            assert 2 == done.returncode
            one_line_said(done.stderr, str(path))
            assert [] == list(tmp_path.glob("trials*"))
    assert [5] == [trial.count for trial in read_trials(path)]


@pytest.mark.parametrize("broken", [damaged, a_directory], ids=lambda broken: broken.__name__)
def test_machines_get_the_same_json_without_trials(broken: Callable[[Path], None], cli: Cli) -> None:
    _, without, _ = cli("check", "plain-tray", "--json")
    broken(noted())
    code, out, _ = cli("check", "plain-tray", "--json")
    assert (0, json.loads(without)) == (code, json.loads(out))


# A broken list of objects of one's own.

BROKEN_LISTS = {
    "no JSON": b"no list",
    "bytes that are no text": b'{"format": "foil-objects", "version": 1, "objects": [{"name": "\xff\xfe"}]}',
    "empty": b"",
    "an object that is not possible": b'{"format": "foil-objects", "version": 1, "objects": [{"name": "x"}]}',
}


@pytest.mark.parametrize("data", [*BROKEN_LISTS.values(), None], ids=[*BROKEN_LISTS, "a directory"])
def test_a_broken_list_of_objects_is_said_and_the_shipped_ones_are_taken(data: bytes | None, cli: Cli) -> None:
    shipped = items()
    own_file().parent.mkdir(parents=True)
    if data is None:
        own_file().mkdir()
    else:
        own_file().write_bytes(data)
    assert shipped == items()
    code, out, err = cli("cargo", "plain-tray", "--item", "us-cent", "--count", "2")
    assert 0 == code
    assert out.startswith("Plain tray with")
    one_line_said(err, str(own_file()), "Going on with the shipped objects.")
    assert data is None or data == own_file().read_bytes()


# Names and bytes that are no text.


@pytest.mark.parametrize("verb", ["check", "water", "cargo", "print", "draw"])
@pytest.mark.parametrize("name", ["x" * 300, "x" * 300 + ".json", "é" * 200], ids=["300", "300.json", "400 bytes"])
def test_a_name_too_long_for_the_disk_gets_one_line(verb: str, name: str, cli: Cli) -> None:
    more = {"water": ["--mass", "5"], "cargo": ["--item", "us-cent"]}.get(verb, [])
    code, out, err = cli(verb, name, *more)
    assert (2, "") == (code, out)
    one_line_said(err)
    assert len(err) < 1500


@pytest.mark.parametrize("argv", [("make", "square-tray", "--to"), ("print", "plain-tray", "--to"), ("drill", "--to")])
def test_a_file_or_directory_of_such_a_name_cannot_be_written(argv: tuple[str, ...], cli: Cli, tmp_path: Path) -> None:
    code, out, err = cli(*argv, str(tmp_path / ("x" * 300)))
    assert (2, "") == (code, out)
    one_line_said(err, "cannot be")


def test_a_trial_of_a_pattern_with_such_a_name_is_refused_in_a_line(cli: Cli) -> None:
    code, _, err = cli("trial", "add", "--pattern", "x" * 300, "--item", "us-cent", "--count", "5")
    assert 2 == code
    one_line_said(err, "pattern")


PIECES = (b"\xff", b"\xc3(", b"\xed\xa0\x80", b"\\ud800", b"\x00", b"\x1b[2J", b'"', b"{", b"1e999", b"\xf4\x90\x80\x80")
"""Bytes that are no UTF-8 text, a lone half of a pair, a nought, and a few that JSON minds."""


def test_bytes_that_are_no_text_anywhere_in_a_file_give_a_pattern_or_one_line() -> None:
    whole = (PATTERNS / "plain-tray.json").read_bytes()
    draw = random.Random(5)
    refused = []
    for _ in range(600):
        at, piece = draw.randrange(len(whole)), draw.choice(PIECES)
        damaged_bytes = whole[:at] + piece + whole[at + draw.randrange(4) :]
        try:
            pattern = parse_pattern(damaged_bytes, "x.json")
        except UnreadableFile as error:
            refused.append(str(error))
        else:
            assert pattern == parse_pattern(pattern_bytes(pattern))
    assert 400 < len(refused)
    assert all(line.isprintable() and 1000 > len(line) for line in refused)


def test_a_pattern_file_of_no_text_gets_one_line(cli: Cli, tmp_path: Path) -> None:
    path = tmp_path / "bad.json"
    path.write_bytes(b'{"format": "foil-pattern", "version": 1, "name": "\xff\xfe", "floor_at": ["x", 1]}')
    code, out, err = cli("check", str(path))
    assert (2, "") == (code, out)
    one_line_said(err, str(path))


@pytest.mark.skipif(sys.platform == "win32", reason="names are bytes on other systems")
def test_a_name_that_is_no_text_gets_one_line() -> None:
    done = process("check", b"\xff\xfe.json")
    assert (2, b"", 1) == (done.returncode, done.stdout, done.stderr.count(b"\n"))
    assert b"Traceback" not in done.stderr


# Nothing is echoed raw.


@pytest.mark.parametrize(
    "argv",
    [
        (f"x{CLEAR}",),
        ("check", f"x{CLEAR}.json"),
        ("check", "plain-tray", "--hand", CLEAR),
        ("water", "plain-tray", "--mass", CLEAR),
        ("water", "plain-tray", "--mass", "5", "--at", CLEAR),
        ("cargo", "plain-tray", "--item", CLEAR),
        ("cargo", "plain-tray", "--item", "us-cent", "--each", CLEAR),
        ("make", CLEAR),
        ("make", "square-tray", f"--{CLEAR}", "3"),
        ("make", "square-tray", "--tuck", CLEAR),
        ("make", "square-tray", "--to", f"/nowhere{CLEAR}/x.json"),
        ("print", "plain-tray", "--what", CLEAR),
        ("print", "plain-tray", "--paper", CLEAR),
        ("count", "--holds", CLEAR, "--each", "2"),
        ("improve", CLEAR),
        ("improve", "square-tray", "--keep", CLEAR),
        ("improve", "square-tray", "--keep", f"{CLEAR}=3"),
        ("compare", CLEAR, "plain-tray"),
        ("drill", "--grade", CLEAR),
        ("drill", "--colour", CLEAR),
        ("trial", CLEAR),
        ("trial", "add", "--pattern", CLEAR, "--item", "us-cent", "--count", "5"),
        ("trial", "import", f"{CLEAR}.csv"),
        ("trial", "list", "--log", f"/nowhere{CLEAR}/{CLEAR}"),
        ("demo", "--paper", CLEAR),
    ],
    ids=lambda argv: " ".join(argv).replace(CLEAR, "!")[:60],
)
def test_what_a_terminal_would_obey_is_never_echoed(argv: tuple[str, ...], cli: Cli) -> None:
    for text in (CLEAR, f"{CLEAR}{'long' * 5000}"):
        code, out, err = cli(*(word.replace(CLEAR, text) for word in argv))
        assert code in ((2,) if argv[:2] != ("trial", "list") else (0, 2))
        assert all(c == "\n" or c.isprintable() for c in out + err)
        assert 1600 > len(out + err)
        assert 1 >= err.count("\n")


def test_a_path_that_is_written_is_told_without_what_a_terminal_would_obey(cli: Cli, tmp_path: Path) -> None:
    target = tmp_path / "a\x1b[2Jb.json"
    code, out, _ = cli("make", "square-tray", "--to", str(target))
    assert (0, True) == (code, target.exists())
    assert "\x1b" not in out


def test_one_line_keeps_the_ends_of_what_is_too_long() -> None:
    assert "a b" == one_line("a\n\x1b\tb", 20)
    assert "aaaaaaa ... bbbbbbb" == one_line("a" * 50 + "b" * 50, 20)


# A fault of the program itself.


def broken_study(*_: object, **__: object) -> None:
    raise ZeroDivisionError("a\nfault")


def test_a_fault_of_the_program_ends_in_one_line_and_exit_3_with_the_details_in_a_file(
    cli: Cli, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("folder.cli.verbs.water.study", broken_study)
    code, out, err = cli("water", "plain-tray", "--mass", "5")
    assert (3, "") == (code, out)
    one_line_said(err, "fault of the program", "ZeroDivisionError")
    [details] = (user_data() / "faults").iterdir()
    assert str(details) in err
    text = details.read_text("utf-8")
    assert "folder water plain-tray --mass 5" in text
    assert "in broken_study" in text


def test_a_fault_over_one_pattern_does_not_keep_the_others_from_being_checked(cli: Cli, monkeypatch: pytest.MonkeyPatch) -> None:
    sound = check.study
    monkeypatch.setattr(check, "study", lambda p, **o: broken_study() if p.name == "Leaning tray" else sound(p, **o))
    code, out, err = cli("check", "leaning-tray", "plain-tray")
    assert 3 == code
    assert out.startswith("Plain tray")
    one_line_said(err, "ZeroDivisionError")


def test_stopping_a_command_is_no_fault(cli: Cli, monkeypatch: pytest.MonkeyPatch) -> None:
    def stopped(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("folder.cli.verbs.water.study", stopped)
    assert (130, "", "") == cli("water", "plain-tray", "--mass", "5")
    assert not (user_data() / "faults").exists()


def test_where_no_file_can_be_written_the_sentence_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("folder.fault._write", lambda *_: (_ for _ in ()).throw(OSError("full")))
    assert "No file could be written" in report_fault(ValueError("x"), "test")


def test_only_the_newest_faults_are_kept() -> None:
    for number in range(KEPT + 5):
        report_fault(ValueError(str(number)), "test")
    kept = sorted((user_data() / "faults").iterdir())
    assert KEPT == len(kept)
    assert f"ValueError: {KEPT + 4}" in kept[-1].read_text("utf-8")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="a disk that is always full")
def test_a_full_disk_is_said_in_one_line() -> None:
    with open("/dev/full", "w") as full:
        argv = [sys.executable, "-m", "folder", "count", "--holds", "96", "--each", "12"]
        done = subprocess.run(argv, stdout=full, stderr=subprocess.PIPE, check=False)
    assert (2, 1) == (done.returncode, done.stderr.count(b"\n"))
    assert b"No space" in done.stderr


def test_a_log_is_still_read_where_a_trial_is_to_be_kept(cli: Cli) -> None:
    """The log itself is asked for here: that it is damaged is an error, not a note."""
    damaged(noted())
    code, _, err = cli("trial", "list")
    assert 2 == code
    one_line_said(err, "damaged")
    with pytest.raises(FolderError):
        read_trials()


def test_an_error_is_cleaned_wherever_it_is_made() -> None:
    error = BadRequest(CLEAR, where=CLEAR, found=CLEAR * 100, remedy=CLEAR)
    assert all(part.isprintable() for part in (error.what, error.where, error.found, error.remedy, str(error)))
    assert 120 >= len(error.found)


# Work that takes long.


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def test_long_work_is_told_on_a_terminal_and_the_line_is_gone_before_the_answer(monkeypatch: pytest.MonkeyPatch) -> None:
    screen, sound = Terminal(), check.study
    monkeypatch.setattr(sys, "stderr", screen)
    monkeypatch.setattr(sys, "stdout", screen)
    monkeypatch.setattr(progress_line, "AFTER_S", 0.02)
    monkeypatch.setattr(progress_line, "EVERY_S", 0.02)
    monkeypatch.setattr(check, "study", lambda *a, **o: time.sleep(0.2) or sound(*a, **o))
    assert 0 == main(["check", "plain-tray"])
    line, _, answer = screen.getvalue().partition("Plain tray")
    assert "folder: working, 0 s ..." in line
    assert line.endswith("\r")
    assert " " * len("folder: working, 0 s ... (Ctrl+C stops it)") == line.rstrip("\r").split("\r")[-1]
    assert "working" not in answer


def test_where_nobody_looks_nothing_is_told(cli: Cli, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(progress_line, "AFTER_S", 0.001)
    code, _, err = cli("check", "plain-tray")
    assert (0, "") == (code, err)


def test_where_errors_cannot_be_told_they_are_not_told_among_the_output(cli: Cli, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sys.stderr", None)
    assert (2, "", "") == cli("water", "no-such-hull", "--mass", "9")
