"""The phone's modules in a real browser against the bench kernels in Python: every vector, every limit, thousands of seeded inputs.

Nothing is frozen: Python computes its side while the test runs. Numbers may differ by 1e-12 of the larger one, nothing else may.
"""

import inspect
import json
import math
import random
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta, timezone
from typing import Any

import pytest
from playwright.sync_api import Browser, Page
from tests.browser.conftest import start
from tests.engine.bench.test_bad_values import CASES
from tests.vectors.reading import (
    NOT_ON_THE_PHONE,
    call,
    camel,
    constants,
    differences,
    field_data,
    kernels,
    plain_values,
    unlike_print,
    vectors,
)

from loamwright import units
from loamwright.engine.bench.dose import BASES, Dose
from loamwright.engine.bench.marks import LAST_COUNTER, make_mark
from loamwright.engine.bench.moisture import STEP_SLACK
from loamwright.engine.bench.weigh_out import SourcePart
from loamwright.errors import InputError
from loamwright.notebook import fields
from loamwright.notebook.kinds import kinds

pytestmark = pytest.mark.browser

DRAWS = 3000  # random inputs a kernel
KERNELS = sorted(kernels().keys() - NOT_ON_THE_PHONE.keys())

# What stands behind the pages' own modules in the browser: calls by name, answers as plain data. JSON has no NaN, so such
# numbers go over as {"float": "NaN"}; a vector's typed text goes as {"typed": "12 lb"} and is read by the phone's own modules.
BENCH = """
async (units) => {
  const [numbers, twin, fields] = await Promise.all(
    ["numbers", "twin", "fields"].map((name) => import(`/static/${name}.js`)),
  );
  const typed = (text) => {
    const cut = text.lastIndexOf(" ");
    const key = text.slice(cut + 1);
    return cut > 0 && Object.hasOwn(units, key)
      ? numbers.toEngine(numbers.parseNumber(text.slice(0, cut)), key, units)
      : numbers.parseNumber(text);
  };
  const read = (value) => {
    if (Array.isArray(value)) return value.map(read);
    if (value === null || typeof value !== "object") return value;
    if ("float" in value) return Number(value.float);
    if ("typed" in value) return typed(value.typed);
    return Object.fromEntries(Object.entries(value).map(([name, each]) => [name, read(each)]));
  };
  const write = (value) => {
    if (typeof value === "number") return Number.isFinite(value) ? value : { float: String(value) };
    if (Array.isArray(value)) return value.map(write);
    if (value === null || typeof value !== "object") return value;
    return Object.fromEntries(Object.entries(value).map(([name, each]) => [name, write(each)]));
  };
  const answer = (ask) => {
    try {
      return { result: write(ask()) };
    } catch (fault) {
      const known = fault instanceof numbers.InputError;
      return known ? { fault: { code: fault.code, values: write(fault.values) } } : { raised: String(fault) };
    }
  };
  const told = ({ body, faults }) => {
    const said = Object.entries(faults).map(([name, { code, values }]) => [name, { code, values }]);
    return { body, faults: Object.fromEntries(said) };
  };
  const all = (ask) => (text) => JSON.stringify(JSON.parse(text).map((given) => answer(() => ask(given))));
  window.bench = {
    kernels: all(([kernel, given]) => twin[kernel](read(given))),
    numbers: all((text) => numbers.parseNumber(text)),
    units: all(([value, key]) => [numbers.toEngine(value, key, units), numbers.fromEngine(value, key, units)]),
    fields: all(([asked, raw]) => told(fields.parseFields(asked, raw, units))),
    exported: () => Object.fromEntries(
      Object.entries(twin).map(([name, value]) => [name, typeof value === "function" ? "function" : value]),
    ),
  };
}
"""


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    process, address = start(tmp_path_factory.mktemp("twin") / "bench.notebook")
    yield address
    process.terminate()
    process.wait(10)
    process.stdout and process.stdout.close()


@pytest.fixture(scope="module")
def page(chromium: Browser, server: str) -> Iterator[Page]:
    context = chromium.new_context()
    opened = context.new_page()
    opened.goto(f"{server}/static/twin.js")  # nothing of the pages runs beside the modules
    opened.evaluate(BENCH, units.as_table())
    yield opened
    context.close()


def ask(page: Page, what: str, given: list[Any]) -> list[Any]:
    return [back(each) for each in json.loads(page.evaluate(f"(text) => window.bench.{what}(text)", json.dumps(there(given))))]


def there(value: Any) -> Any:
    """Plain data for the browser."""
    if isinstance(value, dict):
        return {name: there(each) for name, each in value.items()}
    if isinstance(value, list | tuple):
        return [there(each) for each in value]
    if isinstance(value, float) and not math.isfinite(value):
        return {"float": "NaN" if math.isnan(value) else "Infinity" if value > 0 else "-Infinity"}
    return value.isoformat() if isinstance(value, datetime) else value


def back(value: Any) -> Any:
    """Plain data from the browser."""
    if isinstance(value, dict):
        if value.keys() == {"float"}:
            return float(value["float"])
        return {name: back(each) for name, each in value.items()}
    return [back(each) for each in value] if isinstance(value, list) else value


def named_for_phone(given: Any) -> Any:
    """Arguments with the names the phone's modules use."""
    if isinstance(given, list):
        return [named_for_phone(each) for each in given]
    if isinstance(given, dict):
        return {camel(name): named_for_phone(each) for name, each in given.items()}
    return given


def vector_for_phone(given: Any) -> Any:
    """What a vector gives, its typed texts marked to be read by the phone's own modules."""
    if isinstance(given, str):
        return {"typed": given}
    if isinstance(given, list):
        return [vector_for_phone(each) for each in given]
    if given.keys() in ({"text"}, {"moment"}) and isinstance(next(iter(given.values())), str):
        return next(iter(given.values()))
    return {camel(name): vector_for_phone(each) for name, each in given.items()}


# --- the list of vectors ---


def test_printed_figures(page: Page) -> None:
    listed = vectors()["figure"]
    found = ask(page, "kernels", [[camel(each["kernel"]), vector_for_phone(each["given"])] for each in listed])
    apart = {}
    for vector, answer in zip(listed, found, strict=True):
        wrong = unlike_print(answer["result"], vector["printed"], vector) if "result" in answer else [str(answer)]
        if wrong:
            apart[vector["id"]] = wrong
    assert apart == {}


def test_bad_vectors(page: Page) -> None:
    listed = vectors()["bad"]
    found = ask(page, "kernels", [[camel(each["kernel"]), vector_for_phone(each["given"])] for each in listed])
    assert [answer.get("fault", answer).get("code") for answer in found] == [vector["code"] for vector in listed]
    for vector, answer in zip(listed, found, strict=True):
        assert vector.get("values", {}).items() <= answer["fault"]["values"].items()


def test_typed_numbers(page: Page) -> None:
    listed = vectors()["number"]
    found = ask(page, "numbers", [each["text"] for each in listed])
    said = [answer["fault"]["code"] if "fault" in answer else answer["result"] for answer in found]
    assert said == [each.get("code", each.get("value")) for each in listed]


def test_typed_fields(page: Page) -> None:
    listed = vectors()["field"]
    given = []
    for each in listed:
        more = {name: each[name] for name in ("quantity", "options") if name in each}
        field = fields.Field("asked", "Asked", each["kind"], required=True, **more)
        given.append([[field_data(field)], {"asked": each["typed"], "asked_unit": [each.get("unit", "")]}])
    for vector, answer in zip(listed, ask(page, "fields", given), strict=True):
        if "code" in vector:
            assert (answer["result"]["body"], answer["result"]["faults"]["asked"]["code"]) == ({}, vector["code"]), vector
        else:
            assert differences(answer["result"], {"body": {"asked": vector["body"]}, "faults": {}}) == [], vector


# --- the engine's own table of bad values, and its limits ---


def test_the_table_of_bad_values(page: Page) -> None:
    """All of tests/engine/bench/test_bad_values.py: same code, same values."""
    given, expected = [], []
    for function, positional, named, _code, _values in CASES:
        arguments = inspect.signature(function).bind(*positional, **named).arguments
        # A dose is checked where it is made; on the phone a kernel makes it of what it is given.
        name = "of_total" if function is Dose else function.__name__
        arguments = {"dose": arguments} if function is Dose else arguments
        plain = {key: _as_data(value) for key, value in arguments.items()}
        given.append([camel(name), named_for_phone(plain)])
        expected.append(_fault(function, positional, named))
    apart = [
        [each[0], wrong]
        for each, answer, fault in zip(given, ask(page, "kernels", given), expected, strict=True)
        if (wrong := differences(answer, {"fault": fault}))
    ]
    assert apart == []


def _as_data(value: Any) -> Any:
    if isinstance(value, Dose):
        return {"value": value.value, "basis": value.basis}
    if isinstance(value, SourcePart):
        return {name: getattr(value, name) for name in ("source", "parts", "pail_dry_mass", "water_content")}
    return [_as_data(each) for each in value] if isinstance(value, list) else value


def _fault(function: Callable[..., Any], positional: tuple[Any, ...], named: dict[str, Any]) -> dict[str, Any]:
    with pytest.raises(InputError) as caught:
        function(*positional, **named)
    return {"code": caught.value.code, "values": plain_values(caught.value.values)}


def test_limits_are_the_same(page: Page) -> None:
    exported = page.evaluate("() => window.bench.exported()")
    assert {name: value for name, value in exported.items() if name.isupper()} == dict(constants())
    assert {name for name, value in exported.items() if value == "function" and name[0].islower()} == {
        camel(name) for name in KERNELS
    }


# --- thousands of inputs a kernel ---


def masses(draw: random.Random) -> float:
    return 10 ** draw.uniform(-2, 3)


def between(least: float, most: float) -> Callable[[random.Random], float]:
    return lambda draw: draw.uniform(least, most)


def one_of(*values: Any) -> Callable[[random.Random], Any]:
    return lambda draw: draw.choice(values)


def some(each: Callable[[random.Random], float], least: int, most: int) -> Callable[[random.Random], list[float]]:
    return lambda draw: [each(draw) for _ in range(draw.randint(least, most))]


def moment(draw: random.Random) -> datetime:
    """A moment of the phone: to the millisecond, in any offset, now and then with none."""
    zone = timezone(timedelta(minutes=draw.randrange(-720, 841, 15)))
    found = datetime(2026, 5, 1, tzinfo=UTC) + timedelta(milliseconds=draw.randrange(20_000_000))
    return found.astimezone(zone) if draw.random() > 0.03 else found.replace(tzinfo=None)


def mark(draw: random.Random) -> str:
    text = make_mark(draw.randint(1, LAST_COUNTER))
    place = draw.randrange(len(text))
    return draw.choice(
        [text, f" {text}\t", text[:place] + draw.choice("0123456789 x٣") + text[place + 1 :], text[:-1], text + "1", ""]
    )


def digits(draw: random.Random) -> str:
    return "".join(draw.choices("0123456789", k=draw.randint(0, 20))) + draw.choice(["", "", "", "x", " ", "٣"])


def dose(draw: random.Random) -> dict[str, Any]:
    basis = draw.choice([*BASES, "of_wet_mix"])
    return {"basis": basis, "value": draw.uniform(1, 110) if basis == "by_volume_one_to_n" else draw.uniform(-0.02, 1.05)}


def part(draw: random.Random) -> dict[str, Any]:
    return {
        "source": draw.choice("abcdefgh"),
        "parts": draw.choice([1, 2, 3, 0.5, draw.uniform(-0.1, 9)]),
        "pail_dry_mass": draw.uniform(-0.5, 60),
        "water_content": draw.uniform(-0.01, 0.4),
    }


shares, lengths = between(-0.02, 1.02), between(10, 600)
DRAWN: dict[str, Callable[[random.Random], Any]] = {
    # Shares
    "water_content": shares,
    "soil_water_content": shares,
    "saturation": shares,
    "stabiliser_per_dry_soil": shares,
    "stabiliser_of_total": between(-0.01, 0.52),
    "target_water_content": between(-0.01, 0.52),
    "water_per_mix_volume": between(-0.01, 0.52),
    # Densities, volumes and ratios
    **dict.fromkeys(("stabiliser_loose_density", "soil_loose_density", "loose_moist_density"), between(100, 2500)),
    **dict.fromkeys(("dry_density", "bulk_density", "density"), between(200, 3500)),
    **dict.fromkeys(("moist_unit_weight", "unit_weight"), between(2, 35)),
    **dict.fromkeys(("volume", "pail_volume", "block_volume", "dry_mix_volume"), between(0.001, 0.06)),
    "specific_gravity": between(1.4, 6.2),
    "void_ratio": between(-0.05, 3),
    "soil_volumes_per_stabiliser": between(1, 105),
    # Lengths
    **dict.fromkeys(("mould_length", "mould_width", "block_length", "block_width", "block_height", "thickness"), lengths),
    **dict.fromkeys(("bore", "rod_diameter", "loose_height"), lengths),
    **dict.fromkeys(("span", "load_arm", "block_arm", "lever_centre"), between(20, 2000)),
    # Forces and pressures
    **dict.fromkeys(("force", "rig_capacity", "load_at_brief"), masses),
    **dict.fromkeys(("gauge_pressure", "soil_pressure", "compressive_strength"), between(0, 40)),
    **dict.fromkeys(("bending_strength", "first_half", "second_half"), between(0, 8)),
    "ram_area": between(100, 20_000),
    "jack_factor": between(0.25, 1.25),
    "rig_margin": between(0.8, 10.5),
    "cylinders": one_of(1, 2, 3, 4, 0, 1.5),
    # Time, marks, scales
    "air_temperature": between(-45, 65),
    "minutes_held": between(-5, 200),
    "hold_limit_minutes": one_of(60, 30, 45.5, 0),
    **dict.fromkeys(("stabiliser_in", "at"), moment),
    "counter": lambda draw: draw.choice([draw.randint(-5, 10_050), draw.uniform(0, 10_050)]),
    "text": mark,
    "digits": digits,
    **dict.fromkeys(
        ("scale_step", "soil_scale_step"), one_of(0.001, 0.002, 0.005, 0.01, 0.05, 0.1, 0.5, 1, 0.0283495, 1e-7, 2.5e-8, 0)
    ),
    # Several
    "filled_masses": some(between(3, 60), 0, 6),
    "weighings": some(one_of(0.3, 0.301, 0.302, 0.299, 0.312, 0), 0, 5),
    "parts": lambda draw: [part(draw) for _ in range(draw.randint(0, 3))],
    "dose": dose,
}
# Beyond what anybody types, and what a form may still hand over.
STRANGE = (0, -0.0, -1, 1e-300, 1e300, math.nan, math.inf, -math.inf)
LIMITS = (0, 1, *(value for value in constants().values() if isinstance(value, int | float)))


def arguments(kernel: str, draw: random.Random) -> dict[str, Any]:
    """Arguments of a kernel by its signature: usual ones, some left out that may be.

    Now and then a number stands exactly on a limit, is equal to another one, or is something strange.
    """
    found: dict[str, Any] = {}
    for name, parameter in inspect.signature(kernels()[kernel]).parameters.items():
        if parameter.default is not inspect.Parameter.empty and draw.random() < 0.3:
            continue
        value = DRAWN.get(name, masses)(draw)
        if isinstance(value, int | float):
            same = [each for each in found.values() if isinstance(each, int | float)]
            odd = draw.random()
            if odd < 0.02:
                value = draw.choice(STRANGE)
            elif odd < 0.08:
                value = draw.choice(LIMITS)
            elif odd < 0.12 and same:
                value = draw.choice(same) * draw.choice((1, 1, 1 + STEP_SLACK))
        found[name] = value
    return found


def finite(value: Any) -> bool:
    if isinstance(value, dict):
        return all(finite(each) for each in value.values())
    if isinstance(value, list):
        return all(finite(each) for each in value)
    return not isinstance(value, float) or math.isfinite(value)


@pytest.mark.parametrize("kernel", KERNELS)
def test_a_kernel_gives_the_same_numbers(page: Page, kernel: str) -> None:
    draw = random.Random(f"{kernel}, first")
    drawn = [arguments(kernel, draw) for _ in range(DRAWS)]
    here = [call(kernel, each) for each in drawn]
    found = ask(page, "kernels", [[camel(kernel), named_for_phone(each)] for each in drawn])
    apart = []
    for given, python, phone in zip(drawn, here, found, strict=True):
        if "raised" in python:  # Python raises where a browser's numbers run out: no number may come back there either
            if finite(phone.get("result", math.nan)):
                apart.append([given, python, phone])
        elif wrong := differences(phone, python):
            apart.append([given, wrong])
    assert apart[:3] == [], f"{len(apart)} of {DRAWS} differ"
    computed = sum("result" in each and finite(each["result"]) for each in here)
    assert computed > DRAWS / 20, f"only {computed} of {DRAWS} inputs were computed with"


# --- thousands of typed texts ---

LETTERS = [
    "0",
    "1",
    "2",
    "5",
    "9",
    "12",
    "3/4",
    " ",
    "\u00a0",
    ".",
    ",",
    "/",
    "-",
    "−",
    "+",
    "e",
    "E",
    "½",
    "⅛",
    "٣",
    "٫",
    "x",
    "\t",
    "\ufeff",
    "\x1c",
]


def test_typed_numbers_of_chance(page: Page) -> None:
    draw = random.Random("numbers")
    texts = ["".join(draw.choices(LETTERS, k=draw.randint(0, 6))) for _ in range(20_000)]
    texts += [repr(draw.uniform(-1, 1) * 10.0 ** draw.randint(-320, 308)) for _ in range(2000)]
    texts += ["9" * 400, "9" * 400 + "/3", "1/" + "9" * 400, "1 1/" + "0" * 400 + "4"]
    here = [_parsed_number(text) for text in texts]
    assert sum("result" in each for each in here) > 4000
    apart = [
        [text, python, phone]
        for text, python, phone in zip(texts, here, ask(page, "numbers", texts), strict=True)
        if differences(phone, python, within=0)
    ]
    assert apart[:5] == []


def _parsed_number(text: str) -> dict[str, Any]:
    try:
        return {"result": units.parse_number(text)}
    except InputError as fault:
        return {"fault": {"code": fault.code, "values": dict(fault.values)}}


def test_units_there_and_back(page: Page) -> None:
    draw = random.Random("units")
    given = [(draw.uniform(-1, 1) * 10 ** draw.uniform(-6, 6), key) for key in units.all_units() for _ in range(200)]
    here = [{"result": [units.unit(key).to_engine(value), units.unit(key).from_engine(value)]} for value, key in given]
    assert [each for pair in zip(ask(page, "units", given), here, strict=True) for each in differences(*pair)] == []
    unknown = ask(page, "units", [[1, "stone"], [1, "toString"]])
    with pytest.raises(InputError) as caught:
        units.unit("stone")
    assert unknown[0]["fault"] == {"code": caught.value.code, "values": dict(caught.value.values)}
    assert unknown[1]["fault"]["code"] == "unknown_unit"


NUMBERS = [
    "12",
    "1 1/2",
    "0,5",
    "abc",
    "",
    "  ",
    "12 lb",
    "3kg",
    "4 US gal",
    "20 °C",
    "68°F",
    "7 m",
    "7 mm",
    "-3",
    "1/0",
    "5 xkg",
    "7 %",
]
TEXTS = [
    "yes",
    "no",
    "on",
    "clay lumps ",
    "",
    "one, two",
    "2026-03-04",
    "2026-02-30",
    "2026-03-04T08:05",
    "2026-03-04T25:00",
    "0000-01-01",
]


def raw_of(asked: tuple[fields.Field, ...], draw: random.Random) -> dict[str, list[str]]:
    """Texts typed at random into the fields of one kind, units and rows included."""
    raw: dict[str, list[str]] = {}
    for each in asked:
        if draw.random() < 0.1:
            continue
        if each.kind == "rows":
            for index in draw.sample(range(12), draw.randint(0, 3)):
                raw |= {f"{each.name}-{index}-{name}": texts for name, texts in raw_of(each.rows, draw).items()}
            continue
        numeric = each.kind in ("number", "whole", "quantity", "quantities")
        some_texts = NUMBERS if numeric else [*TEXTS, *each.options] if draw.random() < 0.2 else list(each.options) or TEXTS
        texts = draw.choices(some_texts, k=draw.randint(0, 3 if each.kind in ("quantities", "refs") else 1))
        raw[each.name] = [";".join(texts)] if each.kind == "quantities" and draw.random() < 0.5 else texts
        if each.quantity:
            own = [unit.key for unit in units.units_of(each.quantity)]
            raw[f"{each.name}_unit"] = [draw.choice([*own, *own, *own, "", "stone", "kg", "container:pail"])]
    return raw


def test_every_kind_of_entry_is_read_alike(page: Page) -> None:
    draw = random.Random("fields")
    given, here = [], []
    for kind in kinds().values():
        asked = [field_data(each) for each in kind.fields]
        for _ in range(100):
            raw = raw_of(kind.fields, draw)
            parsed = fields.parse(kind.fields, raw)
            faults = {name: {"code": each.code, "values": dict(each.values)} for name, each in parsed.faults.items()}
            given.append([asked, raw])
            here.append({"result": {"body": parsed.body, "faults": faults}})
    found = ask(page, "fields", given)
    apart = [
        [raw, wrong]
        for (_, raw), phone, python in zip(given, found, here, strict=True)
        if (wrong := differences(phone, python, within=0))
    ]
    assert apart[:3] == []
    seen = {fault["code"] for each in here for fault in each["result"]["faults"].values()}
    assert seen > {
        "missing_field",
        "not_a_number",
        "unit_missing",
        "unit_of_other_quantity",
        "unknown_unit",
        "not_whole",
        "unknown_choice",
    }
    assert any(isinstance(value, list) for each in here for value in each["result"]["body"].values())
