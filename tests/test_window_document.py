"""Work and its history, the copy that is kept of it, and what the window remembers."""

import os
import time

from hypothesis import given
from hypothesis import strategies as st

from folder.errors import UnwritableFile
from folder.pattern.file import read_pattern
from folder.pattern.pattern import Crease, Pattern
from folder.places import HALF_WRITTEN, write_whole
from folder.window.autosave import EVERY_S, Autosave, Memory, remember, remembered
from folder.window.document import Document


def lined(count):
    return Pattern(creases=tuple(Crease((0, 10.0 + k), (150, 10.0 + k)) for k in range(count)))


@given(st.lists(st.integers(0, 5), max_size=12))
def test_undoing_all_comes_back_to_the_start_and_redoing_all_to_the_end(counts):
    document = Document(lined(0))
    for count in counts:
        document = document.edited(lined(count))
    end = document.pattern
    back = document
    while back.past:
        back = back.undone()
    assert lined(0) == back.pattern
    while back.future:
        back = back.redone()
    assert end == back.pattern


def test_history_has_no_end():
    document = Document(lined(0))
    for k in range(3000):
        document = document.edited(lined(1 + k % 2))
    assert 3000 == len(document.past)


def test_a_change_that_changes_nothing_leaves_the_history_alone():
    document = Document(lined(2)).edited(lined(2))
    assert () == document.past


def test_undo_and_redo_with_nothing_there_do_nothing():
    document = Document(lined(1))
    assert document is document.undone()
    assert document is document.redone()


def test_what_is_picked_never_points_past_the_drawing():
    document = Document(lined(3)).picking(frozenset({0, 2, 7, -1}))
    assert frozenset({0, 2}) == document.picked
    assert frozenset({0}) == document.edited(lined(1)).picked


def test_an_edit_after_undo_drops_what_could_be_redone():
    document = Document(lined(0)).edited(lined(1)).undone().edited(lined(2))
    assert () == document.future


def test_unsaved_work_is_kept_every_few_seconds_and_the_copy_reads_back(tmp_path):
    autosave = Autosave(tmp_path / "work")
    document = Document.opened(lined(0)).edited(lined(4))
    assert "" == autosave.tick(document, EVERY_S / 2)
    assert not autosave.file.exists()
    assert "" == autosave.tick(document, EVERY_S)
    assert lined(4) == read_pattern(autosave.file)
    assert [autosave.file] == Autosave(tmp_path / "work").left_behind()


def test_the_copy_goes_once_the_work_is_saved(tmp_path):
    autosave = Autosave(tmp_path)
    document = Document.opened(lined(0)).edited(lined(4))
    autosave.keep(document)
    autosave.keep(document.written(tmp_path / "a.json"))
    assert not autosave.file.exists()


def test_a_full_disk_is_said_and_harms_nothing(tmp_path, monkeypatch):
    autosave = Autosave(tmp_path)
    document = Document.opened(lined(0)).edited(lined(1))
    autosave.keep(document)

    def full(path, _):
        raise UnwritableFile("the file cannot be written", where=str(path), found="No space left on device")

    monkeypatch.setattr("folder.window.autosave.write_whole", full)
    assert "safety copy" in autosave.keep(document.edited(lined(2)))
    assert lined(1) == read_pattern(autosave.file)


def test_a_windows_own_copy_is_not_offered_to_itself(tmp_path):
    autosave = Autosave(tmp_path)
    autosave.keep(Document.opened(lined(0)).edited(lined(1)))
    assert [] == autosave.left_behind()


def test_the_memory_reads_back_and_nonsense_in_it_is_a_new_start(tmp_path):
    file = tmp_path / "window.json"
    memory = Memory(["a.json"], 1.5)
    remember(memory, file)
    assert memory == remembered(file)
    for nonsense in (b"", b"{", b'{"scale": "big"}', b"\xff\xfe"):
        file.write_bytes(nonsense)
        assert Memory() == remembered(file)
    file.write_bytes(b'{"scale": 99}')
    assert 2.0 == remembered(file).scale


def test_the_last_work_is_the_newest_file_that_still_is_a_pattern(tmp_path):
    good, bad = tmp_path / "good.json", tmp_path / "bad.json"
    good.write_text('{"format": "foil-pattern", "version": 1, "creases": []}', encoding="utf-8")
    bad.write_text("no pattern", encoding="utf-8")
    memory = Memory()
    for path in (good, bad, tmp_path / "gone.json"):
        memory.opened(path)
    assert good.resolve() == memory.last


def test_what_a_killed_program_left_half_written_goes_with_the_next_writing(tmp_path):
    """Whatever the clock said; what may still be written by another program stays, and so do other files."""
    for name, age_s in (("old", 3600.0), ("of-tomorrow", -3600.0), ("fresh", 0.0)):
        left = tmp_path / f".hull.json.{name}{HALF_WRITTEN}"
        left.write_bytes(b"half")
        os.utime(left, (time.time() - age_s,) * 2)
    for name, age_s in (("years", 1e8), ("half-an-hour", 1800.0)):  # pages of a class may still be made in the latter
        (book := tmp_path / f".pages-{name}{HALF_WRITTEN}").mkdir()
        (book / "0.svg").write_bytes(b"half")
        os.utime(book, (time.time() - age_s,) * 2)
    (tmp_path / ".hull.json.mine").write_bytes(b"")
    write_whole(tmp_path / "hull.json", b"whole")
    left = [f".hull.json.fresh{HALF_WRITTEN}", ".hull.json.mine", f".pages-half-an-hour{HALF_WRITTEN}", "hull.json"]
    assert left == sorted(path.name for path in tmp_path.iterdir())


def test_a_window_that_starts_sweeps_up_half_written_copies(tmp_path):
    left = tmp_path / f".kept-0123.json.abcd{HALF_WRITTEN}"
    left.write_bytes(b"half")
    os.utime(left, (0.0, 0.0))
    assert [] == Autosave(tmp_path).left_behind()
    assert not left.exists()
