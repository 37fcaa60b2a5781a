"""Languages are gettext catalogues: placeholders move, plurals follow the language's own rule, and the list for translators is whole."""

import subprocess
import sys
from pathlib import Path

import pytest
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po

from loamwright.words.asked_for import kind_said
from loamwright.words.language import ENGLISH, Language, best, languages, speaking, tr, trn
from loamwright.words.numbers import count
from loamwright.words.sentences import sentence

# A made-up catalogue under the plural rule of Croatian (one, few, other), which Babel takes from the Unicode CLDR.
PO = """
msgid ""
msgstr ""
"Language-Team: Made up\\n"
"Content-Type: text/plain; charset=utf-8\\n"

msgid "{n} of {all} weighed"
msgstr "aus {all} sind {n}"

msgid "{n} block"
msgid_plural "{n} blocks"
msgstr[0] "{n} kub"
msgstr[1] "{n} kuba"
msgstr[2] "{n} kubov"

msgid "Mark {mark} does not read well: its last digit does not fit the others."
msgstr "Zadnja od {mark}."

msgid "Weighing"
msgstr "Vaga"
"""


@pytest.fixture
def made_up(tmp_path: Path) -> Language:
    (tmp_path / "catalogue.po").write_text(PO, "utf-8")
    target = tmp_path / "qq" / "LC_MESSAGES" / "loamwright.mo"
    target.parent.mkdir(parents=True)
    with (tmp_path / "catalogue.po").open("rb") as source, target.open("wb") as made:
        write_mo(made, read_po(source, locale="hr"))
    return languages(tmp_path)["qq"]


def test_a_translator_may_move_placeholders(made_up: Language) -> None:
    with speaking(made_up):
        assert tr("{n} of {all} weighed", n=2, all=3) == "aus 3 sind 2"
        assert sentence("mark_wrong_digit", {"mark": "123"}) == "Zadnja od 123."
    assert tr("{n} of {all} weighed", n=2, all=3) == "2 of 3 weighed"


@pytest.mark.parametrize(
    ("n", "said"), [(1, "1 kub"), (2, "2 kuba"), (5, "5 kubov"), (11, "11 kubov"), (21, "21 kub"), (22, "22 kuba")]
)
def test_plurals_follow_the_rule_of_the_language(made_up: Language, n: int, said: str) -> None:
    with speaking(made_up):
        assert count(n, "block") == said
        assert trn("{n} block", "{n} blocks", n) == said


def test_kinds_are_asked_in_the_language_and_a_lacking_text_is_said_in_english(made_up: Language) -> None:
    with speaking(made_up):
        assert kind_said("weighing").label == "Vaga"
        assert kind_said("batch").label == "Batch opened"
    assert kind_said("weighing").label == "Weighing"


def test_what_a_person_typed_is_never_taken_for_a_placeholder(made_up: Language) -> None:
    with speaking(made_up):
        assert tr("{n} of {all} weighed", n="{all}", all="{0.__class__}") == "aus {0.__class__} sind {all}"
        assert tr("clay {5}") == "clay {5}"


@pytest.mark.parametrize(
    ("wanted", "code"),
    [("qq", "qq"), ("fr-CH, qq-AA;q=0.8", "qq"), ("fr", "en"), ("", "en"), (";;,,q=", "en"), ("x" * 5000, "en")],
)
def test_the_browsers_list_is_read_in_its_order(made_up: Language, wanted: str, code: str) -> None:
    assert best(wanted, {"en": ENGLISH, "qq": made_up}).code == code


def test_the_list_for_translators_is_current() -> None:
    """`make reference` writes it; a text added to the code and not to the list would never be translated."""
    root = Path(__file__).resolve().parents[2]
    assert subprocess.run([sys.executable, "-m", "tools.messages", "--check"], cwd=root, check=False).returncode == 0
