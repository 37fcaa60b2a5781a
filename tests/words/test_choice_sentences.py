"""Every code of the statistics, the rules and the choice has a sentence, and the sentences say what they should."""

import re
from importlib import resources

import pytest

from loamwright.engine.choice.gates import remedy_ladder
from loamwright.errors import Note
from loamwright.words.briefs import chance_words, missing_words
from loamwright.words.said import said
from loamwright.words.sentences import sentence

CODE = re.compile(r'(?:InputError|Note)\(\s*"([a-z_0-9]+)"')
FILTERS = ("other_condition", "other_value_form", "soak_too_short", "age_unknown", "too_young", "screening_only")


def codes(package):
    files = resources.files("loamwright").joinpath(package).iterdir()
    return {code for each in files if each.name.endswith(".py") for code in CODE.findall(each.read_text("utf-8"))}


@pytest.mark.parametrize("package", ["engine/evidence", "rules", "engine/choice"])
def test_every_code_has_a_sentence(package):
    found = codes(package)
    assert len(found) > 3  # the search itself must find them
    assert found - set(said()) == set()


def test_every_reason_why_a_block_does_not_count_has_a_sentence():
    assert {code for code in FILTERS if code not in said() and f"missing_{code}" not in said()} == set()


def test_every_step_of_the_ladder_and_its_signs_named_by_the_project_have_words():
    steps = remedy_ladder()
    assert {f"remedy_{step.code}" for step in steps} <= set(said())
    signs = {key.removeprefix("sign_") for key in said() if key.startswith("sign_")}
    assert signs and signs <= {sign for step in steps for sign in step.signs}


@pytest.mark.parametrize(
    ("have", "need", "words"),
    [
        (3, 5, "Not shown yet: 2 soaked blocks are missing."),
        (4, 5, "Not shown yet: 1 soaked block is missing."),
    ],
)
def test_missing_blocks_are_counted_for_the_reader(have, need, words):
    assert missing_words(Note("blocks_missing", {"have": have, "need": need, "condition": "wet"})) == words


def test_screening_says_why_and_one_block_is_one_block():
    words = missing_words(Note("screening_only", {"blocks": 1}))
    assert words == "Not counted: 1 block read with something uncalibrated: for screening only."


def test_a_chance_is_never_a_promise():
    assert [chance_words(each).replace("\u202f", " ") for each in (1.0, 0.5, 0.0)] == ["over 99 %", "50 %", "under 1 %"]


def test_an_own_brief_is_never_said_to_comply():
    assert "comply with a rule" in sentence("brief_own", {}) and "nothing here says" in sentence("brief_own", {})
