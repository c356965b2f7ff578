"""How often lines cross: against shapely, and what is too much for a file."""

import json
from itertools import pairwise

import numpy as np
import pytest
import shapely

from folder.errors import UnreadableFile
from folder.pattern.crossings import MOST_CROSSINGS, crossings_about
from folder.pattern.file import parse_pattern, pattern_bytes
from folder.pattern.pattern import Crease, Pattern, Sheet
from tests.drawings import tray


def across(count, random):
    """Lines from anywhere to anywhere."""
    return tuple(Crease(tuple(a), tuple(b)) for a, b in random.uniform(0.0, 1000.0, (count, 2, 2)).round(3).tolist())


@pytest.mark.parametrize(("count", "off"), [(0, 0.0), (1, 0.0), (60, 0.0), (600, 0.08)])
def test_crossings_are_those_that_shapely_finds(count, off):
    """All of few lines; of many a sample tells within 8 %."""
    creases = across(count, np.random.default_rng(1))
    lines = shapely.linestrings(np.array([(c.start, c.end) for c in creases]).reshape(-1, 2, 2))
    found = int(np.triu(shapely.crosses(lines[:, None], lines[None]), 1).sum())
    assert found == pytest.approx(crossings_about(creases), rel=off)


def test_lines_that_end_on_one_another_do_not_cross():
    assert 0 == crossings_about(tray(25.0).creases)


def test_a_file_of_a_tangle_is_refused_in_a_line_before_it_takes_the_memory():
    data = pattern_bytes(Pattern(sheet=Sheet(1000.0, 1000.0), creases=across(1500, np.random.default_rng(2))))
    with pytest.raises(UnreadableFile, match=r"cross too often.*crossings.*end lines where they meet"):
        parse_pattern(data)


def test_a_grid_of_thousands_of_short_lines_is_read():
    """Sixty lines each way, drawn piece by piece."""
    steps = [1000.0 * k / 60.0 for k in range(61)]
    pieces = [((x, a), (x, b)) for x in steps[1:-1] for a, b in pairwise(steps)][:2400]
    read = parse_pattern(pattern_bytes(Pattern(sheet=Sheet(1000.0, 1000.0), creases=tuple(Crease(a, b) for a, b in pieces))))
    assert len(pieces) == len(read.creases)
    assert MOST_CROSSINGS > crossings_about(read.creases)
    assert json.loads(pattern_bytes(read))["format"] == "foil-pattern"
