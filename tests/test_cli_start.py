"""What the quick verbs load: a count must not wait for arrays and geometry."""

import subprocess
import sys
from importlib.metadata import entry_points

import pytest

from folder.cli import start_window

HEAVY = ("numpy", "shapely", "reportlab", "pygame")


@pytest.mark.parametrize(
    "argv",
    [
        ["--help"],
        ["--version"],
        ["count", "--holds", "196", "--each", "3.06"],
        ["drill", "--grade", "4", "--count", "3", "--seed", "1"],
        ["trial", "list"],
        ["objects", "cent"],
    ],
    ids=" ".join,
)
def test_quick_verbs_load_nothing_heavy(argv, tmp_path):
    code = f"""
import sys
from folder.cli import main
try:
    code = main({argv!r})
except SystemExit as end:
    code = end.code
print(sorted(set({HEAVY!r}) & set(sys.modules)), code)
"""
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, env={"FOLDER_DATA": str(tmp_path), "PATH": ""}
    )
    assert "[] 0" == done.stdout.splitlines()[-1].replace("None", "0")


@pytest.mark.parametrize("kind", ["console_scripts", "gui_scripts"])
def test_what_a_shell_and_a_start_menu_begin_is_there(kind):
    begun = [point for point in entry_points(group=kind) if point.value.startswith("folder.")]
    assert begun
    assert all(callable(point.load()) for point in begun)


def test_a_start_menu_opens_the_window(monkeypatch):
    asked = []
    monkeypatch.setattr("folder.cli.main", lambda argv: asked.append(argv) or 0)
    assert 0 == start_window()
    assert [["draw"]] == asked
