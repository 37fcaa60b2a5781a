"""Every paper there is: its name, what it is about, what makes it; and the entry that says it was given out."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from loamwright import __version__
from loamwright.errors import InputError
from loamwright.notebook import exchange
from loamwright.notebook.canonical import digest
from loamwright.notebook.store import Notebook
from loamwright.papers import (
    crew_card,
    lab_request,
    label_sheets,
    mix_report,
    official_file,
    owner_page,
    sheets,
    soil_record,
    test_record,
    trial_plan,
)
from loamwright.papers.document import Document, as_text
from loamwright.papers.setting import Setting
from loamwright.project.state import Fact, State
from loamwright.words.language import later, tr
from loamwright.words.numbers import Shown
from loamwright.words.sentences import sentence

MOST_TEXT = 64 * 1024


@dataclass(frozen=True, slots=True)
class Paper:
    """One kind of paper.

    Attributes
    ----------
    name, label : str
        Name in addresses and commands; what a person calls it.
    about : tuple of str
        Kinds it may be about.
    needed : bool
        Whether it must be about one.
    make : callable
        From a setting, what it is about and the sheet of labels to the paper.
    labels : bool
        Whether it lies on a sheet of labels.
    """

    name: str
    label: str
    make: Callable[[Setting, Fact | None, str], Document]
    about: tuple[str, ...] = ()
    needed: bool = False
    labels: bool = False


def _whole(make: Callable[[Setting], Document]) -> Callable[[Setting, Fact | None, str], Document]:
    return lambda setting, about, sheet: make(setting)


def _of(make: Callable[[Setting, Fact], Document]) -> Callable[[Setting, Fact | None, str], Document]:
    def made(setting: Setting, about: Fact | None, sheet: str) -> Document:
        assert about is not None
        return make(setting, about)

    return made


def _block_marks(setting: Setting, about: Fact | None, sheet: str) -> Document:
    assert about is not None
    return label_sheets.block_marks(setting, about, sheet=sheet)


PAPERS: Mapping[str, Paper] = {
    each.name: each
    for each in (
        Paper("pails", later("Pails and pans"), _whole(sheets.pails)),
        Paper("jar", later("Jar sheet"), _of(sheets.jar), ("jar",), True),
        Paper("ladder", later("Water ladder"), _of(sheets.ladder), ("blend",), True),
        Paper("trial-plan", later("Trial plan"), _of(trial_plan.trial_plan), ("plan",), True),
        Paper("weigh-out", later("Weigh-out sheet"), _of(sheets.weigh_out), ("batch",), True),
        Paper("press", later("Press sheet"), _of(sheets.press), ("batch",), True),
        Paper("block-marks", later("Block labels"), _block_marks, ("plan", "batch"), True, True),
        Paper(
            "pallet-labels",
            later("Pallet labels"),
            lambda setting, about, sheet: label_sheets.pallet_labels(setting, about, sheet=sheet),
            ("batch",),
            labels=True,
        ),
        Paper("test-day", later("Test-day sheet"), lambda setting, about, sheet: sheets.test_day(setting, about), ("rig",)),
        Paper("soil", later("Record of one soil"), _of(soil_record.soil_record), ("source",), True),
        Paper("lab-request", later("Request to a laboratory"), _whole(lab_request.lab_request)),
        Paper("test-record", later("Record of tests"), _whole(test_record.test_record)),
        Paper("block", later("Record of one block"), _of(test_record.block_record), ("block",), True),
        Paper("mix-report", later("Mix report for the engineer"), _whole(mix_report.mix_report)),
        Paper("owner", later("One page for the owner"), _whole(owner_page.owner_page)),
        Paper("recipe", later("Recipe sheet"), _of(sheets.recipe), ("recipe",), True),
        Paper("morning", later("Morning check"), _of(sheets.morning), ("recipe",), True),
        Paper("crew-card", later("Crew card"), _of(crew_card.crew_card), ("recipe",), True),
        Paper("official", later("Project file for the official"), _whole(official_file.official_file)),
    )
}


def paper_named(name: str) -> Paper:
    """The paper of this name; `InputError` ("no_such_paper") where there is none."""
    if name not in PAPERS:
        raise InputError("no_such_paper", name=name, known=", ".join(PAPERS))
    return PAPERS[name]


def what_for(paper: Paper) -> str:
    """What a paper is for, in one sentence."""
    return sentence(f"paper_is_{paper.name.replace('-', '_')}", {})


def things(state: State, paper: Paper) -> list[Fact]:
    """What a paper can be about, the newest first."""
    return [fact for kind in paper.about for fact in reversed(state.all(kind))]


def setting(notebook: Notebook, state: State, *, shown: Shown, today: date, by: str = "") -> Setting:
    """What papers of a project are made with now: its root hash is that of an export made at this moment."""
    root = exchange.export(notebook, state.project).root
    return Setting(state, shown, today, root, by, tuple(exchange.closure(notebook, state.project)))


def document(setting: Setting, name: str, about: str = "", *, sheet: str = "") -> Document:
    """The paper of a name.

    Raises
    ------
    InputError
        "no_such_paper", "not_found", "paper_about_missing", "no_labels", and what its findings raise.
    """
    paper = paper_named(name)
    fact = None
    if about:
        found = setting.state.find(about)
        if found is None or found.kind not in paper.about:
            raise InputError("not_found", kind=paper.about[0] if paper.about else "paper", id=about)
        fact = setting.state.fact(about, found.kind)
    elif paper.needed:
        raise InputError("paper_about_missing", name=name, known=", ".join(tr(kind) for kind in paper.about))
    return paper.make(setting, fact, sheet or label_sheets.USUAL)


def printed_body(setting: Setting, made: Document, *, about: str, size: str) -> dict[str, Any]:
    """The body of the entry that says a paper was given out: its words, and the root hash of all it stood on."""
    text = as_text(made)
    said: dict[str, Any] = {
        "root": setting.root,
        "text_sha256": digest(text),
        "version": __version__,
        "stood_on": len(setting.entries),
    }
    if len(text) <= MOST_TEXT:
        said["text"] = text
    body: dict[str, Any] = {"paper": made.name, "size": size, "said": said}
    return {**body, "about": about} if about else body
