"""On paper: played by events alone, by name; what is written is what the command line writes."""

import errno

import pypdf
import pytest
from msgspec.structs import replace

from folder.cli.pages import print_job, write_pages
from folder.draw.picture import Label
from folder.errors import FolderError, UnwritableFile
from folder.paper import book, job
from folder.paper.kinds import KINDS, USUAL
from folder.window.objects.state import FIRST_ITEM
from folder.window.print.state import PrintState, Writing
from tests.editor_stage import EditorStage
from tests.studied import ready_study


@pytest.fixture
def stage(tmp_path, home):  # noqa: ARG001 (the home must be there first)
    stage = EditorStage(tmp_path)
    stage.open("plain-tray")
    stage.turn_to("print")
    return stage


def write(stage):
    stage.press("paper/write")
    stage.settle()


def outcome(stage):
    return stage.ui.find("paper/outcome")


def test_the_files_are_those_of_the_command_line(stage, home, tmp_path):
    stage.press("paper/card")  # its prediction is worked out anew where a page is printed anew
    write(stage)
    assert "good" == outcome(stage).value
    other = tmp_path / "other"
    other.mkdir()
    made = ready_study("plain-tray")
    expected = write_pages(made, ["template", "steps", "record"], "a4", other)
    assert sorted(p.name for p in home.iterdir()) == sorted(p.name for p in expected)
    assert all((home / p.name).read_bytes() == p.read_bytes() for p in expected)
    assert str(home) in outcome(stage).text
    assert all(p.name in outcome(stage).text for p in expected)


def test_only_what_is_ticked_is_written_on_the_paper_that_is_chosen(stage, home):
    for kind in ("steps", "card", "record"):
        stage.press(f"paper/{kind}")
    stage.press("paper/size/letter")
    write(stage)
    assert {"plain-tray-template-letter.svg", "plain-tray-letter.pdf"} == {p.name for p in home.iterdir()}
    assert b"215.9" in (home / "plain-tray-template-letter.svg").read_bytes()


def test_nothing_ticked_nothing_written(stage):
    for kind in ("template", "steps", "card", "record"):
        stage.press(f"paper/{kind}")
    assert not stage.ui.find("paper/write").enabled


def test_the_wall_shows_every_page_as_it_will_come_out(stage):
    for kind in {*KINDS} - {*USUAL}:
        stage.press(f"paper/{kind}")
    stage.press("paper/card")
    stage.settle()
    made = print_job(ready_study("plain-tray"), "a4")
    pages = [page for kind in KINDS if kind != "card" for page in KINDS[kind].maker(made)]
    tiles = [name for name, record in stage.ui.last.items() if record.kind == "tile"]
    assert len(pages) == len(tiles)
    for k, page in enumerate(pages):
        stage.editor.show(replace(stage.editor.state, printing=replace(stage.editor.state.printing, large=k)))
        stage.ui.redraw()
        stage.settle()
        assert page.drawing() == stage.ui.find("paper/preview").value.picture


def test_a_page_that_is_pressed_is_large_and_the_others_are_next_to_it(stage):
    stage.press("paper/wall/1")
    stage.settle()
    assert 1 == stage.editor.state.printing.large
    stage.press("paper/after")
    assert 2 == stage.editor.state.printing.large
    stage.keys("escape")
    stage.settle()
    assert "paper/wall/0" in stage.ui.last


def test_several_hulls_are_printed_together_and_the_line_says_so(stage, home):
    for kind in ("card", "record"):
        stage.press(f"paper/{kind}")
    stage.choose("paper/add", "hemmed-tray")
    stage.settle()
    said = stage.ui.find("paper/plan").text
    assert said.endswith("all in plain-tray-hemmed-tray-a4.pdf")
    write(stage)
    count = sum(path.suffix == ".svg" for path in home.iterdir())
    assert said.startswith(f"{count} pages")
    assert (home / "plain-tray-hemmed-tray-a4.pdf").exists()
    stage.press("paper/drop/0")
    stage.settle()
    assert stage.ui.find("paper/plan").text.endswith("all in plain-tray-a4.pdf")


def test_a_class_by_names_is_one_pdf_with_the_pages_that_were_promised(stage, home):
    stage.press("paper/for/class")
    stage.ui.clipboard.put("Mia\nNoa\nRuben\n")
    stage.press("paper/paste")
    stage.settle()
    said = stage.ui.find("paper/plan").text
    assert said.startswith("3 sets of ")
    first = next(iter(shown_pages(stage)))
    assert "Mia" in {mark.text for mark in first.picture.marks if isinstance(mark, Label)}
    write(stage)
    (book,) = home.iterdir()
    assert "plain-tray-class-of-3-a4.pdf" == book.name
    assert f": {len(pypdf.PdfReader(book).pages)} pages in {book.name}" in said


def shown_pages(stage):
    return stage.editor.worker.last_answer("preview").pages


def test_a_class_of_copies_and_names_from_a_table(stage, home):
    (home / "class.csv").write_text("name,class\nMia,4a\nNoa,4a\n", encoding="utf-8")
    stage.press("paper/for/class")
    stage.settle()
    assert stage.ui.find("paper/plan").text.startswith("28 sets of ")
    stage.press("paper/names")
    stage.settle()
    stage.press("any/list/0")
    stage.press("any/open")
    stage.settle()
    assert ("Mia", "Noa") == stage.editor.state.printing.names
    stage.press("paper/forget")
    assert () == stage.editor.state.printing.names


def test_writing_that_is_stopped_writes_nothing():
    writing = Writing()
    writing.tell(3, 9)
    writing.stop()
    with pytest.raises(FolderError, match="Stopped"):
        writing.tell(4, 9)


def test_what_stands_there_already_stays(stage, home):
    write(stage)
    before = {path: path.read_bytes() for path in home.iterdir()}
    write(stage)
    assert all(path.read_bytes() == data for path, data in before.items())
    assert (home / "plain-tray-2-a4.pdf").exists()


def test_another_directory_is_chosen_in_the_window(stage, home):
    (home / "prints").mkdir()
    stage.press("paper/where")
    stage.press("where/list/0")
    stage.press("where/here")
    assert home / "prints" == stage.editor.state.printing.directory
    write(stage)
    assert 5 == len(list((home / "prints").iterdir()))
    stage.press("paper/where")
    stage.keys("escape")
    assert "" == stage.editor.state.dialog
    assert "print" == stage.editor.state.page


def test_a_directory_is_gone_into_and_out_of(stage, home):
    (home / "prints" / "monday").mkdir(parents=True)
    stage.press("paper/where")
    stage.press("where/list/0", times=2)
    stage.press("where/list/0", times=2)
    stage.press("where/here")
    assert home / "prints" / "monday" == stage.editor.state.printing.directory


def test_a_pattern_with_a_stop_is_printed_only_after_that_has_been_said(tmp_path, home):
    stage = EditorStage(tmp_path)
    stage.draw((0, 25), (150, 25))
    stage.keys("escape", "escape", "4")
    stage.settle()
    assert stage.ui.shows("4 points will not close yet. The pages will say so.")
    assert not stage.ui.find("paper/write").enabled
    stage.press("paper/anyway")
    assert stage.ui.find("paper/write").enabled
    texts = {item.text for item in stage.ui.find("paper/preview").value.picture.marks if isinstance(item, Label)}
    assert "4 points will not close yet." in texts
    write(stage)
    assert "good" == outcome(stage).value
    assert b"4 points will not close yet." in (home / "my-hull-template-a4.svg").read_bytes()


def test_to_print_anyway_is_asked_anew_for_another_drawing(tmp_path):
    stage = EditorStage(tmp_path)
    stage.draw((0, 25), (150, 25))
    stage.keys("escape", "escape", "4")
    stage.settle()
    stage.press("paper/anyway")
    stage.open("plain-tray")
    assert not stage.editor.state.printing.anyway


@pytest.mark.parametrize("number", [errno.EROFS, errno.EACCES, errno.ENOSPC])
def test_what_cannot_be_written_is_one_sentence_and_leaves_nothing(stage, home, monkeypatch, number):
    def refused(**_):
        raise OSError(number, "No room, or no leave")

    monkeypatch.setattr(book.tempfile, "TemporaryDirectory", refused)
    write(stage)
    assert "stop" == outcome(stage).value
    assert "cannot be written" in outcome(stage).text
    assert "\n" not in outcome(stage).text
    assert [] == list(home.iterdir())


def test_a_disk_that_fills_up_leaves_nothing_half_written(stage, home, monkeypatch):
    def full(path, _):
        raise UnwritableFile("the file cannot be written", where=str(path), found="No space left on device")

    monkeypatch.setattr("folder.paper.pdf.write_whole", full)
    write(stage)
    assert "No space left" in outcome(stage).text
    assert [] == list(home.iterdir())


def test_a_directory_that_has_gone_is_said(stage, home):
    (home / "prints").mkdir()
    stage.press("paper/where")
    stage.press("where/list/0")
    stage.press("where/here")
    (home / "prints").rmdir()
    write(stage)
    assert "stop" == outcome(stage).value


def test_what_was_written_is_no_more_said_once_the_drawing_is_another(stage):
    stage.press("paper/card")
    write(stage)
    stage.turn_to("fold")
    stage.click((60, 25))
    stage.draw((60, 25), (60, 35))
    stage.turn_to("print")
    assert "paper/outcome" not in stage.ui.last


def test_by_keys_alone(stage, home):
    reached = set()
    while stage.ui.focus.name not in reached:
        reached.add(stage.ui.focus.name)
        stage.keys("tab")
    wanted = {"page", "paper/template", "paper/notation", "paper/size", "paper/where", "paper/write"}
    assert wanted <= reached
    for name, keys in (("paper/steps", ("space",)), ("paper/size", ("right",)), ("paper/write", ("enter",))):
        stage.ui.focus_on(name)
        stage.wait(0)
        stage.keys(*keys)
    stage.settle()
    assert ("template", "card", "record") == stage.editor.state.printing.kinds
    assert 4 == len(list(home.iterdir()))


def test_print_is_where_a_hand_looks_for_it(tmp_path):
    stage = EditorStage(tmp_path)
    stage.keys("ctrl+p")
    assert "print" == stage.editor.state.page


def test_an_empty_sheet_can_be_looked_at_but_says_what_is_missing(tmp_path):
    stage = EditorStage(tmp_path)
    stage.keys("escape", "4")
    stage.settle()
    assert stage.ui.find("paper/preview").value is not None


def test_what_is_ticked_at_first_are_kinds_there_are():
    assert set(PrintState().kinds) < set(KINDS)
    assert FIRST_ITEM == job.CARD_ITEM


def test_two_runs_give_the_same_picture(tmp_path):
    pictures = []
    for name in ("one", "two"):
        stage = EditorStage(tmp_path / name)
        stage.open("plain-tray")
        stage.keys("4")
        stage.settle()
        pictures.append(stage.pixels())
    assert pictures[0] == pictures[1]


@pytest.mark.parametrize(("size", "scale"), [((1280, 800), 1.0), ((1280, 800), 2.0), ((1024, 700), 1.0)])
def test_a_class_is_in_sight_at_any_scale_and_its_buttons_say_what_they_do(tmp_path, size, scale):
    stage = EditorStage(tmp_path, size, scale)
    stage.turn_to("print")
    stage.press("paper/for/class")
    stage.settle()
    for name in ("paper/for/one", "paper/for/class", "paper/pupils", "paper/paste", "paper/names"):
        record = stage.ui.find(name)
        assert record.pane.h == record.visible.h, name
    cut = {said.text for said in stage.ui.display_list.texts if said.cut}
    assert set() == cut & {"One set", "A class", "or one for each name:", "Paste names", "Open a CSV"}
