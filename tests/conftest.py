"""Headless by itself: the dummy drivers are set before anything can import pygame."""

import gc
import os
from collections.abc import Callable

import pytest
from hypothesis import settings

os.environ["SDL_VIDEODRIVER"] = "dummy"
os.environ["SDL_AUDIODRIVER"] = "dummy"
os.environ["PYGAME_HIDE_SUPPORT_PROMPT"] = "1"

# A test makes and drops many values and leaves no circles worth the time to look for them at every 700th.
gc.set_threshold(20_000)

# A busy machine is no fault of the code: speed is measured in the benches, and every run draws the same examples.
settings.register_profile("facts", deadline=None, derandomize=True)
settings.load_profile("facts")


def pytest_addoption(parser):
    parser.addoption("--whole", action="store_true", help="try every case, not the sample: minutes, not seconds")


def pytest_collection_modifyitems(config, items):
    """Cases marked `whole` are left out of the suite: a sample of their kind is in it."""
    if not config.getoption("--whole"):
        left = [item for item in items if item.get_closest_marker("whole")]
        config.hook.pytest_deselected(items=left)
        items[:] = [item for item in items if not item.get_closest_marker("whole")]


@pytest.fixture(scope="session")
def many(request) -> Callable[[int, int], int]:
    """How many cases to try: `many(few, whole)` is `few` in the suite, `whole` with --whole."""
    whole_asked = request.config.getoption("--whole")
    return lambda few, whole: whole if whole_asked else few


@pytest.fixture(autouse=True)
def own_data(tmp_path, monkeypatch):
    """No test sees or touches the data of the person who runs it."""
    monkeypatch.setenv("FOLDER_DATA", str(tmp_path / "data"))


@pytest.fixture
def home(tmp_path, monkeypatch):
    """A home of the test's own, where the dialogs look."""
    home = tmp_path / "home"
    home.mkdir()
    monkeypatch.setenv("HOME", str(home))
    monkeypatch.setenv("USERPROFILE", str(home))
    monkeypatch.chdir(home)
    return home


@pytest.fixture
def cli(capsys):
    """Runs a command; its exit code, output and error output."""
    from folder.cli import main

    def run(*argv):
        code = main(argv)
        out, err = capsys.readouterr()
        return code, out, err

    return run
