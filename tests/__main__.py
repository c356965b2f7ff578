"""The one test command. Import contracts, lint, types, then the tests with warnings as errors; each with its time.

python -m tests         everything
python -m tests quick   the tests of the modules that were changed since the main branch, and the house's rules
python -m tests bench   all benches, one after another, some four minutes: ratios and growth, kept in tests/bench/RESULTS.md
python -m tests slowest all tests; the slowest 20 are kept in tests/bench/SLOWEST.md
python -m tests freeze DIR   a directory that runs without Python, see freeze.py
"""

import os
import subprocess
import sys
import sysconfig
import time
from collections.abc import Iterable
from pathlib import Path

from tests.freeze import freeze

ROOT = Path(__file__).resolve().parent.parent
TESTS = ROOT / "tests"
SCRIPTS = Path(sysconfig.get_path("scripts"))
HOUSE = ("test_house.py", "test_house_names.py", "test_findings.py")
"""The rules of the house, and the laws that every finding obeys: in every quick run."""
PAGES = "test_window_minute.py"
"""The first minute of a pupil goes through every page of the window: tests of single pages take minutes together."""

RULES = [
    ("import contracts", [str(SCRIPTS / "lint-imports")]),
    ("lint", [sys.executable, "-m", "ruff", "check", "."]),
    ("format", [sys.executable, "-m", "ruff", "format", "--check", "--quiet", "."]),
    ("types", [sys.executable, "-m", "mypy"]),
]
PYTEST = [sys.executable, "-m", "pytest", "-n", "auto", "-p", "tests.slowest"]
SLOWEST = [*PYTEST, "--keep-slowest", str(TESTS / "bench" / "SLOWEST.md")]
BENCHES = [
    sys.executable, "-m", "pytest", "-n", "0", "-p", "no:cacheprovider", "-o", "addopts=-q", "--tb=line",
    "--results", str(TESTS / "bench" / "RESULTS.md"), *map(str, sorted((TESTS / "bench").glob("bench_*.py"))),
]  # fmt: skip
ONE_THREAD = {"OMP_NUM_THREADS": "1", "OPENBLAS_NUM_THREADS": "1"}
"""While times are compared no library takes the other core."""


def changed_files() -> list[str]:
    """Files that differ from the main branch, by their paths from the root; what is not in git yet among them."""
    for main in ("origin/main", "main", "HEAD"):
        base = _git("merge-base", "HEAD", main)
        if base:
            return sorted({*_git("diff", "--name-only", base[0]), *_git("ls-files", "--others", "--exclude-standard")})
    return []


def chosen_for(changed: Iterable[str], there: Iterable[str]) -> list[str]:
    """The test files, out of those that are there, that belong to changed files by their names.

    folder/cargo/division/drill.py is tested by test_cargo_division_drill.py; where there is none for the module, by all of its directory.
    """
    there, found = list(there), set(HOUSE)
    for path in map(Path, changed):
        if path.suffix != ".py":
            continue
        if path.parts[0] == "tests":
            found |= {path.name} & set(there)
        elif path.parts[0] == "folder":
            names = [*(path.parts[1:-1] or [path.stem]), path.stem]
            if names[:2] == ["window", "widgets"]:
                names = names[1:]  # window/widgets/field.py is tested by test_widgets_field.py
            near = ([t for t in there if t.startswith("_".join(["test", *names[:n]]))] for n in range(len(names), 0, -1))
            chosen = set(next(filter(None, near), []))
            found |= {PAGES} & set(there) if names[0] == "window" and len(chosen) > 4 else chosen
    return sorted(found)


def _git(*words: str) -> list[str]:
    done = subprocess.run(["git", *words], cwd=ROOT, capture_output=True, text=True, check=False)
    return done.stdout.split("\n")[:-1] if done.returncode == 0 else []


def main(argv: list[str]) -> int:
    if argv[:1] == ["freeze"] and len(argv) == 2:
        return freeze(Path(argv[1]))
    if argv not in ([], ["quick"], ["bench"], ["slowest"]):
        print("python -m tests [quick | bench | slowest | freeze DIR]", file=sys.stderr)
        return 2
    if argv == ["bench"]:
        return subprocess.run(BENCHES, cwd=ROOT, env=os.environ | ONE_THREAD, check=False).returncode
    if argv == ["slowest"]:
        return subprocess.run(SLOWEST, cwd=ROOT, check=False).returncode
    chosen = chosen_for(changed_files(), (path.name for path in TESTS.glob("test_*.py"))) if argv else []
    if chosen:
        print(f"Quick: {', '.join(chosen)}")
    began = time.monotonic()
    for name, command in [*RULES, ("tests", [*PYTEST, *(str(TESTS / name) for name in chosen)])]:
        print(f"== {name}", flush=True)
        start = time.monotonic()
        done = subprocess.run(command, cwd=ROOT, check=False)
        print(f"== {name}: {'failed' if done.returncode else 'passed'} in {time.monotonic() - start:.1f} s", flush=True)
        if done.returncode:
            return done.returncode
    print(f"== all in {time.monotonic() - began:.1f} s")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
