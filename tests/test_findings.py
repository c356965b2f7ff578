"""The table of findings: every one the package makes is in it, and the guide for developers says the same."""

import ast
from pathlib import Path

import pytest

from folder import study
from folder.findings import CODES, LEVELS
from folder.verdict import STOP_SENTENCES, verdict_of
from tests.drawings import drawn, line, slit_tray

PACKAGE = Path(__file__).parent.parent / "folder"
AGREED = {
    "off-sheet", "stops-short", "lone-line", "two-senses", "will-not-close", "flat-rule", "passes-through", "cut-drawn", "open-seam",
    "open-side", "edge-dips", "loose-flap", "no-floor", "floor-breaks", "tips-over", "tips-empty", "too-close", "thick-stack",
    "thin-floor", "over-footprint", "over-wall", "wrong-sheet", "two-holds",
}  # fmt: skip
"""What other programs may rely on."""


def made() -> list[tuple[str, str, str]]:
    """Where the package makes a finding, its code and its level, as they stand in the source."""
    found = []
    for path in sorted(PACKAGE.rglob("*.py")):
        tree = ast.parse(path.read_text())
        names = {
            t.id: node.value.value
            for node in ast.walk(tree)
            if isinstance(node, ast.Assign) and isinstance(node.value, ast.Constant)
            for t in node.targets
            if isinstance(t, ast.Name)
        }
        for call in ast.walk(tree):
            if isinstance(call, ast.Call) and isinstance(call.func, ast.Name) and call.func.id == "Finding":
                code, level = call.args[:2]
                name = code.value if isinstance(code, ast.Constant) else names[code.id]
                found.append((f"{path.relative_to(PACKAGE)}:{call.lineno}", name, level.value))
    return found


def test_every_finding_the_package_makes_is_in_the_table_with_its_level():
    found = made()
    assert 20 < len(found)
    assert [] == [one for one in found if one[1] not in CODES or one[2] not in CODES[one[1]].levels]


def test_the_codes_that_were_agreed_are_in_the_table_each_once():
    assert AGREED <= set(CODES)
    assert all(name == code.name and set(code.levels) <= set(LEVELS) for name, code in CODES.items())


def test_the_guide_has_the_table_as_it_is():
    rows = [f"| `{c.name}` | {'/'.join(c.levels)} | {c.text} |" for c in CODES.values()]
    lines = (PACKAGE.parent / "DEVELOPERS.md").read_text().splitlines()
    assert rows == [one for one in lines if one.startswith("| `") and one.split("`")[1] in CODES]


@pytest.mark.parametrize("code", [code.name for code in CODES.values() if code.verdict])
def test_a_stop_that_keeps_the_sheet_from_folding_has_a_verdict_with_a_sentence_of_its_own(code):
    assert CODES[code].verdict in {verdict for verdict, _, _ in STOP_SENTENCES}


def test_a_stop_of_the_hull_does_not_keep_the_sheet_from_folding():
    assert "cut" == verdict_of(study(slit_tray())).code
    assert "unfinished-line" == verdict_of(study(drawn([line((0.0, 75.0), (60.0, 75.0), "valley", 90.0)]))).code
