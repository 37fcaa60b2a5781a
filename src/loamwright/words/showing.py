"""Entries, findings and names in words, for pages, shell and papers alike."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from loamwright.notebook.entry import Entry
from loamwright.notebook.fields import Amount, Field
from loamwright.project.finding import Finding, Line, working
from loamwright.project.state import Fact, State
from loamwright.words.asked_for import kinds_said
from loamwright.words.language import now, tr
from loamwright.words.numbers import Shown, typed, with_unit
from loamwright.words.safe_texts import NAME, VALUE, closed, presentable
from loamwright.words.sentences import of_note, plain

CHOSEN = ("mass", "length", "pressure", "volume", "force", "density", "temperature")  # a project says in which unit it sees each


def shown_units(state: State) -> Shown:
    """The units the project chose."""
    fact = state.find(state.project, "project")
    if fact is None or fact.fault is not None:
        return Shown()
    chosen = {quantity: fact.get(f"{quantity}_unit") for quantity in CHOSEN}
    return Shown({quantity: unit for quantity, unit in chosen.items() if unit})


def name_of(state: State, entity: str, *of: str) -> str:
    """What a person calls an entity: its name, or one made from what it is.

    A name made from another's asks for that one's kind (`of`), so that an entry naming itself ends in words, not in a circle.
    """
    fact = state.find(entity)
    if fact is None or (of and fact.kind not in of):
        return tr("something not here")
    return presentable(_name_of_fact(state, fact), NAME)


def _name_of_fact(state: State, fact: Fact) -> str:
    maker = _NAMES.get(fact.kind)
    if fact.get("name"):
        return str(fact["name"])
    if maker is not None and fact.fault is None:
        return maker(state, fact)
    kind = kinds_said().get(fact.kind)
    return plain(fact.kind) if kind is None else kind.label


def blend_name(state: State, fact: Fact) -> str:
    """A blend with its sources named in order, such as "Bank sand 5 : Red clay 2"."""
    return " : ".join(f"{name_of(state, row['source'], 'source')} {row['parts']}" for row in fact["parts"])


def mix_name(state: State, fact: Fact) -> str:
    """A mix: its blend, the dose and the stabiliser."""
    blend = name_of(state, fact["blend"], "blend")
    if not fact.get("stabiliser"):
        return tr("{blend}, no stabiliser", blend=blend)
    dose = with_unit(f"{100 * fact['dose'].engine:.3g}", "%")
    return tr("{blend}, {dose} {stabiliser}", blend=blend, dose=dose, stabiliser=name_of(state, fact["stabiliser"], "stabiliser"))


def jar_name(state: State, fact: Fact) -> str:
    """A jar by its source, numbered where the source has several."""
    jars = [each.id for each in state.everything("jar") if each.get("source") == fact["source"]]
    source = name_of(state, fact["source"], "source")
    if len(jars) > 1 and fact.id in jars:
        return tr("Jar {n} of {source}", n=jars.index(fact.id) + 1, source=source)
    return tr("Jar of {source}", source=source)


def batch_number(state: State, fact: Fact) -> int:
    """The number of a batch in its project: 1 for the first opened."""
    return [each.id for each in state.everything("batch")].index(fact.id) + 1


def photo_name(state: State, fact: Fact) -> str:
    """A photo by what it shows; one of another photo would end in a circle."""
    shown = state.find(fact["of"])
    return tr("Photo") if shown is None or shown.kind == "photo" else tr("Photo of {what}", what=_name_of_fact(state, shown))


def recipe_name(state: State, fact: Fact) -> str:
    """A recipe by its number in the project and its mix."""
    number = [each.id for each in state.everything("recipe")].index(fact.id) + 1
    choice = state.find(fact["choice"], "choice")
    mix = choice.get("mix") if choice is not None else None
    return tr("Recipe {n}, {mix}", n=number, mix=name_of(state, mix, "mix")) if mix else tr("Recipe {n}", n=number)


_NAMES: Mapping[str, Callable[[State, Fact], str]] = {
    "blend": blend_name,
    "mix": mix_name,
    "batch": lambda state, fact: tr("Batch {n}, {mix}", n=batch_number(state, fact), mix=name_of(state, fact["mix"], "mix")),
    "block": lambda state, fact: tr("Block {mark}", mark=fact["mark"]),
    "crush": lambda state, fact: tr("{block} crushed", block=name_of(state, fact["block"], "block")),
    "bend": lambda state, fact: tr("{block} bent", block=name_of(state, fact["block"], "block")),
    "jar": lambda state, fact: jar_name(state, fact),
    "jar_reading": lambda state, fact: tr(
        "{jar}, after {time}", jar=name_of(state, fact["jar"], "jar"), time=typed(fact["after"])
    ),
    "guess": lambda state, fact: tr("Guess of {source}", source=name_of(state, fact["source"], "source")),
    "limits": lambda state, fact: tr("Limits of {source}", source=name_of(state, fact["source"], "source")),
    "plan": lambda state, fact: tr("Plan, {size}", size=tr(fact["size"])),
    "ladder_block": lambda state, fact: tr("Ladder block of {blend}", blend=name_of(state, fact["blend"], "blend")),
    "recipe": lambda state, fact: recipe_name(state, fact),
    "photo": lambda state, fact: photo_name(state, fact),
    "proving_batch": lambda state, fact: tr("Proving batch of {recipe}", recipe=name_of(state, fact["recipe"], "recipe")),
}


def value_words(state: State, each: Field, value: Any, *, whole: bool = False) -> str:
    """One value of a body in words; an overlong text is shortened unless all of it is wanted."""
    words = _value_words(state, each, value)
    return closed(words) if whole else presentable(words, VALUE)


def _value_words(state: State, each: Field, value: Any) -> str:
    if isinstance(value, Amount):
        return f"{typed(value)} × {name_of(state, value.container)}" if value.container else typed(value)
    match each.kind:
        case "choice":
            return each.options.get(str(value), plain(value))
        case "flag":
            return tr("yes") if value else tr("no")
        case "ref":
            return name_of(state, value)
        case "refs":
            return ", ".join(name_of(state, one) for one in value)
        case "quantities":
            return "; ".join(typed(one) for one in value)
        case "rows":
            return "; ".join(
                " ".join(value_words(state, sub, row[sub.name]) for sub in each.rows if sub.name in row) for row in value
            )
        case "told":
            return tr("as shown then")
    return str(value)


def entry_words(state: State, fact: Fact, *, whole: bool = False) -> list[tuple[str, str]]:
    """Label and value of each field of a fact, in the order of its kind; `whole` for the page where all of it stands."""
    kind = kinds_said().get(fact.kind)
    if kind is None:
        return []
    known = [each for each in kind.fields if each.name in fact.values and each.name != "blob"]  # a picture is seen, not said
    return [(each.label, value_words(state, each, fact.values[each.name], whole=whole)) for each in known]


def entry_line(state: State, entry_id: str, shown: Shown) -> str:
    """One line for an entry: its kind and what it says."""
    return state.memo(("entry_line", entry_id, now().code), lambda: _entry_line(state, entry_id))


def _entry_line(state: State, entry_id: str) -> str:
    entry: Entry | None = state.versions.entries.get(entry_id)
    if entry is None:
        return tr("an entry not here")
    kind = kinds_said().get(entry.kind)
    label = plain(entry.kind) if kind is None else kind.label
    if entry.withdraws:
        return tr("{kind} withdrawn", kind=label)
    fact = Fact(entry.id, [entry], 1)
    said = [words for _, words in entry_words(state, fact) if words != tr("as shown then")]
    return tr("{kind}: {says}", kind=label, says=", ".join(said)) if said else label


@dataclass(frozen=True, slots=True)
class WorkingWords:
    """A working in words: steps as the figure piece takes them, sources and notes as sentences."""

    steps: list[Mapping[str, str]]
    sources: list[str]
    notes: list[str]


def working_words(finding: Finding, shown: Shown) -> WorkingWords:
    """The working of a finding, one step a line, with formula, numbers put in and result."""
    lines = working(finding)
    sources: list[str] = []
    for line in lines:
        text = f"[{line.source}]" + (f" {line.clause}" if line.clause else "")
        sources.extend([text, *(f"{symbol} from [{source}]" for symbol, source in line.stand_ins)])
    return WorkingWords(
        [_step(line) for line in lines], list(dict.fromkeys(sources)), [of_note(note) for note in finding.all_notes()]
    )


def _step(line: Line) -> Mapping[str, str]:
    unit = "" if line.unit == "1" else f" {line.unit}"
    return {
        "says": plain(line.name),
        "formula": f"{line.symbol} = {line.expression}",
        "put": f"= {line.put_in}",
        "gives": f"= {line.result}{unit}",
    }
