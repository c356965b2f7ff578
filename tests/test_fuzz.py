"""Bytes that went wrong: files of every kind with letters changed, lost, doubled or swapped, and command lines at random.

Each ends in an answer or in one error of ours; nothing else is raised, and what is called a hull closes for a second folding program.
A small fixed budget in the suite, the larger one with --whole.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path

import numpy as np
import shapely
from msgspec.structs import replace

from folder.cargo.item_list import read_items
from folder.errors import FolderError
from folder.event.file import EventFile
from folder.event.rules import Rules
from folder.pattern.file import parse_pattern, pattern_bytes, ready_patterns
from folder.pattern.pattern import Pattern
from folder.places import ASSETS
from folder.practice.exchange import format_csv, parse_csv
from folder.practice.trial import Trial
from folder.studies import study
from folder.units import TOLERANCES
from folder.verdict import verdict_of
from tests.second_fold import SecondFold

WORDS = (b"null", b"-1", b"1e400", b"NaN", b'""', b"[]", b"{}", b"0", b"150.0000001", b"\xff", b"\x00", b"true", b"\xe2\x80\xae")

GRIDS_MM = (1e-3, 1e-4, 1e-2)
"""What the second folding program rounds to: an end that lies on the border between two squares of one grid does not in another."""


def spoiled(data: bytes, random: np.random.Generator) -> bytes:
    """The bytes with one to four things gone wrong."""
    for _ in range(int(random.integers(1, 5))):
        at, end = sorted(int(k) for k in random.integers(0, len(data) + 1, 2))
        end = min(end, at + int(random.integers(1, 40)))
        change = int(random.integers(0, 6))
        if change == 0:
            data = data[:at] + bytes(random.integers(0, 256, end - at).astype(np.uint8)) + data[end:]
        elif change == 1:
            data = data[:at] + data[end:]
        elif change == 2:
            data = data[:end] + data[at:]
        elif change == 3:
            data = data[:at] + WORDS[int(random.integers(len(WORDS)))] + data[at:]
        elif change == 4:
            numbers = [k for k, byte in enumerate(data) if 48 <= byte < 58]
            if numbers:
                k = numbers[int(random.integers(len(numbers)))]
                data = data[:k] + bytes([48 + int(random.integers(10))]) + data[k + 1 :]
        else:
            data = data[:at]
    return data


def answered(read: Callable[[bytes], object], data: bytes) -> object | None:
    """What was read, or None where it was refused by an error of ours in one line."""
    try:
        return read(data)
    except FolderError as refusal:
        said = str(refusal)
    assert "\n" not in said
    return None


def through_a_file(read: Callable[[Path], object], path: Path, data: bytes) -> object:
    path.write_bytes(data)
    return read(path)


def is_exact(pattern: Pattern) -> bool:
    """Every end lies on a line or well off it: what a hand meant by ends a hair off, the second folding program does not know."""
    lines = shapely.linestrings([(c.start, c.end) for c in pattern.creases])
    ends = shapely.points([end for c in pattern.creases for end in (c.start, c.end)])
    off = shapely.distance(ends[:, None], lines[None])
    return not ((off > 2e-3) & (off < TOLERANCES.take_up_mm)).any()


def test_a_spoiled_pattern_is_refused_or_studied_and_no_false_hull_comes_of_it(many):
    random = np.random.default_rng(1)
    shelf = [pattern_bytes(replace(parse_pattern(path.read_bytes()), family=None)) for path in ready_patterns().values()]
    shelf += [path.read_bytes() for path in ready_patterns().values()]
    hulls = 0
    for _ in range(many(120, 20_000)):
        pattern = answered(parse_pattern, spoiled(shelf[int(random.integers(len(shelf)))], random))
        if pattern is None:
            continue
        made = study(pattern)
        is_told = verdict_of(made).code == "hull" and not made.faces.free.any() and not made.report.having("two-senses")
        if is_told and is_exact(pattern):
            assert any(SecondFold(pattern, grid_mm=grid).gap_mm <= 2.0 * TOLERANCES.take_up_mm for grid in GRIDS_MM)
            hulls += 1
    assert hulls > 0


def test_a_spoiled_table_of_trials_is_read_or_refused(many):
    random = np.random.default_rng(2)
    trials = [Trial("2025-03-14", f"Hull {k}", "us-cent", 2.5, 40 + k, guess=50, brim_g=248.6) for k in range(12)]
    for comma in (False, True):
        data = format_csv(trials, decimal_comma=comma)
        for _ in range(many(150, 20_000)):
            answered(partial(parse_csv, where="a table"), spoiled(data, random))


def test_a_spoiled_list_of_objects_is_read_or_refused(tmp_path, many):
    random = np.random.default_rng(3)
    data = (ASSETS / "objects.json").read_bytes()[:3000]
    for _ in range(many(100, 10_000)):
        answered(partial(through_a_file, read_items, tmp_path / "objects.json"), spoiled(data, random))


def test_a_spoiled_event_is_opened_or_refused_and_what_can_be_read_is_ranked(tmp_path, many):
    random = np.random.default_rng(4)
    with EventFile.new(tmp_path / "good.event", Rules(name="Pond day")) as event:
        event.add_teams([f"Team {k}" for k in range(30)])
        for team in event.teams():
            event.note(team, "north", guess=50, held=40 + team.number, sheets=1)
    data = (tmp_path / "good.event").read_bytes()

    def opened(path: Path) -> object:
        with EventFile(path) as event:
            return event.standings()

    for k in range(many(60, 3_000)):
        path = tmp_path / f"{k}.event"
        answered(partial(through_a_file, opened, path), spoiled(data, random))
        path.unlink(missing_ok=True)


VERBS = ("check", "water", "cargo", "count", "compare", "make", "mend", "drill", "trial", "objects", "event")
SAID = (
    "plain-tray", "--json", "--item", "us-cent", "--mass", "100", "--each", "2.5", "--holds", "-1", "0", "1e9", "nan", "--count", "7",
    "--at", "1,2", "--grade", "4", "--seed", "x", "list", "add", "rank", "team", "--wall", "25", "square-tray", "", "--", "-x", "ö",
    "--hand", "hurried", "--event", "nothing.json", "--times", "summary", "note", "leaning-tray", "--turn", "60", "--list", "inf",
)  # fmt: skip


def test_words_at_random_on_the_command_line_end_in_an_answer_or_in_one_line(cli, many, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    random = np.random.default_rng(5)
    for _ in range(many(60, 4_000)):
        words = [str(random.choice(SAID)) for _ in range(int(random.integers(0, 6)))]
        code, out, err = cli(str(random.choice(VERBS)), *words)
        assert code in (0, 1, 2), words
        assert out or err
