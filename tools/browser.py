"""See that a Chromium is there for the browser tests; install Debian's where that is possible, else say how."""

import os
import shutil
import subprocess
import sys

FLAGS = ["--no-sandbox", "--disable-background-networking", "--disable-component-update", "--no-first-run"]
NAMES = ("chromium", "chromium-browser", "google-chrome")
SAY = (
    "The browser tests need Chromium, and it is not installed.\n"
    "On Debian or Ubuntu: run `apt-get update && apt-get install -y chromium` as root, then `make test` again.\n"
    "Elsewhere: install Chromium and name it with LOAMWRIGHT_CHROMIUM=/path/to/chromium."
)


def find() -> str | None:
    """The browser named in the environment, or the first known one on the path."""
    named = os.environ.get("LOAMWRIGHT_CHROMIUM")
    return named if named else next((path for name in NAMES if (path := shutil.which(name))), None)


def main() -> None:
    """Find a browser, or install it as root on Debian, or stop with a sentence."""
    if find():
        return
    if os.geteuid() == 0 and shutil.which("apt-get"):
        environment = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
        for command in (["apt-get", "update", "-q"], ["apt-get", "install", "-y", "-q", "--no-install-recommends", "chromium"]):
            if subprocess.run(command, env=environment, check=False).returncode:
                sys.exit(SAY)
    if not find():
        sys.exit(SAY)


if __name__ == "__main__":
    main()
