"""`folder objects`: the list searched, and one's own kept in it."""

from __future__ import annotations

import json

import pytest

from folder.cargo.item_list import own_file


def test_the_list_is_searched_by_mass(cli) -> None:
    code, out, _ = cli("objects", "3.06", "g", "--json")
    assert (0, ["euro-2-cent"]) == (code, [item["name"] for item in json.loads(out)])


def test_an_object_that_is_not_there_has_its_nearest(cli) -> None:
    code, out, err = cli("objects", "marbel")
    assert (2, "", 1) == (code, out, err.count("\n"))
    assert "'marble-14'" in err
    assert "objects add" in err


def test_an_own_object_is_kept_used_and_taken_out_again(cli) -> None:
    """A box of 100 by 100 by 25 mm under 130 g sinks 13 mm in: ten of 13 g are well within it."""
    assert 0 == cli("objects", "add", "Glass stone", "--shape", "disc", "--size", "18,9", "--mass", "13", "--stacks")[0]
    assert "Glass stone: disc, 18 × 9 mm, 13 g" in cli("objects", "stone")[1]
    code, out, _ = cli("cargo", "plain-tray", "--item", "glass stone", "--count", "10", "--json")
    assert (0, 10) == (code, len(json.loads(out)["placed"]))
    assert 0 == cli("objects", "remove", "glass stone")[0]
    assert 2 == cli("objects", "glass", "stone")[0]


def test_an_own_object_wins_over_the_shipped_one_of_its_name_until_it_is_taken_out(cli) -> None:
    cli("objects", "add", "us cent", "--shape", "disc", "--size", "19,1.5", "--mass", "2.6")
    assert 2.6 == json.loads(cli("objects", "us cent", "--json")[1])[0]["mass_g"]
    cli("objects", "remove", "us-cent")
    assert 2.5 == json.loads(cli("objects", "us-cent", "--json")[1])[0]["mass_g"]


@pytest.mark.parametrize("name", ["Шайба", "石", "…", "=1+1", "a" * 300, "naïve bead"])
def test_any_name_can_be_kept_and_found_again_by_it(cli, name: str) -> None:
    assert 0 == cli("objects", "add", name, "--shape", "ball", "--size", "8", "--mass", "0,4")[0]
    code, _, err = cli("objects", "remove", name)
    assert (0, "") == (code, err)


@pytest.mark.parametrize(
    ("call", "what"),
    [
        (("add", "x", "--shape", "disc", "--size", "3"), "2 numbers"),
        (("add", "x", "--shape", "ball", "--size", "3,4"), "one number"),
        (("add", "x", "--shape", "dise", "--size", "3,4"), "disc"),
        (("add", "x", "--shape", "ball", "--size", "-3"), "not possible"),
        (("add", "x", "--shape", "ball", "--size", "nan"), "not possible"),
        (("add", "x", "--shape", "ball", "--size", "8", "--mass", "nothing"), "grams"),
        (("add", "x", "--shape", "ball", "--size", "8", "--mass", "0"), "more than 0"),
        (("add", "x", "--shape", "ball", "--size", "8", "--stacks"), "stand"),
        (("add", " ", "--shape", "ball", "--size", "8"), "name"),
        (("add", "a\nb", "--shape", "ball", "--size", "8"), "label"),
        (("remove", "us-cent"), "stays"),
        (("remove", "nothing"), "no object of that name"),
    ],
)
def test_what_cannot_be_is_said_in_a_line_and_nothing_is_kept(cli, call: tuple[str, ...], what: str) -> None:
    code, out, err = cli("objects", *call)
    assert (2, "", 1) == (code, out, err.count("\n"))
    assert what in err
    assert not own_file().exists()


def test_a_list_that_cannot_be_read_is_said_and_never_written_over(cli) -> None:
    own_file().parent.mkdir(parents=True, exist_ok=True)
    own_file().write_text("{broken")
    code, out, err = cli("objects", "us-cent")
    assert (0, True) == (code, "US cent" in out)
    assert "not an object list" in err
    assert 2 == cli("objects", "add", "x", "--shape", "ball", "--size", "8")[0]
    assert "{broken" == own_file().read_text()
