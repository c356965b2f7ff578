"""The pages of a class: whose set is whose, in the order they are handed out; what is for all stands once."""

from __future__ import annotations

import time
from functools import cache
from multiprocessing import get_context

import pypdf
import pytest
from msgspec.structs import astuple, replace

from folder.cargo.item_list import find_item
from folder.cli import main
from folder.draw.picture import Label
from folder.errors import BadRequest
from folder.event.rules import Rules
from folder.event.words import rules_line
from folder.paper import hand_out as hand_out_module
from folder.paper.hand_out import hand_out, stem_of, write_class, write_designs
from folder.paper.job import CARD_ITEM, PrintJob
from folder.paper.kinds import KINDS
from folder.paper.pages import CAUTIONS, PAPERS
from folder.paper.pdf import pdf_bytes
from folder.paper.sheets.card import design_card
from folder.places import slug
from folder.practice.identity import design_key
from folder.practice.trial import Trial
from folder.units import rounded_down
from folder.verdict import design_of
from folder.window.print.printing import shown_of
from folder.window.print.state import PrintState
from tests.overlap import overlaps
from tests.studied import ready_study
from tests.test_event_file import NAMES

ALL = list(KINDS)


@cache
def job(name: str = "plain-tray", paper="a4") -> PrintJob:
    made = ready_study(name)
    return PrintJob(design_of(made), made.water, paper, find_item(CARD_ITEM))


@cache
def count_of(kind: str, name: str = "plain-tray") -> int:
    """How many pages of a kind a design has."""
    return len(KINDS[kind].maker(job(name)))


def test_each_pupil_has_a_whole_set_by_name_and_the_class_one_chart_and_one_record():
    hulls, names = ["plain-tray", "hemmed-tray"], ["Mia", "Noa", "Ruben"]
    kinds = [kind for kind in ALL if kind != "card"]
    pages = hand_out([job(hull) for hull in hulls], kinds, names)
    own = [count_of(kind, hull) for hull in hulls for kind in kinds if not KINDS[kind].for_class]
    assert [name for name in names for _ in range(sum(own))] == [page.name for page in pages if page.name]
    for_all = [page.kind for page in pages if not page.name]
    assert ["Trial record"] == [kind for kind in for_all if kind == "Trial record"]
    assert count_of("notation") + 1 == len(for_all)


def test_a_pupil_whose_trials_are_known_has_a_card_with_numbers_of_that_pupil():
    """Half of what the model says, four times: on the card of that pupil, and less of it on those of the class."""
    made = ready_study("plain-tray")
    half = int(made.load.likely_g / 5.0)
    fields = {"brim_g": made.load.brim_g, "design": design_key(made.pattern), "pupil": "Mia"}
    tried = replace(made, trials=tuple(Trial("2025-03-14", "Plain tray", CARD_ITEM, 2.5, half + k, **fields) for k in range(4)))
    item = replace(find_item(CARD_ITEM), mass_g=25.0)  # few are laid out soon
    one = PrintJob(design_of(tried), tried.water, "a4", item)
    pages = hand_out([one], ["template", "card"], ["MIA", "Noa", "Ruben"])
    cards = [page for page in pages if page.kind.startswith("Design card")]
    assert ["MIA", "Noa", "Ruben"] == [page.name for page in cards]
    mia, noa, ruben = (" ".join(m.text for m in page.picture.marks if isinstance(m, Label)) for page in cards)
    assert noa == ruben
    low, likely, high = (rounded_down(g) for g in astuple(replace(tried.joined, pupil="Mia").in_grams)[:3])
    assert f"likely {likely} g ({low} to {high})" in mia
    assert "trials: 4 of MIA, 0 of the class." in mia
    assert "trials: 4 of this hull, 0 of others." in noa
    assert not overlaps(cards[0])
    large = replace(item, mass_g=1000.0)  # nothing to lay out
    for name, is_own in (("MIA", True), ("Noa", False)):  # the window shows the set of the first pupil
        shown = shown_of(tried, PrintState(("card",), for_class=True, names=(name, "Ruben")), large).pages
        assert is_own == any(f"likely {likely} g" in m.text for m in shown[0].picture.marks if isinstance(m, Label))


@pytest.mark.parametrize("paper", PAPERS)
def test_a_name_of_any_kind_is_in_nothing_s_way(paper):
    one = hand_out([job(paper=paper)], ["template", "steps"], [NAMES[4], NAMES[5]])
    for page in one:
        assert not overlaps(page)


def test_pages_that_differ_in_the_name_alone_stand_in_the_file_once():
    pages = hand_out([job()], ["steps"], [f"Pupil {k}" for k in range(28)])
    assert len(pdf_bytes(pages)) < 2.0 * len(pdf_bytes(pages[:2])) + 28 * 1000
    plain = pdf_bytes(pages[:1])
    shared = pypdf.PdfReader(_file(pdf_bytes(pages)))
    assert len(pages) == len(shared.pages)
    words = pypdf.PdfReader(_file(plain)).pages[0].extract_text().replace("Pupil 0", "").split()
    assert sorted(words) == sorted(shared.pages[-1].extract_text().replace("Pupil 27", "").split())


def _file(data: bytes):
    import io

    return io.BytesIO(data)


def test_a_class_of_28_with_three_hulls_in_one_command_takes_less_than_20_s(tmp_path, many):
    kinds = [kind for kind in ALL if kind != "card" or many(0, 1)]  # the cards' predictions take seconds
    names = [f"Pupil {chr(65 + k % 26)}{k}" for k in range(28)]
    table = tmp_path / "class.csv"
    table.write_text("name,class\n" + "".join(f"{name},4a\n" for name in names), encoding="utf-8")
    hulls = ["plain-tray", "hemmed-tray", "keel-tray"]
    began = time.process_time()
    assert 0 == main(["print", *hulls, "--what", ",".join(kinds), "--names", str(table), "--to", str(tmp_path / "out")])
    assert time.process_time() - began < 20.0
    (pdf,) = (tmp_path / "out").iterdir()
    assert "plain-tray-hemmed-tray-keel-tray-class-of-28-a4.pdf" == pdf.name
    pages = pypdf.PdfReader(pdf).pages
    own = sum(count_of(kind, hull) for hull in hulls for kind in kinds if not KINDS[kind].for_class)
    assert 28 * own + count_of("notation") + 2 == len(pages)  # 28 rows take two records
    for k in (0, 13, 27):
        for n in (0, own - 1):
            assert names[k] in pages[k * own + n].extract_text().splitlines()


def test_several_hulls_are_one_book_and_the_chart_stands_in_it_once(tmp_path):
    jobs = [job(), job("hemmed-tray")]
    names = [path.name for path in write_designs(jobs, ["template", "notation"], tmp_path)]
    assert "plain-tray-hemmed-tray-a4.pdf" == names[-1]
    assert {"plain-tray-template-a4.svg", "hemmed-tray-template-a4.svg"} < set(names)
    assert len(names) == 3 + count_of("notation")


def test_another_process_makes_the_same_files_byte_for_byte(tmp_path, monkeypatch):
    """All that makes up a design is sent there, and pages come back: names, order, SVGs and the PDF are as if made here."""
    made, written = [job(), job("screw-box")], []
    for place in ("here", "there"):
        (tmp_path / place).mkdir()
        files = write_designs(made, ["template", "card", "notation"], tmp_path / place)
        written.append({path.name: path.read_bytes() for path in files})
        monkeypatch.setattr(hand_out_module, "parallel_map", map_elsewhere)
    assert list(written[0]) == list(written[1])
    assert written[0] == written[1]


def map_elsewhere(work, tasks, _progress):
    with get_context("spawn").Pool(1) as pool:
        return pool.map(work, tasks)


def test_two_designs_of_one_name_do_not_lie_over_one_another(tmp_path):
    names = [path.name for path in write_designs([job(), job()], ["template"], tmp_path)]
    assert len(set(names)) == len(names) == 3


def test_how_files_of_many_are_called():
    assert "4-hulls" == stem_of([job()] * 4)
    assert slug("Plain tray") == stem_of([job()])


def test_the_work_can_be_stopped_and_leaves_nothing(tmp_path):
    seen = []

    def stop(done: int, of: int) -> None:
        seen.append((done, of))
        if done == 5:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        write_class([job()], ["template"], [""] * 9, tmp_path, progress=stop)
    assert [(k, 9) for k in range(6)] == seen
    assert [] == list(tmp_path.iterdir())


@pytest.mark.parametrize("count", [0, 1001])
def test_no_class_is_so_small_or_so_large(count):
    with pytest.raises(BadRequest, match="pupils"):
        hand_out([job()], ["template"], [""] * count)


RULED = Rules(name="Harbour Day", footprint_mm=(75.0, 100.0), wall_most_mm=25.0, one_hold=True)


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", ["Harbour Day", "x" * 300])
def test_the_rules_of_the_event_stand_where_it_was_said_that_they_come_first(paper, name):
    line = rules_line(replace(RULED, name=name))
    made = ready_study("plain-tray")
    ruled = PrintJob(design_of(made), made.water, paper, find_item(CARD_ITEM), line)
    for page in (KINDS["steps"].maker(ruled)[0], design_card(ruled.design, None, paper, rules=line)):
        said = " ".join(mark.text for mark in page.drawing().marks if isinstance(mark, Label))
        assert "fits 75 × 100 mm" in said
        assert CAUTIONS["rules"] not in said
        assert not overlaps(page)
