"""The design card: true numbers, two faces that nothing crosses, every ready pattern, both papers."""

from collections import Counter
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from lxml import etree
from msgspec.structs import replace

from folder.cli import main
from folder.draw.picture import PUPIL_MM, SMALL_MM, Box, Label, Line
from folder.draw.sheet.size import sized_sheet
from folder.draw.text import label_corners
from folder.paper.design import Design
from folder.paper.pages import CAUTIONS, PAPERS
from folder.paper.sheets.card import MASSES, TRIALS, count_rows, design_card
from folder.paper.sheets.load_map import loading_plan
from folder.paper.svg import page_svg
from folder.pattern.pattern import Pattern
from folder.studies import study
from folder.verdict import design_of
from tests.designs import ON_PAPERS, hand_cargo, hand_design, held, ready, ready_cargo
from tests.drawings import crossing_creases, slit_tray
from tests.overlap import overlaps
from tests.studied import family_study
from tests.test_paper_svg import GOLDEN, NAMES, same


def words(page) -> str:
    return " ".join(item.text for item in page.drawing().marks if isinstance(item, Label))


@pytest.mark.parametrize(("name", "paper"), ON_PAPERS)
def test_a_card_of_every_ready_pattern_has_nothing_in_the_way(name, paper):
    for item in ("us-cent", "golf-ball"):
        page = design_card(ready(name), ready_cargo(name, item), paper)
        assert not overlaps(page)
        assert "Trial 2: guess" in words(page)


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize(
    ("name", "item"),
    [("two-bend-tray", "us-cent"), ("fan-bowl", "us-cent"), ("three-bend-tray", "us-cent"), ("three-layer-trough", "nut-m3")],
)
def test_a_loading_plan_takes_one_page_and_numbers_every_object(name, item, paper):
    """Also where the card has room for every layer, but for none of its numbers."""
    cargo = ready_cargo(name, item)
    assert "see the loading plan" in words(design_card(ready(name), cargo, paper))
    (page,) = loading_plan(ready(name), cargo, paper)
    assert not overlaps(page)
    numbers = [int(item.text) for item in page.drawing().marks if isinstance(item, Label) and item.text.isdigit()]
    assert list(range(1, cargo.count + 1)) == sorted(numbers)
    assert CAUTIONS["small"] in words(page)
    assert CAUTIONS["water"] in words(page)


@pytest.mark.parametrize("name", ["plain-tray", "three-layer-trough"])
def test_objects_too_small_for_their_numbers_have_rings_that_stay_on_the_map(name):
    page = design_card(ready(name), ready_cargo(name, "nut-m3"))
    assert not overlaps(page)
    assert ("Go on like this" if name == "plain-tray" else "The numbers: see the loading plan") in words(page)


@pytest.mark.parametrize("paper", PAPERS)
def test_nothing_crosses_the_fold(paper):
    page = design_card(hand_design(), hand_cargo(), paper)
    fold = page.width_mm / 2
    for item in page.picture.marks:
        if isinstance(item, Label):
            xs = [x for x, _ in label_corners(item)]
            assert not min(xs) < fold < max(xs)
    (line,) = (i for i in page.picture.marks if isinstance(i, Line) and i.points[0][0] == fold == i.points[1][0])
    assert "mountain" == line.style


@pytest.mark.parametrize(("name", "paper"), ON_PAPERS)
def test_all_text_is_12_pt_but_for_the_numbers_in_objects_on_the_map(name, paper):
    """12 pt and up on what a pupil reads."""
    labels = [i for i in design_card(ready(name), ready_cargo(name), paper).drawing().marks if isinstance(i, Label)]
    assert all(i.size_mm >= PUPIL_MM - 1e-9 or (i.text.isdigit() and i.size_mm >= SMALL_MM) for i in labels if i.text != "!")


def test_it_says_what_a_team_needs():
    said = words(design_card(hand_design(), hand_cargo()))
    for phrase in ("floor 100 cm²", "wall 25 mm", "brim load 240 g", "likely 160 g (120 to 200)", "Tilt limits it"):
        assert phrase in said
    assert "load 2 mm closer to the middle, 20 g more" in said
    assert "US cent, 2.5 g each: likely 15 (12 to 18)" in said
    assert "layer 1" in said
    assert "layer 2" in said
    assert "Name" in said
    assert TRIALS <= said.count("Trial") + 1
    for caution in CAUTIONS.values():
        assert caution in said


def test_the_sheet_carries_its_sizes():
    design = hand_design()
    labels = [i.text for i in sized_sheet(design.pattern, design.floor, Box(0, 0, 70, 70)).marks if isinstance(i, Label)]
    assert {"25": 4, "100": 2, "150": 1} == Counter(labels)


def test_sizes_that_do_not_fit_their_line_are_left_out_and_halves_are_told():
    design = hand_design(5.5)
    labels = [i.text for i in sized_sheet(design.pattern, design.floor, Box(0, 0, 70, 70)).marks if isinstance(i, Label)]
    assert {"139": 2, "150": 1} == Counter(labels)
    large = sized_sheet(design.pattern, design.floor, Box(0, 0, 400, 400))
    assert 4 == sum(isinstance(i, Label) and i.text == "5.5" for i in large.marks)


@given(st.floats(0.0, 500.0), st.floats(0.0, 500.0), st.floats(0.0, 500.0))
def test_the_count_table_divides_exactly(a, b, c):
    """Against exact fractions: the load's digits as they are read, divided and rounded down."""
    low, likely, high = sorted((a, b, c))
    rows = count_rows(held(low, likely, high, high))
    assert list(MASSES) == [row[0] for row in rows]
    for each, *counts in rows:
        for load, count in zip((low, likely, high), counts, strict=True):
            exact = Fraction(repr(load)) / Fraction(str(each))
            assert count <= exact < count + 1


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("likely", [0.0, 3.0, 999.0, 9_000.0, 70_000.0])
def test_the_loads_of_the_smallest_and_the_largest_sheets_fit_the_card(likely, paper):
    """CHECKS 4: a sheet of 1 m gives at most 2 a^3 / 27 = 74 litres."""
    page = design_card(hand_design(likely=likely), hand_cargo(), paper)
    assert not overlaps(page)
    assert f"{int(likely * 2)}" in [i.text for i in page.picture.marks if isinstance(i, Label)]


def test_a_load_that_is_a_whole_number_of_objects_counts_them_all():
    """Binary fractions would give 2 for 0.3 / 0.1, and 4 for 0.5 / 0.1 less a hair."""
    rows = count_rows(held(0.3, 0.5, 100.0, 100.0), [Decimal("0.1"), Decimal("2.5")])
    assert [(3, 5, 1000), (0, 0, 40)] == [row[1:] for row in rows]


def test_masses_run_from_half_a_gram_to_twenty():
    assert (Decimal("0.5"), Decimal(20)) == (MASSES[0], MASSES[-1])
    assert sorted(MASSES) == list(MASSES)


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", NAMES.values(), ids=NAMES.keys())
def test_no_name_breaks_a_card(name, paper):
    design = hand_design()
    named = replace(design, pattern=replace(design.pattern, name=name))
    page = design_card(named, hand_cargo(), paper, warning=name)
    assert not overlaps(page)
    etree.fromstring(page_svg(page, checked=True).encode())


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("pattern", [Pattern(), crossing_creases(), slit_tray()], ids=["blank", "crossing", "slit"])
def test_what_is_no_hull_still_has_a_card_that_says_so(pattern, paper):
    done = study(pattern)
    page = design_card(Design(pattern, done.folded, done.hull), None, paper, warning="THIS PATTERN DOES NOT FOLD")
    assert not overlaps(page)
    assert "no load to tell" in words(page)
    assert "THIS PATTERN DOES NOT FOLD" in words(page)
    assert "How many" not in words(page)


def test_an_object_that_does_not_fit_is_told_instead_of_drawn():
    page = design_card(hand_design(), replace(hand_cargo(0), advice=("It does not fit on the floor.",)))
    assert "It does not fit on the floor." in words(page)
    assert not overlaps(page)


def test_a_card_is_painted_as_it_was_when_a_person_looked_at_it():
    """Golden file, compared as parsed XML. To renew it, write `page_svg` of the page and look at it."""
    golden = etree.parse(GOLDEN / "card.svg").getroot()
    same(golden, etree.fromstring(page_svg(design_card(hand_design(), hand_cargo()), checked=True).encode()))


def test_the_command_line_prints_a_card_for_the_object_named(tmp_path):
    assert 0 == main(["print", "plain-tray", "--what", "card,record", "--item", "golf ball", "--to", str(tmp_path)])
    assert {"plain-tray-card-a4.svg", "plain-tray-record-a4.svg", "plain-tray-a4.pdf"} == {p.name for p in tmp_path.iterdir()}
    assert "golf ball" in (tmp_path / "plain-tray-card-a4.svg").read_text(encoding="utf-8")


def test_an_object_nobody_knows_is_one_line_and_leaves_no_file(tmp_path, capsys):
    assert 2 == main(["print", "plain-tray", "--what", "card", "--item", "elephant", "--to", str(tmp_path)])
    assert 1 == len(capsys.readouterr().err.strip().splitlines())
    assert not list(tmp_path.iterdir())


def test_an_object_to_be_weighed_takes_the_mass_that_was_weighed(tmp_path, capsys):
    asked = ["print", "plain-tray", "--what", "card", "--item", "wood-screw-4x30", "--to", str(tmp_path)]
    assert 2 == main(asked)
    assert "Weigh yours" in capsys.readouterr().err
    assert 0 == main([*asked, "--each", "2.25"])
    for page in ("1", "2"):  # the screws are too thin for their numbers on the card
        assert "2.25 g each" in (tmp_path / f"plain-tray-card-a4-{page}.svg").read_text(encoding="utf-8")


def test_a_card_says_till_when_a_hull_is_held_by_hand_as_check_does():
    """A box of 20 x 20 mm with walls of 65 mm stands from 5.56 g on; rounded up, so much is wanted."""
    page = design_card(design_of(family_study("square-tray", wall=65)))
    assert "Empty it turns over. Hold it with a hand until 5.6 g stand in it" in words(page)
    assert "Empty it turns over" not in words(design_card(hand_design()))
    assert not overlaps(page)
