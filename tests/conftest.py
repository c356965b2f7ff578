"""Headless by itself: the dummy drivers are set before anything can import pygame."""

import os

import pytest
from hypothesis import settings

os.environ["SDL_VIDEODRIVER"] = "dummy"
os.environ["SDL_AUDIODRIVER"] = "dummy"
os.environ["PYGAME_HIDE_SUPPORT_PROMPT"] = "1"

# A busy machine is no fault of the code: speed is measured in the benches, and every run draws the same examples.
settings.register_profile("facts", deadline=None, derandomize=True)
settings.load_profile("facts")


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
