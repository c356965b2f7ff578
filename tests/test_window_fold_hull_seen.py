"""The picture of a large hull is worked out beside the drawing thread; till it is there it is shown roughly."""

from concurrent.futures import Future

import pytest

from folder.draw.hull.rough import MOST_AT_ONCE, takes_long
from folder.draw.hull.view import View
from folder.studies import study
from folder.window.background import snapshot
from folder.window.background.result import with_study
from folder.window.background.worker import Worker
from folder.window.fold import hull_seen as seen
from folder.window.fold.hull_seen import hull_seen
from tests import user_input
from tests.drawings import tray
from tests.editor_stage import EditorStage
from tests.scribbles import whole_lines

ASIDE = View(0.3)


class Later:
    """An executor whose work is done when it is told."""

    def __init__(self):
        self.waiting = []

    def submit(self, fn, /, *args):
        self.waiting.append((future := Future(), fn, args))
        return future

    def do(self):
        for future, fn, args in self.waiting:
            future.set_result(fn(*args))
        self.waiting = []


@pytest.fixture(scope="module")
def scribble():
    pattern = whole_lines(18, "at random")
    known = with_study(pattern)
    assert 300 > known.study.folded.faces.count > MOST_AT_ONCE
    return known


def test_a_small_hull_is_drawn_in_full_at_once():
    known = with_study(tray())
    in_full, picture = hull_seen(Worker(Later()), known, known.study, ASIDE, resting=True)
    assert in_full
    assert snapshot.hull_snapshot(known.study, ASIDE).picture == picture()


def test_a_large_one_is_rough_till_the_worker_has_it_and_is_not_asked_for_while_the_hand_turns_it(scribble):
    later = Later()
    worker = Worker(later)
    in_full, picture = hull_seen(worker, scribble, scribble.study, ASIDE, resting=False)
    assert not in_full
    assert not later.waiting
    rough = picture()
    in_full, _ = hull_seen(worker, scribble, scribble.study, ASIDE, resting=True)
    assert not in_full
    assert 1 == len(later.waiting)
    later.do()
    worker.poll()
    in_full, picture = hull_seen(worker, scribble, scribble.study, ASIDE, resting=False)
    assert in_full
    assert snapshot.hull_snapshot(scribble.study, ASIDE).picture == picture()
    assert rough.box == picture().box
    assert not hull_seen(worker, scribble, scribble.study, View(0.4), resting=False)[0]


def test_the_drawing_thread_never_works_out_the_picture_of_a_scribble(tmp_path, monkeypatch):
    """However it is turned, in the hand and by keys; once the hand lets go it is there in full."""
    stage = EditorStage(tmp_path)
    made: list[bool] = []
    whole = seen.hull_snapshot

    def counted(study, view):
        made.append(stage.editor.worker._held)
        return whole(study, view)

    monkeypatch.setattr(seen, "hull_snapshot", counted)
    stage.editor.begin(whole_lines(18, "at random"))
    stage.settle()
    assert takes_long(study(stage.pattern).folded)
    pane = stage.ui.find("hull").pane
    stage.play(*user_input.drag(stage.ui, pane.middle, (pane.middle[0] + 60, pane.middle[1] + 9))[:-1])
    roughly = stage.pixels()
    stage.play(user_input.up(stage.ui, (pane.middle[0] + 60, pane.middle[1] + 9)))
    stage.settle()
    assert roughly != stage.pixels()
    assert made
    assert not any(made)
