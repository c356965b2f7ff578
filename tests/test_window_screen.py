"""The first minute once more in a real window: a screen without a monitor (Xvfb), a pointer and keys from outside (xdotool)."""

import os
import re
import shutil
import subprocess
import sys
import time
from functools import partial

import pytest

from folder.pattern.file import read_pattern
from folder.studies import study
from tests import user_input
from tests.editor_stage import EditorStage

TOOLS = ("Xvfb", "xdotool")
pytestmark = pytest.mark.skipif(
    sys.platform != "linux" or any(shutil.which(tool) is None for tool in TOOLS), reason="needs Xvfb and xdotool"
)


class Screen:
    """A screen with the window on it."""

    def __init__(self, directory, *args):
        read, write = os.pipe()
        self.server = subprocess.Popen(
            ["Xvfb", "-displayfd", str(write), "-screen", "0", "1400x900x24", "-nolisten", "tcp"],
            pass_fds=(write,), stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
        )  # fmt: skip
        os.close(write)
        with os.fdopen(read) as display:
            number = display.readline().strip()
        self.env = os.environ | {
            "DISPLAY": f":{number}", "SDL_VIDEODRIVER": "x11", "SDL_VIDEO_WINDOW_POS": "0,0", "HOME": str(directory / "home"),
            "FOLDER_DATA": str(directory / "data"),
        }  # fmt: skip
        (directory / "home").mkdir()
        self.program = None
        self._directory, self._args = directory, args

    def open(self):
        self.do("mousemove", 640, 60)  # before there is a window: what lies there is the root
        root = self.under_pointer()
        self.program = subprocess.Popen([sys.executable, "-m", "folder", *self._args], env=self.env, cwd=self._directory / "home")
        self.until(lambda: self.under_pointer() != root)
        time.sleep(2.0)  # the pictures of the start page

    def under_pointer(self):
        """The window under the pointer. A busy screen may answer nothing, or half: then it is asked again."""

        def ask():
            found = re.search(r"^WINDOW=(\d+)$", self.do("getmouselocation", "--shell"), re.MULTILINE)
            return found and found[1]

        return self.until(ask)

    def until(self, ask, seconds=30):
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            answer = ask()
            if answer:
                return answer
            time.sleep(0.1)
        raise AssertionError("it never came")

    def do(self, *words):
        """Have the tool do something; one that could not reach the screen has done nothing, and tries again."""
        command = ["xdotool", *map(str, words)]
        run = partial(subprocess.run, command, env=self.env, capture_output=True, text=True, check=False)
        return self.until(lambda: (done := run()).returncode == 0 and (done,))[0].stdout

    def move(self, at):
        self.do("mousemove", round(at[0]), round(at[1]))
        time.sleep(0.1)

    def press(self, at):
        self.move(at)
        self.do("click", 1)
        time.sleep(0.2)

    def drag(self, start, end):
        self.move(start)
        self.do("mousedown", 1)
        for k in range(1, 9):
            self.move((start[0] + (end[0] - start[0]) * k / 8, start[1] + (end[1] - start[1]) * k / 8))
        self.do("mouseup", 1)
        time.sleep(0.3)

    def keys(self, *keys):
        for key in keys:
            self.do("key", key)
            time.sleep(0.15)

    def picture(self, path):
        if shutil.which("import"):
            subprocess.run(["import", "-window", "root", str(path)], env=self.env, check=True)

    def close(self):
        for process in (self.program, self.server):
            if process is not None and process.poll() is None:
                process.terminate()
                process.wait(10)


@pytest.fixture
def screen(tmp_path):
    made = Screen(tmp_path)
    try:
        made.open()
        yield made
    finally:
        made.close()


def test_the_first_minute_on_a_real_screen(screen, tmp_path):
    # A window of the same size, without a screen, tells where everything stands.
    guide = EditorStage(tmp_path / "guide", start=True)
    screen.press(user_input.middle(guide.ui, "new"))
    guide.press("new")
    # One drag in from the lower edge: the tray. Then a press on the rim: its hem.
    screen.drag(guide.at((75, 0)), guide.at((75, 25)))
    guide.draw((75, 0), (75, 25))
    screen.keys("h")
    guide.keys("h")
    screen.press(guide.at((75, 0)))
    guide.click((75, 0))
    screen.picture(tmp_path / "folded.png")
    screen.keys("ctrl+s")
    time.sleep(0.5)
    screen.picture(tmp_path / "save.png")
    screen.keys("Return")
    file = tmp_path / "home" / "my-hull.json"
    screen.until(file.exists)
    saved = read_pattern(file)
    assert guide.pattern.creases == saved.creases
    assert study(saved).folds
    screen.keys("ctrl+q")
    assert 0 == screen.program.wait(20)
    assert [] == list((tmp_path / "data" / "work").glob("kept-*"))
