"""Killed without a warning at any moment: what was confirmed is there, what is there is whole, and nothing half written stays."""

from __future__ import annotations

import os
import subprocess
import sys
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from xml.etree import ElementTree

import pytest

from folder.cargo.item_list import read_items
from folder.event.file import EventFile
from folder.pattern.file import read_pattern
from folder.places import BOOK_WRITTEN_S, HALF_WRITTEN
from folder.practice.exchange import read_csv
from folder.practice.log import TrialLog
from folder.practice.trial import Trial
from folder.window.autosave import Autosave, Memory, remembered, sweep
from folder.window.float.state import shelf_of

ROOT = Path(__file__).parents[1]
ANOTHER = Trial("2025-03-14", "Plain tray", "us-cent", 2.5, 40)


def said(directory: Path) -> dict[str, list[str]]:
    """What was confirmed, by kind and in its order."""
    found: dict[str, list[str]] = {}
    for line in (directory / "said").read_text().splitlines():
        what, which = line.split(" ")
        found.setdefault(what, []).append(which)
    return found


def newest(found: dict[str, list[str]], what: str) -> int:
    return int(found.get(what, ["0"])[-1])


def check_notes(directory: Path, found: dict[str, list[str]]) -> None:
    """Trials and entries: all that were confirmed, in their order, and at most the one that was being noted; one more can be noted."""
    with TrialLog(directory / "data" / "trials.sqlite") as log:
        assert log.notice == ""
        trials = [str(trial.count) for trial in log.trials()]
        log.add(ANOTHER)
    with EventFile(directory / "day.sqlite") as event:
        entries = [str(entry.held) for entry in event.entries()]
        event.note(event.teams()[0], held=1)
    for confirmed, there in ((found.get("trial", []), trials), (found.get("entry", []), entries)):
        assert confirmed == there[: len(confirmed)]
        assert len(there) <= len(confirmed) + 1


def check_files(directory: Path, found: dict[str, list[str]]) -> None:
    """Files are whole, and no older than what was confirmed last."""
    data = directory / "data"
    path, works = directory / "hull.json", [int(read_pattern(copy).note) for copy in Autosave(data / "work").left_behind()]
    if path.exists() or "saved" in found:
        works.append(int(read_pattern(path).note))
        assert works[-1] >= newest(found, "saved")
    # The newest work is in the file, or in the copy that the next start offers.
    assert max(works, default=0) >= max(newest(found, "kept"), newest(found, "saved"))
    if "loading" in found:
        assert shelf_of("design", data).tries[0].held >= newest(found, "loading")
        assert int(remembered(data / "window.json").station) >= newest(found, "loading")
    if (path := data / "objects.json").exists() or "object" in found:
        assert {f"bead-{k}" for k in found.get("object", [])} <= {item.name for item in read_items(path)}
    if (path := directory / "table.csv").exists() or "table" in found:
        read_csv(path)
    if (path := directory / "made.json").exists() or "made" in found:
        read_pattern(path)


def check_pages(directory: Path, found: dict[str, list[str]]) -> int:
    """Every page that stands there is whole, and those that were confirmed stand there. How many."""
    pages = [path for path in (directory / "pages").glob("[!.]*") if path.is_file()]
    assert set(found.get("printed", [])) <= {path.name for path in pages}
    for path in pages:
        if path.suffix == ".svg":
            ElementTree.parse(path)
        else:
            assert path.read_bytes().rstrip().endswith(b"%%EOF")
    return len(pages)


def half_written(directory: Path) -> Iterator[Path]:
    return (path for path in directory.rglob("*") if path.name.endswith((HALF_WRITTEN, "-journal", ".part", ".tmp")))


@pytest.mark.skipif(not hasattr(os, "fork"), reason="programs at work begin as copies of one process")
def test_killed_at_any_moment_nothing_confirmed_is_lost_and_nothing_half_written_stays(tmp_path: Path, many, monkeypatch) -> None:
    """The command line and the window: noting trials and an event's entries, drawing, saving, loading, printing."""
    count = many(3, 200)
    env = os.environ | {"OMP_NUM_THREADS": "1", "HOME": str(tmp_path)}
    subprocess.run([sys.executable, "-m", "tests.killed", str(tmp_path), str(count), "1"], cwd=ROOT, env=env, check=True)
    counts: Counter[str] = Counter()
    for number in range(count):
        directory = tmp_path / f"{number}"
        assert not (directory / "broke").exists(), (directory / "broke").read_text()
        found = said(directory)
        counts.update({what: len(which) for what, which in found.items()})
        counts["left half written"] += len(list(half_written(directory)))
        check_notes(directory, found)
        check_files(directory, found)
        counts["pages"] += check_pages(directory, found)
        for left in list(half_written(directory)):
            os.utime(left, (left.stat().st_mtime - 2 * BOOK_WRITTEN_S,) * 2)
        # The next start of the window.
        monkeypatch.setenv("FOLDER_DATA", str(directory / "data"))
        sweep(Memory([str(directory / "hull.json"), str(directory / "pages" / "x.json")]))
        assert [] == list(half_written(directory))
    assert counts["ready"] == count
    assert counts["trial"] + counts["entry"] > count
    sys.stdout.write(f"\n{dict(counts)}\n")
