"""Rules as data: what is read back is what was written, and what cannot be is said."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from folder.errors import BadRequest, UnreadableFile
from folder.event.rules import EventObject, Points, Rules, parse_rules, rules_json
from tests.strategies import tried

SIDE = st.floats(0.01, 1e6)
OBJECT = st.builds(EventObject, st.text("abc", min_size=1), st.none() | SIDE, st.none() | st.integers(1, 9))


@given(
    st.builds(
        Rules,
        name=st.text(max_size=20),
        sheet_mm=st.tuples(SIDE, SIDE),
        sheets=st.integers(1, 9),
        cuts=st.sampled_from(["not-allowed", "allowed"]),
        footprint_mm=st.none() | st.tuples(SIDE, SIDE),
        wall_most_mm=st.none() | SIDE,
        objects=st.lists(OBJECT, max_size=3).map(tuple),
        order=st.permutations(["points", "held", "sheets", "guess"]).map(tuple),
        points=st.builds(Points, st.floats(-9, 9), st.floats(-9, 9), st.floats(-9, 9)),
    )
)
@tried(60)
def test_rules_that_are_written_are_read_back(rules):
    assert rules == parse_rules(rules_json(rules), "rules.json")


def test_a_mark_that_editors_put_before_a_text_is_passed_over():
    assert Rules(sheets=1) == parse_rules(b'\xef\xbb\xbf{"sheets": 1}', "rules.json")


def test_what_is_left_out_keeps_its_default():
    assert Rules(sheets=1) == parse_rules(b'{"sheets": 1}', "rules.json")


@pytest.mark.parametrize(
    ("text", "word"),
    [
        (b"", "JSON"),
        (b"[1]", "rules.json"),
        (b'{"shets": 1}', "shets"),
        (b'{"sheets": 0}', "at least one sheet"),
        (b'{"sheets": "two"}', r"\$.sheets"),
        (b'{"footprint_mm": [75]}', "footprint_mm"),
        (b'{"footprint_mm": [75, -1]}', "footprint_mm"),
        (b'{"wall_most_mm": 1e999}', "rules.json"),
        (b'{"order": ["points"]}', "what gives points"),
        (b'{"order": ["held", "held"]}', "order"),
        (b'{"order": []}', "order"),
        (b'{"order": ["speed"]}', "order"),
        (b'{"order": ["guess"], "guess": false}', "nobody is asked"),
        (b'{"objects": [{"name": " "}]}', "name"),
        (b'{"objects": [{"name": "cent", "mass_g": 0}]}', "mass_g"),
        (b'{"name": "\xff"}', "not JSON"),
        (b'{"sheets": 9' + b"9" * 400 + b"}", "sheets"),
        (b'{"objects": [{"name": "cent", "count": 9' + b"9" * 400 + b"}]}", "count"),
    ],
)
def test_what_is_no_rules_is_said_with_its_place(text, word):
    with pytest.raises(UnreadableFile, match=word) as raised:
        parse_rules(text, "rules.json")
    assert str(raised.value).startswith("rules.json")
    assert "\n" not in str(raised.value)


def test_rules_made_in_the_program_are_checked_too():
    with pytest.raises(BadRequest, match="wall_most_mm"):
        Rules(wall_most_mm=float("nan"))
