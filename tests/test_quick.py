"""Which tests the quick run takes for a change."""

import pytest

from tests.__main__ import HOUSE, TESTS, changed_files, chosen_for, main

THERE = [
    "test_house.py", "test_cargo_division_drill.py", "test_cargo_item.py", "test_studies.py", "test_widgets_field.py",
    "test_window_minute.py", "test_window_pages.py", "test_window_water.py", "test_window_drag.py",
    "test_window_tools_snap.py", "test_cli.py", "test_cli_faults.py",
]  # fmt: skip


@pytest.mark.parametrize(
    ("changed", "chosen"),
    [
        ([], []),
        (["README.md", "patterns/plain-tray.json"], []),
        (["folder/cargo/division/drill.py"], ["test_cargo_division_drill.py"]),
        (
            ["folder/cargo/packing/rows.py"],
            ["test_cargo_division_drill.py", "test_cargo_item.py"],
        ),  # no test of its own: its neighbours'
        (["folder/studies.py"], ["test_studies.py"]),
        (["folder/cli/verbs/make.py"], ["test_cli.py", "test_cli_faults.py"]),
        (["folder/window/widgets/field.py"], ["test_widgets_field.py"]),
        (["folder/window/tools/snap.py"], ["test_window_tools_snap.py"]),
        (["folder/window/app.py", "folder/window/fold/card.py"], ["test_window_minute.py"]),  # not every page of the window
        (["tests/test_studies.py", "tests/oracles.py"], ["test_studies.py"]),
    ],
)
def test_a_changed_module_has_its_own_tests_run_and_the_house_s_rules(changed, chosen):
    assert sorted([*chosen, *HOUSE]) == chosen_for(changed, THERE)


def test_every_test_file_is_chosen_when_it_is_changed_itself():
    there = [path.name for path in TESTS.glob("test_*.py")]
    assert sorted(there) == chosen_for([f"tests/{name}" for name in there], there)


def test_what_is_changed_is_told_by_paths_from_the_root():
    assert all("\n" not in path and not path.startswith("/") for path in changed_files())


def test_another_word_than_quick_is_refused(capsys):
    assert 2 == main(["everything"])
    assert "quick" in capsys.readouterr().err
