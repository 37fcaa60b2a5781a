"""Pressed blocks one by one: the mix they count as, their press, moment, density, pressure on the soil."""

from collections import defaultdict
from collections.abc import Mapping
from datetime import date, datetime, timedelta, timezone

from loamwright.engine.bench import hold as holding
from loamwright.engine.bench import moisture, pressing
from loamwright.errors import InputError, check_between
from loamwright.project import weigh
from loamwright.project.finding import Finding, Given, Result, attempt, given
from loamwright.project.judged import judged
from loamwright.project.state import Fact, State

# Looser than any pressed block, denser than most solid grains: outside, a reading or its unit slipped [judgement-block-density].


# --- mixes, and a batch that became a mix of its own ---


def mix_key(state: State, batch: str) -> str:
    """The mix a batch counts as: its mix, or "mix@batch" where its dose was missed by so much that it is its own mix."""
    root = state.versions.entity(batch)

    def compute() -> str:
        fact = state.fact(root, "batch")
        mix = state.versions.entity(fact["mix"])
        try:
            miss = weigh.batch_view(state, root).miss
        except InputError:
            return mix
        return f"{mix}@{root}" if miss is not None and miss.kind == "its_own_mix" else mix

    return state.memo(("mix_key", root), compute)


def mix_of(key: str) -> str:
    """Id of the mix in a key made by `mix_key`."""
    return key.partition("@")[0]


def stabiliser_type(state: State, batch: str) -> str:
    """ "cement", "lime" or "none", as the batch's mix says."""
    fact = state.find(batch, "batch")
    mix = None if fact is None or fact.fault is not None else state.find(fact["mix"], "mix")
    if mix is None or mix.fault is not None or not mix.get("stabiliser"):
        return "none"
    stabiliser = state.find(mix["stabiliser"], "stabiliser")
    return "none" if stabiliser is None or stabiliser.fault is not None else str(stabiliser["type"])


def blocks_of_mix(state: State, key: str) -> tuple[Fact, ...]:
    """Blocks whose batch counts as this mix."""

    def compute() -> Mapping[str, list[Fact]]:
        found: dict[str, list[Fact]] = defaultdict(list)
        for block in known_blocks(state):
            found[mix_key(state, block["batch"])].append(block)
        return found

    return tuple(state.memo("blocks_of_mix", compute).get(key, ()))


def known_blocks(state: State) -> list[Fact]:
    """Blocks that count and whose batch is there."""
    return state.memo("known_blocks", lambda: [block for block in state.all("block") if has_batch(state, block)])


def has_batch(state: State, block: Fact) -> bool:
    """Whether the batch a block names is there and understood."""
    batch = state.find(block["batch"], "batch")
    return batch is not None and batch.fault is None


def with_mark(state: State, mark: str) -> tuple[Fact, ...]:
    """Blocks that carry a mark: one usually, several where two were marked alike."""

    def compute() -> Mapping[str, list[Fact]]:
        found: dict[str, list[Fact]] = defaultdict(list)
        for block in known_blocks(state):
            found[block["mark"].strip()].append(block)
        return found

    return tuple(state.memo("by_mark", compute).get(mark.strip(), ()))


# --- the press, and when ---


def press_for(state: State, batch: Fact) -> Fact | None:
    """The press a batch is pressed on: its last block's, else its plan's, else the newest press of the bench."""
    blocks = state.where("block", "batch", batch.id)
    named = [block["press"] for block in reversed(blocks) if block.get("press")]
    plan = state.find(batch["plan"], "plan") if batch.get("plan") else None
    if plan is not None and plan.get("press"):
        named.append(plan["press"])
    found = next((press for name in named if (press := state.find(name, "press")) is not None), None)
    return found if found is not None and found.fault is None else state.latest("press")


def block_press(state: State, block: Fact) -> Fact:
    """The press a block came from; `InputError` ("needed") where none was named."""
    if not block.get("press"):
        raise InputError("needed", kind="block", field="press", entry=block.id)
    return state.fact(block["press"], "press")


def press_of_mix(state: State, mix: str) -> Fact | None:
    """The press the newest block of a mix came from, else the newest press of the bench."""
    named = [block["press"] for block in reversed(blocks_of_mix(state, mix)) if block.get("press")]
    found = next((press for name in named if (press := state.find(name, "press")) is not None), None)
    return found if found is not None and found.fault is None else state.latest("press")


def pressed_at(state: State, block: Fact) -> datetime:
    """Local moment a block was pressed: as typed, else when it was written down."""
    if "pressed_at" not in block.values:
        return state.moment(block)
    return datetime.fromisoformat(block["pressed_at"]).replace(tzinfo=timezone(timedelta(minutes=block.offset)))


def pressed_on(state: State, block: Fact) -> date:
    """Local day a block was pressed."""
    return pressed_at(state, block).date()


# --- what a block shows ---


def volume(state: State, block: Fact) -> Finding:
    """Gross volume of a block: the mould's face times its own height."""
    press = block_press(state, block)
    length, width, height = given(press, "mould_length"), given(press, "mould_width"), given(block, "height")
    value = pressing.block_volume(
        press.needed("mould_length"), block_width=press.needed("mould_width"), block_height=block.needed("height")
    )
    return Finding(pressing.BLOCK_VOLUME, value, {"l": length, "b": width, "h": height})


def green_density(state: State, block: Fact) -> Result:
    """Density of a fresh block with its water, or why there is none."""

    def compute() -> Finding:
        size = volume(state, block)
        value = pressing.green_density(block.needed("green_mass"), block_volume=size.value)
        _check_density(value, block)
        return Finding(pressing.GREEN_DENSITY, value, {"m": given(block, "green_mass"), "V": size})

    return state.memo(("green_density", block.id), lambda: attempt("green_density", (block.id,), compute))


def _check_density(value: float, block: Fact) -> None:
    least, most = judged("block-density-least"), judged("block-density-most")
    if not least <= value <= most:
        raise InputError("block_density_absurd", mark=block["mark"], value=value, least=least, most=most)


def mix_water(state: State, batch: str) -> Finding:
    """Moisture of a batch's mix as it was pressed; a soil that took no water brings its own.

    Raises
    ------
    InputError
        "needed" where water was wanted and none was weighed.
    """
    view = weigh.batch_view(state, batch)
    if view.mix_water is not None:
        return view.mix_water
    if view.water_order:
        raise InputError("needed", kind="batch", field="water weighed", entry=view.fact.id)
    total, soil_water = view.water_wanted.inputs["T"], view.water_wanted.inputs["w"]
    assert isinstance(total, Finding) and isinstance(soil_water, Finding)
    value = moisture.mix_water_content(
        0.0, total_dry_mass=total.value, dry_soil_mass=view.dry_soil.value, soil_water_content=soil_water.value
    )
    return Finding(moisture.MIX_WATER_CONTENT, value, {"A": Given(0.0), "w": soil_water, "S": view.dry_soil, "T": total})


def dry_density(state: State, block: Fact) -> Result:
    """Dry density of a fresh block by its batch's mix moisture, or why there is none."""

    def compute() -> Finding:
        size = volume(state, block)
        _check_density(pressing.green_density(block.needed("green_mass"), block_volume=size.value), block)
        water = mix_water(state, block["batch"])
        value = pressing.green_dry_density(block.needed("green_mass"), block_volume=size.value, water_content=water.value)
        return Finding(pressing.GREEN_DRY_DENSITY, value, {"m": given(block, "green_mass"), "V": size, "w": water})

    return state.memo(("dry_density", block.id), lambda: attempt("dry_density", (block.id,), compute))


def soil_pressure(state: State, block: Fact) -> Result | None:
    """Pressure on the soil by the gauge, or None where no gauge was read."""
    if "gauge" not in block.values:
        return None
    return attempt("soil_pressure", (block.id,), lambda: _soil_pressure(state, block))


def _soil_pressure(state: State, block: Fact) -> Finding:
    check_gauge(block.needed("gauge"))
    press = block_press(state, block)
    cylinders, rod = float(press.get("cylinders") or 1), press.number("rod") or 0.0
    value = pressing.soil_pressure_from_gauge(
        block.needed("gauge"),
        bore=press.needed("bore"),
        mould_length=press.needed("mould_length"),
        mould_width=press.needed("mould_width"),
        cylinders=int(cylinders),
        rod_diameter=rod,
    )
    inputs = {
        "p_g": given(block, "gauge"),
        "D": given(press, "bore"),
        "N": Given(cylinders, (press.head,)),
        "d": Given(rod, (press.head,)),
        "l": given(press, "mould_length"),
        "b": given(press, "mould_width"),
    }
    return Finding(pressing.SOIL_PRESSURE_FROM_GAUGE, value, inputs)


def check_gauge(gauge: float) -> None:
    """Raise `InputError` ("gauge_absurd") for an oil pressure no press or jack of this trade works at."""
    check_between(0.0, float("inf"), gauge_pressure=gauge)
    least, most = judged("gauge-least"), judged("gauge-most")
    if not least <= gauge <= most:
        raise InputError("gauge_absurd", value=gauge, least=least, most=most)


def compression(state: State, block: Fact) -> Result | None:
    """Loose height over pressed height, or None where the loose fill was not measured."""
    if "loose_height" not in block.values:
        return None

    def compute() -> Finding:
        value = pressing.compression_ratio(block.needed("loose_height"), block_height=block.needed("height"))
        return Finding(pressing.COMPRESSION_RATIO, value, {"h_0": given(block, "loose_height"), "h": given(block, "height")})

    return attempt("compression_ratio", (block.id,), compute)


def minutes_held(state: State, block: Fact) -> float | None:
    """Minutes from cement meeting the soil to the pressing of this block; None for other mixes or where no clock was started."""
    if stabiliser_type(state, block["batch"]) != "cement":
        return None
    taps = state.where("stabiliser_in", "batch", block["batch"])
    if not taps:
        return None
    started, pressed = state.moment(taps[0]), pressed_at(state, block)
    return None if pressed < started else holding.minutes_held(started, at=pressed)
