"""What no reading can be, whatever it is used for: machines and goods of no size, days nobody can have worked on."""

from collections.abc import Callable, Iterable, Mapping
from datetime import date, timedelta

from loamwright.notebook.fields import Amount, Field
from loamwright.notebook.kinds import Kind, kinds
from loamwright.project.asking import Due, Question
from loamwright.project.finding import as_typed
from loamwright.project.judged import judged
from loamwright.project.state import Fact, State

# Figures that other stages take from an entry without a reading of their own to ask about.
ABOVE_ZERO: Mapping[str, tuple[str, ...]] = {
    "container": ("volume",),
    "calibration": ("volume",),
    "scale": ("step", "most"),
    "press": ("mould_length", "mould_width", "block_height", "bore", "cylinders", "gauge_wanted", "rate"),
    "rig": ("ram_bore", "calibration", "capacity", "lever_ratio"),
    "mixer": ("usable_volume",),
    "stabiliser": ("bag_mass", "loose_density"),
    "source": ("amount", "trip_mass", "screen"),
    "brief": ("blocks", "block_mass"),
    "bend": ("took",),
}
NOT_BELOW_ZERO: Mapping[str, tuple[str, ...]] = {
    "container": ("tare",),
    "calibration": ("tare",),
    "source": ("distance",),
    "rig": ("lever_own",),
    "crush": ("soaked_for",),
    "bend": ("soaked_for",),
    "block": ("corners_lost",),
}
AIR: Mapping[str, tuple[str, ...]] = {"cure_step": ("coldest", "hottest"), "batch": ("air_temperature",)}
# Days of work: written down on the day or soon after it, never before it.
WORK_DAYS: Mapping[str, tuple[str, ...]] = {
    "block": ("pressed_at",),
    "crush": ("on",),
    "bend": ("on",),
    "jar": ("set_down",),
    "cure_step": ("on",),
    "proving_batch": ("on", "soaked_on"),
}


def questions(state: State) -> tuple[Question, ...]:
    """Figures and days that cannot be, by kind."""
    return (*_signs(state), *_air(state), *_days(state))


def due(state: State, today: date) -> tuple[Due, ...]:
    """Nothing of its own."""
    return ()


def _signs(state: State) -> Iterable[Question]:
    for fact, kind, field in _wrong(state, ABOVE_ZERO, lambda number: number <= 0):
        yield Question("figure_not_positive", kind.verb, (fact.id,), "impossible", _said(fact, field))
    for fact, kind, field in _wrong(state, NOT_BELOW_ZERO, lambda number: number < 0):
        yield Question("figure_negative", kind.verb, (fact.id,), "impossible", _said(fact, field))


def _wrong(
    state: State, table: Mapping[str, tuple[str, ...]], is_wrong: Callable[[float], bool]
) -> Iterable[tuple[Fact, Kind, Field]]:
    """The first wrong figure of each entry of the table's kinds."""
    for name, wanted in table.items():
        kind = kinds()[name]
        for fact in state.all(name):
            wrong = next((each for each in wanted if each in fact.values and is_wrong(_number(fact[each]))), "")
            if wrong:
                yield fact, kind, _field(kind, wrong)


def _number(value: Amount | int) -> float:
    return value.number if isinstance(value, Amount) else value


def _said(fact: Fact, field: Field) -> dict[str, object]:
    value = fact[field.name]
    return {"label": field.label, "typed": as_typed(value) if isinstance(value, Amount) else str(value)}


def _field(kind: Kind, name: str) -> Field:
    return next(each for each in kind.fields if each.name == name)


def _air(state: State) -> Iterable[Question]:
    """Temperatures of the air outside what people press and cure blocks in."""
    least, most = judged("air-least"), judged("air-most")
    for kind, names in AIR.items():
        for fact in state.all(kind):
            values = [value for name in names if (value := fact.number(name)) is not None and not least <= value <= most]
            if values:
                told = {"value": values[0], "least": least, "most": most}
                yield Question("air_strange", kinds()[kind].verb, (fact.id,), "unlikely", told)


def _days(state: State) -> Iterable[Question]:
    """Days that lie after the day they were written down, or long before it."""
    long_ago = timedelta(days=judged("written-late"))
    for name, wanted in WORK_DAYS.items():
        kind = kinds()[name]
        for fact in state.all(name):
            for each in wanted:
                said = fact.get(each)
                if said is None:
                    continue
                day, written = date.fromisoformat(said[:10]), _written(state, fact)
                # A day of grace: the clock of a device may stand in another zone.
                if not written - long_ago <= day <= written + timedelta(days=1):
                    values = {"label": _field(kind, each).label, "day": said[:10], "written": written.isoformat()}
                    yield Question("day_far_off", kind.verb, (fact.id,), "unlikely", values)
                    break


def _written(state: State, fact: Fact) -> date:
    """The local day on which what counts was written down."""
    head = state.versions.entries[fact.head]
    return max(date.fromisoformat(head.at[:10]), state.moment(fact).date())
