"""The compare sheet: 2 to 8 designs on one scale and one axis, and the verb that makes it."""

import json
import math

import pytest
from lxml import etree
from msgspec.structs import replace

from folder.cli import main
from folder.draw.picture import PUPIL_MM, Area, Label, box_round
from folder.draw.style import FOIL
from folder.errors import BadRequest
from folder.paper.design import NO_LOAD, Design
from folder.paper.pages import PAPERS
from folder.paper.sheets.compare import FEWEST, MOST, compare_sheet
from folder.paper.svg import page_svg
from folder.studies import study
from folder.verdict import design_of
from tests.designs import READY, hand_design, ready
from tests.drawings import crossing_creases
from tests.overlap import overlaps
from tests.studied import family_study
from tests.test_paper_svg import GOLDEN, NAMES, SVG, same


def texts(page) -> list[str]:
    return [item.text for item in page.drawing().marks if isinstance(item, Label)]


def broken() -> Design:
    done = study(crossing_creases())
    return Design(done.pattern, done.folded, done.hull)


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("count", range(FEWEST, MOST + 1))
def test_nothing_is_in_the_way_for_any_number_of_ready_patterns(count, paper):
    for start in range(0, len(READY), count):
        names = (READY + READY)[start : start + count]
        assert not overlaps(compare_sheet([ready(name) for name in names], paper))


def test_all_hulls_are_drawn_to_one_scale():
    """Floors 100 mm and 50 mm wide, walls 25 mm and 50 mm high: what is seen of them measures as they do."""
    page = compare_sheet([hand_design(25.0), hand_design(25.0, 80.0), hand_design(50.0)])
    boxes = [[], [], []]
    height = page.body.height
    for item in page.picture.marks:
        if isinstance(item, Area) and item.edge is None and box_round(item.rings[0]).right < page.body.left + 63.0:
            box = box_round(item.rings[0])
            boxes[min(int((page.body.top - box.middle[1]) / min(height / 3, 54.0)), 2)].append(box)
    wide = [max(b.right for b in row) - min(b.left for b in row) for row in boxes]
    assert pytest.approx(wide[0]) == wide[1]
    assert pytest.approx(0.5, abs=0.15) == wide[2] / wide[0]


def test_the_bars_stand_on_one_axis():
    page = compare_sheet([hand_design(likely=160.0), hand_design(likely=80.0)])
    bands = [box_round(i.rings[0]) for i in page.picture.marks if isinstance(i, Area) and i.fill == FOIL and i.edge == "outline"]
    first, second, _key = bands
    assert pytest.approx(2.0) == first.width / second.width


def test_names_and_numbers_stand_beside_each_hull():
    said = " ".join(texts(compare_sheet([hand_design(25.0), hand_design(50.0, 90.0)])))
    for phrase in ("floor 100 cm², wall 25 mm", "floor 25 cm², wall 50 mm", "16 folds", "brim 240 g, limit: tilt"):
        assert phrase in said
    assert "likely 90 g (67 to 112)" in said


def test_a_design_that_carries_nothing_yet_is_shown_and_says_so():
    page = compare_sheet([hand_design(), broken()])
    assert NO_LOAD in texts(page)
    assert not overlaps(page)
    assert not overlaps(compare_sheet([broken(), broken()]))


@pytest.mark.parametrize("count", [0, 1, 9])
def test_fewer_than_two_and_more_than_eight_are_refused(count):
    with pytest.raises(BadRequest, match="2 to 8"):
        compare_sheet([hand_design()] * count)


@pytest.mark.parametrize("paper", PAPERS)
def test_no_name_breaks_the_sheet(paper):
    design = hand_design()
    named = [replace(design, pattern=replace(design.pattern, name=name)) for name in NAMES.values()]
    for group in (named[:4], named[4:8], named[-2:]):
        page = compare_sheet(group, paper)
        assert not overlaps(page)
        etree.fromstring(page_svg(page, checked=True).encode())


def test_all_text_is_12_pt():
    labels = [i for i in compare_sheet([hand_design()] * 8, "letter").drawing().marks if isinstance(i, Label)]
    assert all(label.size_mm >= PUPIL_MM - 1e-9 for label in labels)


def test_a_compare_sheet_is_painted_as_it_was_when_a_person_looked_at_it():
    """Golden file, compared as parsed XML. To renew it, write `page_svg` of the page and look at it."""
    golden = etree.parse(GOLDEN / "compare.svg").getroot()
    page = compare_sheet([hand_design(), hand_design(30.0, 120.0), broken()])
    same(golden, etree.fromstring(page_svg(page, checked=True).encode()))


def test_the_command_line_tells_a_table_and_writes_a_chart_and_the_sheet(tmp_path, capsys):
    chart = tmp_path / "chart.svg"
    assert 0 == main(["compare", "plain-tray", "leaning-tray", "--svg", str(chart), "--to", str(tmp_path / "sheet")])
    head, *rows = capsys.readouterr().out.splitlines()
    assert "likely g" in head
    # The best first, and why.
    assert rows[0].startswith("Leaning tray")
    assert rows[1].startswith("Plain tray")
    assert rows[2].startswith("Leaning tray: The most: 25 g more than “Plain tray”.")
    assert {"compare-a4.svg", "compare-a4.pdf"} == {path.name for path in (tmp_path / "sheet").iterdir()}
    said = [t.text for t in etree.parse(chart).getroot().iter(f"{SVG}text")]
    assert {"Plain tray", "Leaning tray"} <= set(said)


def test_the_json_tells_the_same_loads_as_the_table(capsys):
    assert 0 == main(["compare", "plain-tray", "leaning-tray", "--json"])
    designs = json.loads(capsys.readouterr().out)["designs"]
    assert 0 == main(["compare", "plain-tray", "leaning-tray"])
    rows = capsys.readouterr().out.splitlines()[1:3]
    for design, row in zip(designs, rows, strict=True):
        load = design["load"]
        assert load["low_g"] < load["likely_g"] < load["high_g"] < load["brim_g"]
        loads = [f"{math.floor(load[k])}" for k in ("brim_g", "low_g", "likely_g", "high_g")]  # no more is promised
        assert [*loads, load["limited_by"]] == row.split()[-5:]


def test_a_pattern_that_does_not_fold_is_in_the_table_and_makes_the_exit_code_1(tmp_path, capsys):
    from folder.pattern.file import write_pattern

    write_pattern(crossing_creases(), tmp_path / "broken.json")
    assert 1 == main(["compare", "plain-tray", str(tmp_path / "broken.json")])
    assert "does not fold" in capsys.readouterr().out


@pytest.mark.parametrize("files", [["plain-tray"], ["plain-tray"] * 9, ["plain-tray", "no such file"]])
def test_what_cannot_be_compared_is_one_line(files, capsys):
    assert 2 == main(["compare", *files])
    assert 1 == len(capsys.readouterr().err.strip().splitlines())


def test_a_hull_that_turns_over_empty_and_one_that_does_not_fold_say_so_and_no_wall_of_nothing():
    box = design_of(family_study("square-tray", wall=65))
    crossing = design_of(study(crossing_creases()))
    page = compare_sheet([hand_design(), box, crossing])
    said = texts(page)
    assert 1 == said.count("turns over empty: hold it")
    assert not any("wall 0" in text for text in said)
    assert "4 points will not close yet." in " ".join(said)
    assert not overlaps(page)
