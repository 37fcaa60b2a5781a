"""What a stage asks and what it waits for: values for the doors, sentences are made there."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Literal

from loamwright.notebook.kinds import Verb

Grade = Literal["impossible", "contested", "unlikely"]


@dataclass(frozen=True, slots=True)
class Question:
    """Something that does not fit.

    Attributes
    ----------
    code : str
        Which question; its sentence is made at the doors, and an `answer` entry names it.
    verb : str
        The page it belongs to.
    about : tuple of str
        Entities it is about, sorted.
    grade : str
        "impossible" (left out until settled), "contested" (the greater is computed with), "unlikely" (computed with, asked).
    values : mapping
        Values for the sentence.
    """

    code: str
    verb: Verb
    about: tuple[str, ...]
    grade: Grade = "unlikely"
    values: Mapping[str, object] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Due:
    """Something to do: which verb, since or on what day, about which entity."""

    code: str
    verb: Verb
    about: str = ""
    on: date | None = None
    values: Mapping[str, object] = field(default_factory=dict)
