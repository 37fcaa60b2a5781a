"""Fill .venv from hashed lock files with nothing but the standard library; where venv lacks pip, the outer pip fills it."""

import os
import subprocess
import sys
import venv
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
VENV = ROOT / ".venv"
PYTHON = VENV / "bin" / "python"


def run(*command: str | Path) -> None:
    """Run one command; stop with its exit code and a sentence when it fails."""
    done = subprocess.run([str(part) for part in command], cwd=ROOT, check=False)
    if done.returncode:
        sys.exit(f"Setting up stopped: {' '.join(map(str, command))} ended with {done.returncode}. Read the lines above.")


def pip() -> list[str | Path]:
    """The pip that can write into .venv: its own, or the one beside the interpreter that runs this."""
    own: list[str | Path] = [PYTHON, "-m", "pip"]
    for attempt in ([*own, "--version"], [PYTHON, "-m", "ensurepip", "-q"]):
        if subprocess.run([str(part) for part in attempt], capture_output=True, check=False).returncode == 0:
            return own
    return [sys.executable, "-m", "pip", "--python", PYTHON]


def main(locks: list[str]) -> None:
    """Make .venv where it is missing and install the locked packages and this project into it."""
    if sys.version_info < (3, 11):  # noqa: UP036 (an older interpreter may run this file, to be told so)
        sys.exit(f"Loamwright needs Python 3.11 or newer; this is {sys.version.split()[0]}. Try `make PYTHON=python3.11 ...`.")
    os.environ["PIP_DISABLE_PIP_VERSION_CHECK"] = "1"
    if not PYTHON.exists():
        venv.EnvBuilder(with_pip=False, symlinks=True).create(VENV)
    installer = pip()
    requirements = [part for lock in locks for part in ("-r", lock)]
    run(*installer, "install", "-q", "--require-hashes", "--only-binary", ":all:", *requirements)
    run(*installer, "install", "-q", "--no-deps", "--no-build-isolation", "-e", ROOT)


if __name__ == "__main__":
    main(sys.argv[1:])
