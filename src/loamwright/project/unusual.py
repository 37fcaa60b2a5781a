"""What figures of tools, goods and orders usually are: one far outside is computed with and asked about, a bad price too."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from functools import cache

from loamwright import tables, units
from loamwright.errors import InputError
from loamwright.notebook.fields import Amount, Field
from loamwright.notebook.kinds import kinds
from loamwright.project import costs
from loamwright.project.asking import Due, Question
from loamwright.project.finding import as_typed
from loamwright.project.judged import judged
from loamwright.project.state import Fact, State

PRICES = (("source", "price"), ("stabiliser", "bag_price"), ("brief", "other_cost"))


@dataclass(frozen=True, slots=True)
class Usual:
    """The usual range of one field, in the unit of its row (an engine unit).

    Attributes
    ----------
    kind : str
    field : Field
    least, most : float
    """

    kind: str
    field: Field
    least: float
    most: float


@cache
def usual_ranges() -> tuple[Usual, ...]:
    """Every range of data/usual.toml, in its order."""
    rows = tables.load("usual", required=("kind", "field", "least", "most", "unit", "note")).rows
    return tuple(Usual(row["kind"], _field(row["kind"], row["field"]), row["least"], row["most"]) for row in rows)


def _field(kind: str, name: str) -> Field:
    return next(each for each in kinds()[kind].fields if each.name == name)


def questions(state: State) -> tuple[Question, ...]:
    """Figures far from what is usual, scales too coarse for what they carry, prices that are none; one question an entry."""
    return (*_far_off(state), *_coarse(state), *_prices(state))


def due(state: State, today: date) -> tuple[Due, ...]:
    """Nothing of its own."""
    return ()


def _far_off(state: State) -> Iterable[Question]:
    """The first unusual figure of each entry; when it is corrected, the next is asked about."""
    asked: set[str] = set()
    for each in usual_ranges():
        for fact in state.all(each.kind):
            value = fact.get(each.field.name)
            if value is None or fact.id in asked:
                continue
            number = _number(state, fact, value)
            # No size and a size below zero are asked about as such.
            if number is not None and number > 0 and not each.least <= number <= each.most:
                asked.add(fact.id)
                values = {
                    "label": each.field.label,
                    "typed": _typed(value),
                    "least": _told(each.least, value),
                    "most": _told(each.most, value),
                }
                yield Question("figure_unusual", kinds()[each.kind].verb, (fact.id,), "unlikely", values)


def _number(state: State, fact: Fact, value: Amount | int) -> float | None:
    """The value in the engine's unit; None for containers full of one whose volume is not known."""
    if not isinstance(value, Amount):
        return float(value)
    try:
        return state.volume(value, state.at(fact)) if value.container else value.engine
    except InputError:
        return None


def _typed(value: Amount | int) -> str:
    return as_typed(value) if isinstance(value, Amount) else str(value)


def _told(limit: float, value: Amount | int) -> str:
    """A limit in the unit the value was typed in, to three digits.

    >>> _told(500.0, Amount(29.5, "cm", "29,5"))
    '50 cm'
    """
    known = units.all_units().get(value.unit) if isinstance(value, Amount) else None
    if known is None and isinstance(value, Amount) and value.container:
        known = units.unit("l")
    number = float(f"{limit if known is None else known.from_engine(limit):.3g}")
    return f"{number:.10f}".rstrip("0").rstrip(".") + ("" if known is None else f" {known.label}")


def _coarse(state: State) -> Iterable[Question]:
    """Scales whose step is too large a share of the most they carry: no scale is made so, one of the two units slipped."""
    for fact in state.all("scale"):
        step, most = fact.number("step"), fact.number("most")
        if step is not None and most is not None and step > 0 and most > 0 and step > judged("scale-step-share-most") * most:
            values = {"step": as_typed(fact["step"]), "most": as_typed(fact["most"])}
            yield Question("scale_coarse", "weigh", (fact.id,), "unlikely", values)


def _prices(state: State) -> Iterable[Question]:
    """Prices below zero or that are no number: nothing is costed with them."""
    for kind, field in PRICES:
        for fact in state.all(kind):
            if not fact.get(field):
                continue
            try:
                costs.price(fact, field)
            except InputError as fault:
                values = {"label": _field(kind, field).label, "typed": fault.values["typed"]}
                yield Question("price_strange", kinds()[kind].verb, (fact.id,), "unlikely", values)
