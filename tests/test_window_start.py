"""The start page: three doors, the last works, the ready hulls with what they carry, worked out once and kept."""

import msgspec
import pytest
from msgspec.structs import replace

from folder.cargo.item_list import find_item
from folder.cargo.words import number_of
from folder.pattern.difficulty import difficulty
from folder.pattern.file import find_pattern, read_pattern, ready_patterns, write_pattern
from folder.places import user_data
from folder.search.ranking import contender
from folder.window.start import shelf
from tests.editor_stage import EditorStage, counts_on_shelf
from tests.studied import ready_study


@pytest.fixture
def stage(tmp_path, home):  # noqa: ARG001 (the home must be there first)
    return EditorStage(tmp_path, start=True)


def tiles(stage):
    return [record for name, record in stage.ui.last.items() if name.startswith("ready/")]


def test_the_doors_lead_to_an_empty_sheet_to_the_ready_hulls_and_to_the_day(stage):
    stage.press("take")
    assert "ready/0" == stage.ui.focus.name
    stage.press("run")
    assert "event" == stage.editor.state.page
    stage.press("start")
    stage.press("new")
    assert "fold" == stage.editor.state.page
    assert () == stage.pattern.creases


def test_what_was_given_up_does_not_lie_on_the_table_any_more(stage):
    stage.press("ready/0")
    stage.field("name", "Given up")
    stage.press("start")
    stage.press("leave/drop")
    assert "start" == stage.editor.state.page
    stage.press("run")
    stage.turn_to("fold")
    assert () == stage.pattern.creases
    assert "Given up" != stage.pattern.name


def test_every_ready_hull_stands_there_by_its_own_name_the_easy_ones_first(stage):
    found = [read_pattern(path) for path in ready_patterns().values()]
    assert {pattern.name for pattern in found} == {tile.text for tile in tiles(stage)}
    level = {pattern.name: difficulty(pattern).level for pattern in found}
    assert sorted(level.values()) == [level[tile.text] for tile in tiles(stage)]
    assert "Plain tray" == tiles(stage)[0].text


def test_what_a_hull_carries_is_told_in_the_object_in_use_as_compare_counts_it_first(tmp_path, home, monkeypatch):  # noqa: ARG001
    monkeypatch.setattr(shelf, "_counts", counts_on_shelf)
    stage = EditorStage(tmp_path, (1024, 700), 2.0, start=True)  # two hulls are seen
    for name in ("us-cent", "washer-m8"):
        stage.editor.show(replace(stage.editor.state, object_choice=replace(stage.editor.state.object_choice, name=name)))
        stage.ui.redraw()
        stage.settle()
        item = find_item(name)
        counted = contender(ready_study("plain-tray"), item, first=True)
        assert stage.ui.find("ready/0").tip.endswith(f"About {number_of(item, counted.likely)}, {counted.low} to {counted.high}")


def test_a_hull_with_a_small_floor_is_not_said_to_take_more_than_there_is_room_for(home, monkeypatch):  # noqa: ARG001
    """Marbles of 5.36 g: the load of the bowl over the mass of one is half as many again as lie in it."""
    monkeypatch.setattr(shelf, "_counts", counts_on_shelf)
    bowl, marble = ready_study("usual-fan-bowl"), find_item("marble-16")
    counts = shelf.counted(bowl.pattern, marble)
    assert counts[1] < 0.75 * bowl.working.likely_g / marble.mass_g
    monkeypatch.setattr(shelf, "_counts", None)  # the second time it is on the disk
    assert counts == shelf.counted(bowl.pattern, marble)


def test_nothing_is_worked_out_before_the_first_frame(tmp_path, monkeypatch):
    asked = []
    monkeypatch.setattr("folder.window.start.view.shelved", asked.append)
    seen = []

    class Stage(EditorStage):
        def wait(self, seconds):
            drawn = super().wait(seconds)
            seen.append(len(asked))
            return drawn

    Stage(tmp_path, start=True)
    assert 0 == seen[0]
    assert len(ready_patterns()) == seen[1]


def test_the_last_works_stand_there_by_the_names_inside_and_what_is_gone_does_not(tmp_path, home):
    files = [home / f"{k}.json" for k in range(3)]
    for k, file in enumerate(files):
        write_pattern(replace(read_pattern(find_pattern("plain-tray")), name=f"Otter {k}"), file)
    files[1].unlink()
    (home / "odd.json").write_text("no pattern")
    stage = EditorStage(tmp_path, start=True, recent=[str(file) for file in (*files, home / "odd.json")])
    assert ["Otter 0", "Otter 2"] == [record.text for name, record in stage.ui.last.items() if name.startswith("recent/")]
    stage.press("recent/1")
    assert "Otter 2" == stage.pattern.name
    assert files[2] == stage.editor.document.path


def test_what_is_kept_on_disk_is_what_would_be_worked_out_again():
    pattern = read_pattern(find_pattern("two-bend-tray"))
    first = shelf.shelved(pattern)
    [file] = (user_data() / "shelf").glob("*.json")
    second = shelf.shelved(pattern)
    assert first.snapshot == second.snapshot
    assert first.low_likely_high_g == second.low_likely_high_g
    assert first.verdict == second.verdict
    assert msgspec.json.encode(second) == file.read_bytes()


def test_what_is_kept_spares_the_study_and_another_drawing_or_a_damaged_file_does_not(monkeypatch):
    made, make = [], shelf._made

    def counted(pattern):
        made.append(pattern.name)
        return make(pattern)

    monkeypatch.setattr(shelf, "_made", counted)
    pattern = read_pattern(find_pattern("plain-tray"))
    shelf.shelved(pattern)
    shelf.shelved(pattern)
    assert ["Plain tray"] == made
    shelf.shelved(replace(pattern, crimps=()))
    assert 2 == len(made)
    for file in (user_data() / "shelf").glob("*.json"):
        file.write_bytes(file.read_bytes()[:40])
    shelf.shelved(pattern)
    assert 3 == len(made)


def test_another_trial_is_another_key(monkeypatch):
    pattern = read_pattern(find_pattern("plain-tray"))
    before = shelf._key(pattern)
    monkeypatch.setattr(shelf, "trials_now_or_fault", lambda: (("a trial",), ""))
    assert before != shelf._key(pattern)


def test_a_disk_that_takes_nothing_is_no_harm(tmp_path):
    (tmp_path / "data").write_text("a file where the directory should be")
    made = shelf.shelved(read_pattern(find_pattern("plain-tray")))
    assert made.snapshot is not None


@pytest.mark.parametrize(
    ("note", "short"),
    [
        ("The tray to begin with: fold the four lines.", "The tray to begin with"),
        ("Small, high and four layers thick, for a few sharp things.", "Small, high and four layers thick"),
        ("Folded in half first, so there are two layers.", "Folded in half first"),
        ("no stop at all", "no stop at all"),
        ("", ""),
    ],
)
def test_a_note_is_cut_where_it_says_something(note, short):
    assert short == shelf.short_note(note)


@pytest.mark.parametrize(
    "size", [((1024, 700), 1.0), ((1024, 700), 1.5), ((1280, 800), 1.0), ((1366, 768), 2.0), ((1920, 1080), 1.0)]
)
def test_no_text_of_it_is_cut_off(tmp_path, size, home):
    files = []
    for k, name in enumerate(("plain-tray", "two-bend-tray")):
        files.append(home / f"{k}.json")
        write_pattern(read_pattern(find_pattern(name)), files[-1])
    stage = EditorStage(tmp_path, *size, start=True, recent=[str(file) for file in files])
    assert [] == [said.text for said in stage.ui.display_list.texts if said.cut]


def test_by_keys_alone(stage):
    reached = set()
    for _ in range(40):
        stage.keys("tab")
        reached.add(stage.ui.focus.name)
    assert {"new", "take", "run", "open", "object", "help", "size", *(tile.name for tile in tiles(stage))} <= reached
    stage.ui.focus_on("ready/0")
    stage.wait(0)
    stage.keys("enter")
    assert "Plain tray" == stage.pattern.name
