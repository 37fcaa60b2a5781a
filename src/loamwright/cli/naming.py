"""What a person calls a thing in the shell: by its name, the beginning of it, or the first or last digits of its id."""

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING

from loamwright.errors import InputError

if TYPE_CHECKING:
    from loamwright.notebook.fields import Field
    from loamwright.project.state import State

LEAST_DIGITS = 4  # of an id: fewer would name things by chance


def pick(wanted: str, names: Mapping[str, str], what: str) -> str:
    """The one id that fits: whole id, whole name, beginning of a name, digits of an id, part of a name, in this order.

    Raises
    ------
    InputError
        "nothing_fits" or "several_fit", both listing what there is.

    Examples
    --------
    >>> names = {"a1f0": "Red clay", "b2f0": "Bank sand", "c3f0": "Batch 1, lean", "d4f0": "Batch 12, lean"}
    >>> [pick(typed, names, "thing") for typed in ("red clay", "batch 1", "sand", "d4f0")]
    ['a1f0', 'c3f0', 'b2f0', 'd4f0']
    """
    typed = _spoken(wanted)
    for fits in _TESTS:
        found = [entity for entity, name in names.items() if typed and fits(typed, entity, _spoken(name))]
        if len(found) == 1:
            return found[0]
        if found:
            raise InputError("several_fit", what=what, typed=wanted, fitting=_listed({each: names[each] for each in found}))
    raise InputError("nothing_fits", what=what, typed=wanted, there=_listed(names) or "none yet")


def _spoken(text: str) -> str:
    """A name as it is typed: lower case, thin spaces and several spaces as one plain space.

    >>> _spoken("Red  Clay, 5.5\u202f% cement")
    'red clay, 5.5 % cement'
    """
    return " ".join(text.split()).casefold()


def _begins(name: str, typed: str) -> bool:
    """Whether a name begins with whole words of what was typed, so that "batch 1" is not batch 12."""
    return name.startswith(typed) and not name[len(typed) : len(typed) + 1].isalnum()


_TESTS: tuple[Callable[[str, str, str], bool], ...] = (
    lambda typed, entity, name: typed == entity,
    lambda typed, entity, name: typed == name,
    lambda typed, entity, name: _begins(name, typed),
    lambda typed, entity, name: _begins(name.removeprefix("block ").removeprefix("batch "), typed),
    lambda typed, entity, name: name.startswith(typed),
    lambda typed, entity, name: len(typed) >= LEAST_DIGITS and (entity.startswith(typed) or entity.endswith(typed)),
    lambda typed, entity, name: typed in name,
)


def _listed(names: Mapping[str, str]) -> str:
    return "; ".join(f"{name} (…{entity[-6:]})" for entity, name in names.items())


def names_of(state: "State", *kinds: str) -> dict[str, str]:
    """Names of all entities of some kinds (no kind: of all) by id."""
    from loamwright.notebook.kinds import kinds as every_kind
    from loamwright.words.showing import name_of

    return {fact.id: name_of(state, fact.id) for kind in kinds or every_kind() for fact in state.all(kind)}


def pick_entity(state: "State", wanted: str, field: "Field") -> str:
    """The entity a reference names; `InputError` where none or several fit."""
    from loamwright.notebook.kinds import kinds

    what = " or ".join(kinds()[kind].label.lower() for kind in field.of) or "entry"
    return pick(wanted, names_of(state, *field.of), what)


def pick_entry(state: "State", wanted: str) -> str:
    """The entry an id (whole, its first or last digits) names, in any version; `InputError` where none or several fit."""
    typed = wanted.strip().lower()
    if typed in state.versions.entries:
        return typed
    found = [each for each in state.versions.entries if each.startswith(typed) or each.endswith(typed)]
    if len(typed) < LEAST_DIGITS or not found:
        raise InputError("no_such_entry", typed=wanted)
    if len(found) > 1:
        raise InputError("several_fit", what="entry", typed=wanted, fitting="; ".join(found[:8]))
    return found[0]
