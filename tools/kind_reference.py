"""Write docs/reference/entry-kinds.md from the field lists themselves; `--check` only says whether it is up to date."""

import sys
from pathlib import Path

from loamwright.notebook.fields import Field
from loamwright.notebook.kinds import Kind, kinds

PAGE = Path(__file__).resolve().parent.parent / "docs" / "reference" / "entry-kinds.md"
HEAD = """# Kinds of entries

Made by `tools/kind_reference.py` from the field lists that also drive the forms and the commands.
A field marked * must be filled in. A quantity is kept as it was typed, with its number and its unit.
*told* is written by the program: figures as they were shown.
"""


def field_words(each: Field) -> str:
    """What a field takes, in a few words."""
    if each.kind == "choice":
        return "one of: " + ", ".join(f"`{key}` ({label})" if key != label else f"`{key}`" for key, label in each.options.items())
    if each.kind in ("quantity", "quantities"):
        return f"{each.quantity}" if each.kind == "quantity" else f"{each.quantity}, {each.expected} times"
    if each.kind in ("ref", "refs"):
        named = " or ".join(f"`{kind}`" for kind in each.of) or "any entry"
        return named if each.kind == "ref" else f"{named}, one or more"
    if each.kind == "rows":
        return "rows of: " + ", ".join(f"`{sub.name}`{'*' if sub.required else ''}" for sub in each.rows)
    return {"flag": "yes or no", "date": "a day", "moment": "a day and time", "whole": "whole number"}.get(each.kind, each.kind)


def section(kind: Kind) -> str:
    """One kind: its label, verb, schema and fields."""
    marks = [f"verb {kind.verb}", f"schema {kind.schema}"]
    marks += ["shared by all projects of the notebook"] if kind.bench else []
    marks += [] if kind.asked else ["written by the program only"]
    rows = [
        f"| `{each.name}`{'*' if each.required else ''} | {each.label} | {field_words(each)} | {each.hint} |"
        for each in kind.fields
    ]
    table = ["| field | asked as | takes | hint |", "|---|---|---|---|", *rows]
    return "\n".join([f"## `{kind.name}`", "", f"{kind.label}: {', '.join(marks)}.", "", *table, ""])


def text() -> str:
    """The whole page."""
    return "\n".join([HEAD, *(section(kind) for kind in kinds().values())])


def main(arguments: list[str]) -> int:
    """Write the page, or with `--check` compare it; 1 where it differs."""
    if "--check" in arguments:
        return 0 if PAGE.exists() and PAGE.read_text(encoding="utf-8") == text() else 1
    PAGE.write_text(text(), encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
