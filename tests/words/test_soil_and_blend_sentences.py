"""Every code that soil, jars and blends can raise, note or ask has its sentence, and no sentence shows a bare placeholder."""

import ast
from importlib import resources

import pytest

from loamwright.words.said import said

ENGINE = ("engine/soil", "engine/blend")
MAKERS = ("InputError", "Note", "Question", "Due")
STAGES = ("project/shake.py", "project/jars.py", "project/blending.py", "project/quantiles.py")


def codes(path):
    """Literal codes handed to InputError, Note, Question and Due in one file: (maker, code)."""
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if not (isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in MAKERS):
            continue
        if node.args and isinstance(node.args[0], ast.Constant):
            yield node.func.id, node.args[0].value


def all_codes():
    root = resources.files("loamwright")
    paths = [path for folder in ENGINE for path in root.joinpath(folder).iterdir() if path.name.endswith(".py")]
    paths += [root.joinpath(name) for name in STAGES]
    return sorted({pair for path in paths for pair in codes(path)})


@pytest.mark.parametrize(("maker", "code"), all_codes())
def test_each_code_has_its_sentence(maker, code):
    assert (f"due_{code}" if maker == "Due" else code) in said()


def test_the_codes_were_found_at_all():
    assert len(all_codes()) > 40
