"""The pages of one pattern, written all or not at all."""

import errno
import json
from pathlib import Path

import pytest

from folder import places
from folder.cargo.item_list import find_item
from folder.errors import UnwritableFile
from folder.paper import book
from folder.paper.book import write_job
from folder.paper.job import CARD_ITEM, PrintJob, dimples_of
from folder.paper.kinds import KINDS
from folder.places import slug
from folder.studies import study
from folder.verdict import design_of
from tests.drawings import slit_tray
from tests.studied import ready_study


def job(name="plain-tray", item=CARD_ITEM, paper="a4"):
    made = ready_study(name)
    return PrintJob(design_of(made), made.water, paper, find_item(item))


def test_every_kind_is_a_file_and_all_are_one_book(tmp_path):
    written = write_job(job(), list(KINDS), tmp_path)
    assert sorted(tmp_path.iterdir()) == sorted(written)
    assert tmp_path / "plain-tray-a4.pdf" == written[-1]
    assert {kind for kind in KINDS if any(f"-{kind}" in path.name for path in written)} == set(KINDS)
    assert written[-1].read_bytes().startswith(b"%PDF")
    assert all(path.stat().st_size > 1000 for path in written)


def test_the_readme_names_every_kind_of_page_in_the_order_of_the_book():
    assert f"--what {','.join(KINDS)} " in Path("README.md").read_text()


def test_a_verdict_that_is_not_good_stands_on_every_page_of_the_pattern():
    cut = study(slit_tray())
    printed = PrintJob(design_of(cut), cut.water, "a4", find_item(CARD_ITEM))
    pages = [(kind.maker(printed), kind.maker(job())) for kind in KINDS.values()]
    of_the_pattern = [pair for pair in pages if pair[0] != pair[1]]  # the chart of signs is the same for all
    assert len(pages) - 1 == len(of_the_pattern)
    for cut_pages, good_pages in of_the_pattern:
        assert {"Needs a cut: not allowed."} == {page.warning for page in cut_pages}
        assert {""} == {page.warning for page in good_pages}


@pytest.mark.parametrize("after", [0, 1, 3])
def test_a_disk_that_is_full_half_way_leaves_nothing_behind_and_the_old_pages_unharmed(tmp_path, monkeypatch, after):
    (tmp_path / "plain-tray-template-a4.svg").write_text("old", encoding="utf-8")
    writes = []
    real = places.write_whole

    def full(path, data):
        writes.append(path)
        if len(writes) > after:
            raise UnwritableFile("the file cannot be written", where=str(path), found="No space left on device")
        real(path, data)

    for module in ("svg", "pdf"):
        monkeypatch.setattr(f"folder.paper.{module}.write_whole", full)
    with pytest.raises(UnwritableFile) as caught:
        write_job(job(), ["template", "card", "record"], tmp_path)
    assert "No space left" in str(caught.value)
    assert str(tmp_path) == caught.value.where
    assert ["plain-tray-template-a4.svg"] == [path.name for path in tmp_path.iterdir()]
    assert "old" == (tmp_path / "plain-tray-template-a4.svg").read_text(encoding="utf-8")


def test_a_directory_that_is_not_there_or_cannot_be_written_is_one_sentence(tmp_path, monkeypatch):
    with pytest.raises(UnwritableFile):
        write_job(job(), ["record"], tmp_path / "gone")

    def refused(**_):
        raise OSError(errno.EROFS, "Read-only file system")

    monkeypatch.setattr(book.tempfile, "TemporaryDirectory", refused)
    with pytest.raises(UnwritableFile) as caught:
        write_job(job(), ["record"], tmp_path)
    assert "Read-only" in caught.value.found
    assert [] == list(tmp_path.iterdir())


def test_a_directory_with_the_name_of_a_page_is_left_alone(tmp_path):
    (tmp_path / "plain-tray-a4.pdf").mkdir()
    with pytest.raises(UnwritableFile) as caught:
        write_job(job(), ["record"], tmp_path)
    assert "directory" in caught.value.found
    assert ["plain-tray-a4.pdf"] == [path.name for path in tmp_path.iterdir()]


def test_what_is_there_stays_and_the_new_pages_get_one_number(tmp_path):
    first = write_job(job(), ["record", "card"], tmp_path)
    for path in first:
        path.write_text("old", encoding="utf-8")
    first[0].unlink()
    second = write_job(job(), ["record", "card"], tmp_path)
    third = write_job(job(), ["record", "card"], tmp_path)
    expected = ["plain-tray-record{}-a4.svg", "plain-tray-card{}-a4.svg", "plain-tray{}-a4.pdf"]
    assert [name.format("-2") for name in expected] == [path.name for path in second]
    assert [name.format("-3") for name in expected] == [path.name for path in third]
    assert all("old" == path.read_text(encoding="utf-8") for path in first[1:])


def test_who_wants_the_old_pages_gone_says_so(tmp_path):
    first = write_job(job(), ["record"], tmp_path)
    for path in first:
        path.write_text("old", encoding="utf-8")
    assert first == write_job(job(), ["record"], tmp_path, replace=True)
    assert all(path.read_bytes() != b"old" for path in first)


def test_only_what_rolls_has_dimples_and_each_lies_under_its_place():
    assert [] == dimples_of(job(item="us-cent"))
    marbles = job(item="marble-16")
    assert marbles.cargo.stack.first.count == len(dimples_of(marbles))
    # The plain tray's floor lies on the sheet as it stands: the middles of both are the same place.
    for (x, y), (px, py) in zip(dimples_of(marbles), marbles.cargo.stack.first.places_mm.tolist(), strict=True):
        assert (x - 75, y - 75) == pytest.approx((px, py), abs=1e-6)


def test_pages_are_alike_every_time(tmp_path):
    for name in ("one", "two"):
        (tmp_path / name).mkdir()
    one, two = (write_job(job(), ["template", "steps"], tmp_path / name) for name in ("one", "two"))
    assert [p.read_bytes() for p in one] == [p.read_bytes() for p in two]


@pytest.mark.parametrize(
    ("name", "expected"),
    [("My Hull!", "my-hull"), ("../../x", "x"), ("", "pattern"), ("Žluť Ærø Łódź", "zlut-aero-lodz"), ("小明", "pattern")],
)
def test_a_name_is_a_plain_part_of_a_file_name(name, expected):
    assert expected == slug(name)


def test_the_object_list_names_the_coin():
    shipped = json.loads((Path(places.ASSETS) / "objects.json").read_text(encoding="utf-8"))
    assert CARD_ITEM in {each["name"] for each in shipped["objects"]}
