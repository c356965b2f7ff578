"""The one test command: `python -m tests`. Import contracts, lint, types, then the tests with warnings as errors."""

import subprocess
import sys
import sysconfig
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
SCRIPTS = Path(sysconfig.get_path("scripts"))

STAGES = [
    ("import contracts", [str(SCRIPTS / "lint-imports")]),
    ("lint", [sys.executable, "-m", "ruff", "check", "."]),
    ("types", [sys.executable, "-m", "mypy"]),
    ("tests", [sys.executable, "-m", "pytest", "-n", "auto"]),
]


def main() -> int:
    for name, command in STAGES:
        print(f"== {name}", flush=True)
        done = subprocess.run(command, cwd=ROOT, check=False)
        if done.returncode:
            print(f"== {name}: failed")
            return done.returncode
    return 0


if __name__ == "__main__":
    sys.exit(main())
