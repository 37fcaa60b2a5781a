"""What every paper is made with: the state, the units, the day, the root hash; and the parts that many papers share."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from loamwright import __version__, units
from loamwright.errors import InputError
from loamwright.notebook.entry import Entry
from loamwright.notebook.fields import Amount
from loamwright.papers.document import Document, Figure, Labels, Lines, Part, Step
from loamwright.project.finding import Finding, Result, Withheld
from loamwright.project.state import Fact, State
from loamwright.words.language import now, tr
from loamwright.words.numbers import Shown, typed
from loamwright.words.numbers import day as day_words
from loamwright.words.sentences import of_fault, of_note
from loamwright.words.showing import entry_line, name_of, working_words

_OTHER = {"MPa": "psi", "psi": "MPa", "kgf_cm2": "MPa", "kg": "lb", "lb": "kg", "mm": "in", "in": "mm", "kN": "lbf", "lbf": "kN"}


@dataclass(frozen=True, slots=True)
class Setting:
    """What a paper is made with.

    Attributes
    ----------
    state : State
    shown : Shown
        Units of the person.
    today : date
        The day it is printed, from the door's clock.
    root : str
        Root hash of the project as it stands; "" where the door gave none.
    by : str
        Who prints it.
    entries : tuple of Entry
        What the project's export holds, where a paper lists it.
    """

    state: State
    shown: Shown
    today: date
    root: str = ""
    by: str = ""
    entries: tuple[Entry, ...] = ()

    def name(self, entity: str, *of: str) -> str:
        """What a person calls an entity."""
        return name_of(self.state, entity, *of)

    def day(self, when: date) -> str:
        """A day with its year: a paper is read long after."""
        return day_words(when)

    def foot(self) -> tuple[str, ...]:
        """Small words at the foot: project, day, who, version, and the root hash in groups that can be read out."""
        said = [self.name(self.state.project), tr("printed {day}", day=self.day(self.today))]
        said += [tr("by {who}", who=self.by)] if self.by else []
        lines = [", ".join([*said, f"Loamwright {__version__}"])]
        if self.root:
            lines.append(tr("Root hash of the notebook: {root}", root=grouped(self.root)))
        return tuple(lines)

    def paper(
        self, name: str, title: str, parts: Iterable[Part], *, subtitle: str = "", code: str = "", **more: bool
    ) -> Document:
        """A document with the foot, language and direction of this setting."""
        spoken = now()
        made = tuple(parts)
        of_labels = len(made) == 1 and isinstance(made[0], Labels)
        return Document(
            name=name,
            title=title,
            subtitle=subtitle,
            parts=made,
            foot=() if of_labels else self.foot(),
            code=code,
            language=spoken.code.split("-")[0],
            direction=spoken.direction,
            labels={"caution": tr("Caution")},
            **more,
        )

    # --- numbers ---

    def reading(self, amount: Amount, quantity: str, *, at: str = "") -> str:
        """A reading as it was typed, and converted where the person sees another unit: "18.1 lb (8.21 kg)"."""
        if amount.container:
            words = f"{typed(amount)} × {self.name(amount.container, 'container')}"
            try:
                return f"{words} ({self.shown.value(self.state.volume(amount, at), quantity)})"
            except InputError:
                return words
        unit = self.shown.unit(quantity)
        if amount.unit in ("1", unit.key):
            return typed(amount)
        return f"{typed(amount)} ({self.shown.value(amount.engine, quantity)})"

    def both(self, value: float, quantity: str) -> str:
        """A value in the person's unit and in the other system's: "2.40 MPa (348 psi)"."""
        unit = self.shown.unit(quantity)
        other = _OTHER.get(unit.key, "")
        text = self.shown.value(value, quantity)
        return f"{text} ({self.shown.value(value, quantity, unit=other)})" if other else text

    def other_unit(self, quantity: str) -> units.Unit:
        """The unit of the other system."""
        key = self.shown.unit(quantity).key
        return units.unit(_OTHER.get(key, key))

    def bare(self, value: float, quantity: str, *, digits: int | None = None, other: bool = False) -> str:
        """A value without its unit, which stands at the head of its column."""
        unit = self.other_unit(quantity) if other else self.shown.unit(quantity)
        text = self.shown.value(value, quantity, digits=digits, unit=unit.key)
        return text.removesuffix(unit.label).strip()

    def result(self, result: Result | None, quantity: str, *, digits: int | None = None) -> str:
        """A finding in words, or why there is none."""
        if result is None:
            return tr("not measured yet")
        if isinstance(result, Withheld):
            return of_fault(result.fault)
        return self.shown.value(result.value, quantity, digits=digits) if quantity else f"{result.value:.4g}"

    def figure(
        self, label: str, result: Result | None, quantity: str, *, digits: int | None = None, short: bool = False
    ) -> Figure:
        """A finding with its working, sources and entries (only their ids where `short`); where there is none, why."""
        value = self.result(result, quantity, digits=digits)
        if not isinstance(result, Finding):
            return Figure(label, value)
        words = working_words(result, self.shown)
        band = ""
        if result.band is not None:
            band = tr("likely {band}", band=self.shown.band(result.band.low, result.band.high, quantity, digits=digits))
        return Figure(
            label,
            value,
            band,
            tuple(of_note(note) for note in result.all_notes()),
            tuple(Step(each["says"], each["formula"], each["put"], each["gives"]) for each in words.steps),
            (*words.sources, *self._behind(result, short=short)),
        )

    def _behind(self, result: Finding, *, short: bool) -> list[str]:
        if not short:
            return [self.entry(each) for each in result.entries()]
        return [tr("entries {ids}", ids=" ".join(each[-8:] for each in result.entries()))] if result.entries() else []

    def entry(self, entry_id: str) -> str:
        """An entry on one line, with the first signs of its id."""
        return f"{entry_line(self.state, entry_id, self.shown)} [{entry_id[-8:]}]"

    def field(self, fact: Fact | None, name: str, quantity: str) -> str:
        """A typed quantity of a fact as a reading; "" where nothing was said."""
        if fact is None or not isinstance(fact.get(name), Amount):
            return ""
        return self.reading(fact[name], quantity, at=fact.at)


def lines(*pairs: tuple[str, str] | None) -> Lines:
    """Lines of label and value; None is left out, an empty value is a rule to write on."""
    return Lines(tuple(pair for pair in pairs if pair is not None))


def known(*pairs: tuple[str, str]) -> Lines:
    """Lines of what is known; the others are left out."""
    return Lines(tuple(pair for pair in pairs if pair[1]))


def grouped(mark: str, size: int = 8) -> str:
    """A long mark in groups that can be read out.

    >>> grouped("0123456789abcdef")
    '01234567 89abcdef'
    """
    return " ".join(mark[i : i + size] for i in range(0, len(mark), size))


def urn(entity: str) -> str:
    """What a code on paper holds: the entity's own id, as [rfc-9562] writes one."""
    return f"urn:uuid:{entity}"
