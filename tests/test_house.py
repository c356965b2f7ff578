"""Facts about the house itself: what others may import, errors, constants, where things lie, and what is not loaded."""

from __future__ import annotations

import ast
import math
import os
import re
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

import folder
from folder import errors, findings, places, units
from folder.findings import Finding, Remedy, Report
from folder.pattern.pattern import Crease, Pattern
from folder.studies import Study
from tests.drawings import tray

ROOT = Path(__file__).resolve().parent.parent
PACKAGE = Path(folder.__file__).resolve().parent
MODULES = sorted(PACKAGE.rglob("*.py"))


def test_the_trip_is_reached_from_the_package_itself(tmp_path: Path) -> None:
    """The promise to other programs: from folder import read_pattern, study."""
    folder.write_pattern(tray(), tmp_path / "tray.json")
    result = folder.study(folder.read_pattern(tmp_path / "tray.json"))
    assert isinstance(result, Study)
    assert pytest.approx(248.58, abs=0.005) == result.load.brim_g
    assert set(folder.__all__) >= {"read_pattern", "study", "write_pattern"}
    assert all(hasattr(folder, name) for name in folder.__all__)


def test_the_version_is_stated_once_and_the_same() -> None:
    assert tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]["version"] == folder.__version__


# Errors and findings.


def test_there_are_four_kinds_of_error_and_each_is_a_folder_error() -> None:
    kinds = [c for c in vars(errors).values() if isinstance(c, type) and issubclass(c, Exception)]
    assert {"FolderError", "UnreadableFile", "UnwritableFile", "BadRequest"} == {c.__name__ for c in kinds}
    assert all(issubclass(c, errors.FolderError) for c in kinds)


def test_an_error_is_one_line_of_what_where_found_and_remedy() -> None:
    error = errors.BadRequest("out of\n range", where="--wall", found="99 mm", remedy="Give 3 to\t70 mm")
    assert "--wall: out of range (found 99 mm). Give 3 to 70 mm" == str(error)
    assert "out of range" == str(errors.BadRequest("out of range"))


def test_a_report_puts_the_worst_first_and_otherwise_keeps_the_order() -> None:
    findings_ = [findings.Finding(code, level, None, "") for code, level in
            [("a", "note"), ("b", "warn"), ("c", "stop"), ("d", "warn"), ("e", "stop")]]  # fmt: skip
    report = findings.Report.of(findings_)
    assert ["c", "e", "b", "d", "a"] == [f.code for f in report.findings]
    assert ["c", "e"] == [f.code for f in report.stops]
    assert ["b", "a"] == [f.code for f in report.having("a", "b")]
    assert report == findings.Report.of(findings_[:2]) + findings.Report.of(findings_[2:])


# Numbers.


def test_every_constant_and_tolerance_says_why_or_where_from() -> None:
    body = ast.parse(Path(units.__file__).read_text()).body
    bodies = [body, *(node.body for node in body if isinstance(node, ast.ClassDef))]
    silent = {"DEG_PER_RAD", "MM3_PER_CM3", "TOLERANCES"}  # these speak for themselves
    for statements in bodies:
        for node, following in zip(statements, [*statements[1:], None], strict=True):
            if isinstance(node, ast.Assign | ast.AnnAssign):
                target = node.targets[0] if isinstance(node, ast.Assign) else node.target
                said = isinstance(following, ast.Expr) and isinstance(following.value, ast.Constant)
                assert said or ast.unparse(target) in silent, ast.unparse(node)


def test_tolerances_are_frozen_and_in_their_order() -> None:
    t = units.TOLERANCES
    with pytest.raises(AttributeError):
        t.snap_mm = 1.0  # type: ignore[misc]
    assert 0.0 < t.level_mm < t.snap_mm < t.closed_mm < t.take_up_mm
    assert (0.05, 0.3, 1.5) == (t.snap_mm, t.closed_mm, t.take_up_mm)


def test_a_degree_is_a_degree() -> None:
    assert math.isclose(math.pi / 2.0, 90.0 * units.RAD_PER_DEG)
    assert math.isclose(1.0, units.RAD_PER_DEG * units.DEG_PER_RAD)


def test_patterns_are_values() -> None:
    assert tray() == tray()
    assert hash(tray().creases) == hash(tray().creases)
    for value, name in ((Pattern(), "name"), (Crease((0.0, 0.0), (1.0, 1.0)), "sense")):
        with pytest.raises(AttributeError):
            setattr(value, name, "x")


# Where things lie.


def test_patterns_and_assets_are_where_the_package_looks_for_them() -> None:
    assert (places.PATTERNS / "plain-tray.json").is_file()
    assert places.ASSETS.is_dir()


def test_kept_work_goes_where_the_user_says(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("FOLDER_DATA", str(tmp_path / "kept"))
    assert tmp_path / "kept" == places.user_data()
    assert not (tmp_path / "kept").exists()
    monkeypatch.delenv("FOLDER_DATA")
    assert "folder" in places.user_data().parts


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="what the XDG Base Directory Specification says is for Linux")
def test_kept_work_goes_where_the_system_keeps_a_programs_data(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """XDG Base Directory Specification 0.8: XDG_DATA_HOME, and without it .local/share of the user."""
    monkeypatch.delenv("FOLDER_DATA", raising=False)
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("XDG_DATA_HOME", "/named/data")
    assert Path("/named/data/folder") == places.user_data()
    monkeypatch.setenv("XDG_DATA_HOME", "")
    assert tmp_path / ".local" / "share" / "folder" == places.user_data()


def test_importing_the_package_changes_nothing_outside_it() -> None:
    """No environment, no global settings; numpy is loaded when something is first asked for."""
    asked = """
import os, sys, threading
before = dict(os.environ), sys.getswitchinterval(), sys.getrecursionlimit(), threading.active_count(), list(sys.path)
import folder
loaded = "numpy" in sys.modules
import folder.studies, folder.search.families, folder.verdict, folder.paper.book, folder.cli
after = dict(os.environ), sys.getswitchinterval(), sys.getrecursionlimit(), threading.active_count(), list(sys.path)
print(before == after, loaded)
"""
    env = {name: value for name, value in os.environ.items() if "BLAS" not in name}
    done = subprocess.run([sys.executable, "-c", asked], capture_output=True, text=True, check=True, env=env)
    assert "True False" == done.stdout.strip()


def test_the_command_line_keeps_numpy_to_one_thread_and_heeds_what_the_user_set() -> None:
    asked = """
import os, sys
from folder.cli import main
assert "numpy" not in sys.modules  # it reads the setting when it is loaded
main(["count", "--holds", "10", "--each", "2"])
print(os.environ["OPENBLAS_NUM_THREADS"])
"""
    env = {name: value for name, value in os.environ.items() if "BLAS" not in name}
    for given, then in (({}, "1"), ({"OPENBLAS_NUM_THREADS": "2"}, "2")):
        done = subprocess.run([sys.executable, "-c", asked], capture_output=True, text=True, check=True, env=env | given)
        assert then == done.stdout.splitlines()[-1]


@pytest.mark.skipif(sys.platform == "win32", reason="no such permissions there")
def test_a_shared_file_can_be_read_by_others(tmp_path: Path) -> None:
    places.write_whole(tmp_path / "a", b"x")
    assert (b"x", 0o644) == ((tmp_path / "a").read_bytes(), (tmp_path / "a").stat().st_mode & 0o777)


# How it is built.


def test_no_module_grows_beyond_300_lines() -> None:
    long = {str(m.relative_to(PACKAGE)): n for m in MODULES if (n := len(m.read_text().splitlines())) > 300}
    assert {} == long


def test_every_cache_is_bounded() -> None:
    """At most 256 answers each; without a bound only what has one answer, or one for each weight of the font or grade of a school."""
    bounded, free = dict[str, int](), dict[str, list[str]]()
    for function in (f for m in MODULES for f in ast.walk(ast.parse(m.read_text())) if isinstance(f, ast.FunctionDef)):
        for decorator in function.decorator_list:
            called = ast.unparse(decorator)
            if called in ("cache", "functools.cache"):
                free[function.name] = [argument.arg for argument in function.args.args]
            elif called.startswith(("lru_cache", "functools.lru_cache")):
                found = re.fullmatch(r"\S*lru_cache\(maxsize=(\d+|[A-Z_]+)\)", called)  # no bound is none at all, and not None
                assert found is not None, function.name
                bounded[function.name] = int(found[1]) if found[1].isdigit() else 0
    assert len(bounded) > 20
    assert {} == {name: asked for name, asked in free.items() if asked not in ([], ["weight"], ["grade"])}
    assert {"rgb"} == {name for name, most in bounded.items() if most > 256}  # a colour is three numbers


def test_there_is_no_util() -> None:
    assert [] == [m for m in MODULES if "util" in m.stem or "helper" in m.stem or "misc" in m.stem]


def test_only_the_command_itself_leaves_the_interpreter() -> None:
    leaves = [m.relative_to(PACKAGE).as_posix() for m in MODULES if "sys.exit" in m.read_text()]
    assert {"__main__.py"} >= {name for name in leaves if not name.startswith("cli/")}


def test_checking_a_pattern_loads_neither_window_nor_paper_nor_what_only_the_tests_need() -> None:
    """What is not loaded costs no time at the start."""
    asked = "import sys; from folder.cli import main; main(['check', 'plain-tray']); print(*sorted(sys.modules))"
    done = subprocess.run([sys.executable, "-c", asked], capture_output=True, text=True, check=True)
    loaded = set(done.stdout.splitlines()[-1].split())
    heavy = {"pygame", "reportlab", "pypdfium2", "svgwrite", "scipy", "trimesh", "hypothesis", "PIL", "asyncio"}
    assert set() == heavy & loaded
    assert set() == {m for m in loaded if m.startswith(("folder.window", "folder.paper", "folder.draw", "folder.search"))}


def test_findings_that_say_the_same_are_one_with_their_places_and_one_remedy() -> None:
    fold = [Remedy("Fold it.", (k,), crimps=((k, 0.0),)) for k in range(3)]
    same = [Finding("c", "stop", (k, 0.0), "Here.", f"{k} mm.", fold[k]) for k in range(3)]
    other = Finding("c", "note", (9.0, 9.0), "Here.", "0 mm.")
    merged = Report.of([*same, other]).merged()
    assert ["stop", "note"] == [f.level for f in merged.findings]
    first = merged.findings[0]
    assert ((0.0, 0.0), ((0.0, 0.0), (1.0, 0.0), (2.0, 0.0)), 3) == (first.at, first.places, first.count)
    assert "0 mm. 1 mm. 2 mm." == first.detail
    assert Remedy("Fold it, at 3 places.", (0, 1, 2), crimps=((0.0, 0.0), (1.0, 0.0), (2.0, 0.0))) == first.remedy
    assert (((9.0, 9.0),), 1) == (merged.findings[1].everywhere, merged.findings[1].count)


def test_of_remedies_that_take_one_line_away_only_the_first_is_carried_out() -> None:
    same = [Finding("c", "stop", (k, 0.0), "Here.", "", Remedy("Turn it.", (7,))) for k in range(2)]
    assert Remedy("Turn it.", (7,)) == Report.of(same).merged().findings[0].remedy


@pytest.mark.parametrize("page", ["README.md", "assets/tutorial.md", "DEVELOPERS.md"])
def test_every_picture_and_page_that_a_page_names_is_there(page: str) -> None:
    named = re.findall(r"\]\(([^)#:]+)\)", (ROOT / page).read_text(encoding="utf-8"))
    assert [] == [name for name in named if not ((ROOT / page).parent / name).is_file()]


def test_the_modules_in_the_list_of_formulas_are_there() -> None:
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8").split("## Where each formula comes from")[1].split("\n## ")[0]
    named = [name for row in text.splitlines() if row.startswith("|") for name in re.findall(r"`([a-z_.]+)`", row.split("|")[2])]
    assert 25 < len(named)
    assert [] == [name for name in named if not list((ROOT / "folder").rglob(f"{name.strip('.').replace('.', '/')}*"))]
