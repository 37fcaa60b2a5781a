"""The documentation against the program: links, commands, targets, kinds, sources, glossary. Nothing here checks a number."""

import re
import subprocess
import sys
import tomllib
from collections import Counter
from pathlib import Path

import click
import pytest

from loamwright.cli.main import main
from loamwright.notebook.kinds import kinds

ROOT = Path(__file__).resolve().parents[2]
PAGES = sorted([ROOT / "README.md", ROOT / "CHANGELOG.md", *(ROOT / "docs").rglob("*.md")])
HAND_WRITTEN = [page for page in PAGES if page.name not in ("entry-kinds.md", "commands.md")]
NAMES = [str(page.relative_to(ROOT)) for page in PAGES]
LINK = re.compile(r"\[[^\]]*\]\(([^)\s]+)\)")
HEADING = re.compile(r"^#+ (.+)$", re.MULTILINE)
KEY = re.compile(r"^### (\S+)$", re.MULTILINE)
PATH = re.compile(r"`((?:src|docs|tests|tools|studies|benchmarks)/[^`\s*<]+)`")
REFERENCES = (ROOT / "docs" / "references.md").read_text(encoding="utf-8")
GLOSSARY = (ROOT / "docs" / "glossary.md").read_text(encoding="utf-8")
MAKEFILE = (ROOT / "Makefile").read_text(encoding="utf-8")
TARGETS = re.findall(r"^([a-z]+):", MAKEFILE, re.MULTILINE)
# Folders of somebody's machine, and addresses of it.
FORBIDDEN = (*(f"/{folder}/" for folder in ("work", "tmp", "home", "root")), "localhost:", "C:\\")
# Numbers that look like keys of sources in square brackets are none; neither are the words of other notations.
QUOTED_KEY = re.compile(r"(?<![\w\]`(\"'])\[([a-z][a-z0-9]*(?:-[a-z0-9]+)+)\](?!\()")


def text_of(page: Path) -> str:
    return page.read_text(encoding="utf-8")


def anchor(heading: str) -> str:
    """A heading as its link anchor, the way the usual renderers make it."""
    plain = re.sub(r"[`*]", "", heading.strip().lower())
    return re.sub(r"[^\w\- ]", "", plain).replace(" ", "-")


@pytest.mark.parametrize("page", PAGES, ids=NAMES)
def test_relative_links_resolve(page: Path) -> None:
    broken = []
    for target in LINK.findall(text_of(page)):
        if re.match(r"[a-z]+:", target):
            continue
        path, _, part = target.partition("#")
        found = (page.parent / path).resolve() if path else page
        if not found.exists() or (part and part not in map(anchor, HEADING.findall(text_of(found)))):
            broken.append(target)
    assert broken == []


@pytest.mark.parametrize("page", PAGES, ids=NAMES)
def test_paths_named_in_the_text_exist(page: Path) -> None:
    assert [path for path in PATH.findall(text_of(page)) if not (ROOT / path).exists()] == []


@pytest.mark.parametrize("page", PAGES, ids=NAMES)
def test_no_path_of_one_machine(page: Path) -> None:
    assert [each for each in FORBIDDEN if each in text_of(page)] == []


def command_lines(page: Path) -> list[list[str]]:
    """Every call of the program in a page: lines of shell blocks, and code within the text."""
    blocks = re.findall(r"```sh\n(.*?)```", text_of(page), re.DOTALL)
    joined = [line for block in blocks for line in block.replace("\\\n", " ").splitlines()]
    inline = re.findall(r"`(loamwright [^`]+)`", text_of(page))
    calls = [
        re.split(r"\s[|>#]|;|&&|\)", line[line.index("loamwright ") :])[0] for line in [*joined, *inline] if "loamwright " in line
    ]
    return [words for call in calls if (words := re.sub(r'"[^"]*"|\'[^\']*\'', "QUOTED", call).split())[0] == "loamwright"]


def fault_of(words: list[str]) -> str:
    """What in a command line the program does not have; empty where all is known."""
    command: click.Command = main
    context = click.Context(command)
    rest = words[1:]
    while rest and isinstance(command, click.Group) and not rest[0].startswith("-"):
        inner = command.get_command(context, rest[0])
        if inner is None:
            return f"no command {rest[0]!r} in {' '.join(words)!r}"
        command, rest = inner, rest[1:]
    known = {name for each in command.params for name in (*each.opts, *each.secondary_opts)}
    known |= set(command.get_help_option_names(click.Context(command))) | {"--help", "-h"}
    for word in rest:
        name = word.split("=")[0]
        if re.match(r"--?[a-z]", name) and name not in known:
            return f"no option {name!r} in {' '.join(words)!r}"
    return ""


@pytest.mark.parametrize("page", PAGES, ids=NAMES)
def test_commands_and_options_exist(page: Path) -> None:
    assert [fault for words in command_lines(page) if (fault := fault_of(words))] == []


def test_command_lines_are_found_and_faults_seen() -> None:
    assert command_lines(ROOT / "docs" / "how-to" / "run-from-the-shell.md")
    assert fault_of(["loamwright", "serve", "--port", "8400"]) == ""
    assert "no command" in fault_of(["loamwright", "dance"])
    assert "no option" in fault_of(["loamwright", "serve", "--dance"])


def test_every_command_is_mentioned() -> None:
    said = "\n".join(map(text_of, PAGES))
    context = click.Context(main)
    assert [name for name in main.list_commands(context) if f"loamwright {name}" not in said] == []


def test_every_make_target_is_mentioned_and_every_mentioned_one_exists() -> None:
    said = "\n".join(map(text_of, PAGES))
    assert [target for target in TARGETS if f"make {target}" not in said] == []
    named = re.findall(r"(?:^|`)make ([a-z]+)", said, re.MULTILINE)
    assert named
    assert [target for target in named if target not in TARGETS] == []


def test_page_of_kinds_is_up_to_date() -> None:
    done = subprocess.run([sys.executable, str(ROOT / "tools" / "kind_reference.py"), "--check"], cwd=ROOT, check=False)
    assert done.returncode == 0, "run tools/kind_reference.py"


def test_every_kind_is_mentioned() -> None:
    page = text_of(ROOT / "docs" / "reference" / "entry-kinds.md")
    assert [name for name in kinds() if f"## `{name}`" not in page] == []


def test_every_rule_file_is_mentioned() -> None:
    page = text_of(ROOT / "docs" / "reference" / "rules.md")
    files = sorted((ROOT / "src" / "loamwright" / "data" / "rules").glob("*.toml"))
    assert files
    assert [each.stem for each in files if f"`{each.stem}`" not in page] == []


def test_no_reference_stands_twice() -> None:
    assert [key for key, times in Counter(KEY.findall(REFERENCES)).items() if times > 1] == []


def test_every_reference_says_how_it_is_known() -> None:
    entries = re.split(r"^### ", REFERENCES, flags=re.MULTILINE)[1:]
    words = ("seen", "second-hand", "memory", "common practice", "derived", "judgement")
    known = {entry.splitlines()[0]: re.search(r"^Known: (.+)$", entry, re.MULTILINE) for entry in entries}
    assert [key for key, found in known.items() if found is None or not any(word in found[1] for word in words)] == []


def sources_used() -> dict[str, str]:
    """Keys of sources in data files and in square brackets in the code, each with a place."""
    used: dict[str, str] = {}
    for file in (ROOT / "src").rglob("*.toml"):
        for row in tomllib.loads(text_of(file)).get("row", []):
            if "source" in row:
                used[row["source"]] = file.name
    for file in (ROOT / "src").rglob("*.py"):
        for key in QUOTED_KEY.findall(text_of(file)):
            used[key] = file.name
    return used


def test_every_source_key_resolves() -> None:
    known = set(KEY.findall(REFERENCES))
    used = sources_used()
    assert len(used) > 40
    assert {key: place for key, place in used.items() if key not in known} == {}


def test_glossary_has_no_name_twice_and_four_columns() -> None:
    rows = [line for line in GLOSSARY.splitlines() if line.startswith("| ")][1:]
    cells = [[cell.strip() for cell in row.strip("|").split("|")] for row in rows]
    assert [row for row in cells if len(row) != 4] == []
    assert [name for name, times in Counter(row[0] for row in cells).items() if times > 1] == []


@pytest.mark.parametrize("page", HAND_WRITTEN, ids=[str(page.relative_to(ROOT)) for page in HAND_WRITTEN])
def test_source_keys_in_the_docs_resolve(page: Path) -> None:
    assert [key for key in QUOTED_KEY.findall(text_of(page)) if key not in KEY.findall(REFERENCES)] == []


def test_decisions_are_numbered_without_gaps() -> None:
    names = sorted(page.name for page in (ROOT / "docs" / "adr").glob("*.md"))
    assert [int(name[:4]) for name in names] == list(range(1, len(names) + 1))
    assert [
        name for name in names if not re.search(r"^Date: \d{4}-\d\d-\d\d\. Status: ", text_of(ROOT / "docs/adr" / name), re.M)
    ] == []
