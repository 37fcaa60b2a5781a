"""See that a Chromium and `certutil` are there for the browser tests; install Debian's where that is possible, else say how."""

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

SAY_TRUST = (
    "certutil is not installed: the browser tests go on, but that a phone trusts the bench's own authority is not proven.\n"
    "On Debian or Ubuntu: run `apt-get update && apt-get install -y libnss3-tools` as root."
)


def find() -> str | None:
    """The browser named in the environment, or the first known one on the path."""
    named = os.environ.get("LOAMWRIGHT_CHROMIUM")
    return named if named else next((path for name in NAMES if (path := shutil.which(name))), None)


def missing() -> list[str]:
    """Debian's packages of what is not there."""
    return [*([] if find() else ["chromium"]), *([] if shutil.which("certutil") else ["libnss3-tools"])]


def install(packages: list[str]) -> None:
    """Install Debian's packages where this is root's to do; what could not be had is looked at afterwards."""
    if os.geteuid() != 0 or not shutil.which("apt-get"):
        return
    environment = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
    for command in (["apt-get", "update", "-q"], ["apt-get", "install", "-y", "-q", "--no-install-recommends", *packages]):
        subprocess.run(command, env=environment, check=False)


def main() -> None:
    """Find a browser, or install it as root on Debian, or stop with a sentence; without certutil it says what is not proven."""
    if packages := missing():
        install(packages)
    if not find():
        sys.exit(SAY)
    if not shutil.which("certutil"):
        sys.stderr.write(SAY_TRUST + "\n")


if __name__ == "__main__":
    main()
