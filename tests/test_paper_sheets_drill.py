"""The drill sheet: every problem with room to write, answers on pages of their own, and the way to make it again."""

import json
import re

import pytest
from lxml import etree

from folder.cargo.division.drill import GRADES, drill
from folder.cli import main
from folder.draw.picture import PUPIL_MM, SMALL_MM, Label, Line
from folder.errors import BadRequest
from folder.paper.pages import PAPERS
from folder.paper.sheets.drill import PER_PAGE, READ_MM, drill_pages
from folder.paper.svg import page_svg
from tests.overlap import overlaps
from tests.papers import pdf_text
from tests.test_paper_svg import GOLDEN, same


def labels(page) -> list[Label]:
    return [item for item in page.drawing().marks if isinstance(item, Label)]


def words(page) -> str:
    return " ".join(label.text for label in labels(page))


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("grade", GRADES)
@pytest.mark.parametrize("count", [1, 5, 12])
def test_nothing_is_in_the_way_on_any_page(grade, count, paper):
    for page in drill_pages(drill(grade, count, 3), grade, 3, paper):
        assert not overlaps(page)


def test_the_numbers_of_a_long_drill_stay_clear_of_the_words():
    pages = drill_pages(drill(6, 130, 1), 6, 1)
    assert not [found for page in pages[24:27] + pages[-2:] for found in overlaps(page)]


def test_every_problem_stands_once_and_in_order_and_no_answer_is_on_its_page():
    problems = drill(4, 12, 7)
    pages = drill_pages(problems, 4, 7)
    asked = [page for page in pages if page.kind.startswith("Drill")]
    assert -(-len(problems) // PER_PAGE) == len(asked)
    text = " ".join(words(page) for page in asked)
    places = [text.index(problem.question) for problem in problems]
    assert sorted(places) == places
    assert "Guess: from" not in text


def test_every_answer_stands_on_a_later_page_with_its_working():
    problems = drill(5, 12, 7)
    pages = drill_pages(problems, 5, 7)
    kinds = [page.kind.split(",")[0] for page in pages]
    assert sorted(kinds, reverse=True) == kinds  # drill, then answers
    text = " ".join(words(page) for page in pages if page.kind.startswith("Answers"))
    for problem in problems:
        assert f"{problem.answer} {problem.held_g} g to carry, {problem.each_g} g each." in text


def test_ten_problems_stand_on_a_page_with_a_line_to_write_on_below_each():
    """A line of a pupil's hand, 7 mm (common practice); the working goes on the back, so that a class takes half the paper."""
    (page, *_) = drill_pages(drill(6, 10, 1), 6, 1, "letter")
    lowest = min(label.at[1] for label in labels(page) if label.size_mm == READ_MM and "?" in label.text)
    rules = sorted(i.points[0][1] for i in page.picture.marks if isinstance(i, Line) and i.colour)
    assert 10 == len(rules) == sum("?" in label.text and label.size_mm == READ_MM for label in labels(page))
    assert lowest - rules[0] > 7.0


def test_the_sheet_says_small_how_to_make_it_again_and_that_makes_it_again(capsys):
    (page, *_) = drill_pages(drill(4, 6, 42), 4, 42)
    (again,) = (label for label in labels(page) if "folder drill" in label.text)
    assert SMALL_MM == again.size_mm
    arguments = again.text.split("folder drill ")[1].split()
    assert 0 == main(["drill", *arguments, "--json"])
    data = json.loads(capsys.readouterr().out)
    assert [p.question for p in drill(4, 6, 42)] == [p["question"] for p in data]


def test_what_pupils_read_is_12_pt_or_more():
    for page in drill_pages(drill(6, 6, 1), 6, 1):
        assert all(i.size_mm >= PUPIL_MM - 1e-9 for i in labels(page) if "folder drill" not in i.text)


def test_a_drill_of_nothing_is_refused():
    with pytest.raises(BadRequest):
        drill_pages((), 4, 1)


def test_a_drill_is_painted_as_it_was_when_a_person_looked_at_it():
    """Golden file, compared as parsed XML. To renew it, write `page_svg` of the page and look at it."""
    golden = etree.parse(GOLDEN / "drill.svg").getroot()
    same(golden, etree.fromstring(page_svg(drill_pages(drill(4, 3, 1), 4, 1)[0], checked=True).encode()))


def test_the_command_line_writes_the_pages(tmp_path, capsys):
    assert 0 == main(["drill", "--grade", "5", "--count", "6", "--to", str(tmp_path / "new"), "--paper", "letter"])
    written = capsys.readouterr().out.split()
    assert sorted(written) == sorted(str(path) for path in (tmp_path / "new").iterdir())
    (pdf,) = (tmp_path / "new").glob("*.pdf")
    assert "Answers, grade 5" in pdf_text(pdf.read_bytes())
    assert 0 == main(["drill", "--to", str(tmp_path / "new"), "--json"])
    assert {"problems", "written"} == set(json.loads(capsys.readouterr().out))


def test_a_paper_nobody_has_is_one_line(tmp_path, capsys):
    assert 2 == main(["drill", "--to", str(tmp_path), "--paper", "a0"])
    assert 1 == len(capsys.readouterr().err.strip().splitlines())


def test_the_guess_comes_before_the_answer_in_every_problem_and_is_told_with_it():
    problems = drill(5, 7, 2)
    pages = drill_pages(problems, 5, 2)
    asked = " ".join(words(page) for page in pages if page.kind.startswith("Drill"))
    places = [
        (asked.index(p.question), asked.index("My guess: from to nearer to Answer", asked.index(p.question))) for p in problems
    ]
    assert 7 == asked.count("My guess: from to nearer to Answer")
    assert sorted(places) == places
    data = " ".join(words(page) for page in pages if page.kind.startswith("Answers"))
    for problem in problems:
        low, high, nearer = problem.working.low, problem.working.high, problem.working.nearer
        side = "right in the middle" if nearer is None else f"nearer to {nearer}"
        assert f"Guess: from {low} to {high}, {side}." in data


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("grade", GRADES)
def test_ten_answers_fit_one_page(grade, paper, many):
    """A page with one answer on it would be paper wasted."""
    for seed in range(1, many(4, 60)):
        assert 2 == len(drill_pages(drill(grade, 10, seed), grade, seed, paper))


def test_what_is_said_shorter_to_fit_keeps_every_number():
    """The answers of a page, against the working they are made from."""
    for grade in GRADES:
        problems = drill(grade, 10, 6)
        data = words(drill_pages(problems, grade, 6)[-1])
        for problem in problems:
            (way,) = (step for step in problem.working.steps if step.way == problem.working.suggestion)
            numbers = [re.findall(r"[\d.]*\d", line) for line in way.lines]
            assert [str(problem.answer)] == numbers[-1]
            for line in numbers[:-1]:
                assert re.search(r"[^\d]*".join(map(re.escape, line)), data), (line, data)
