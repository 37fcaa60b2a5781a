"""Charts of strength: each block a dot by mix, by age, and what a block costs against how strong its mix is."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from loamwright.project import breaking, choosing, compare
from loamwright.project.breaking import BlockStrength
from loamwright.project.compare import MixResult
from loamwright.project.finding import Finding
from loamwright.project.state import State
from loamwright.words.blocks import CONDITIONS, mix_key_name
from loamwright.words.charts import frame
from loamwright.words.charts.frame import Chart, Scale, along, axis, label, mark
from loamwright.words.choices import money
from loamwright.words.comparisons import strength, verdict
from loamwright.words.language import tr
from loamwright.words.numbers import Shown, count
from loamwright.words.sentences import sentence
from loamwright.words.showing import batch_number, name_of

INNER = 296.0  # width of the field in which strengths of mixes are drawn [px]
ACROSS = 270.0  # width of a field with an axis that stands [px]
IN_WORDS = 90  # of a name in a sentence, which has more room than a drawing
DOT = 11.0  # what one dot needs across [px]
ROW = 13.0  # from one row of dots to the next [px]


def _value(shown: Shown, megapascals: float) -> float:
    return float(f"{shown.unit('pressure').from_engine(megapascals):.6g}")


def _limits(state: State, shown: Shown) -> list[tuple[str, float]]:
    """What the brief asks, in words and in the person's unit; the lower first."""
    stick = compare.comparison(state).yardstick
    asked = ((tr("each at least"), stick.each_least), (tr("mean at least"), stick.mean_least))
    said = [(f"{words} {strength(limit, shown)}", _value(shown, limit)) for words, limit in asked if limit]
    return sorted(said, key=lambda each: each[1])


def _limit_rows(limits: Sequence[tuple[str, float]], shown: Shown, columns: int) -> list[tuple[str, ...]]:
    """What the brief asks as rows of a table whose last cell is the strength."""
    rows = []
    for words, _ in limits:
        name, _, value = words.rpartition(" ")
        rows.append((tr("Brief"), *[""] * (columns - 3), name, value))
    return rows


# --- every block, by mix ---


@dataclass(frozen=True, slots=True)
class _Drawn:
    """What the rows of the chart of mixes are made of, places from the top in px."""

    dots: list[dict[str, Any]]
    bands: list[dict[str, Any]]
    means: list[dict[str, Any]]
    words: list[frame.Placed]
    names: list[frame.Placed]
    height: float


def strength_by_mix(state: State, shown: Shown) -> Chart | None:
    """Every counted block a dot, mixes one below the other on one scale; None where no block counts."""
    mixes = [each for each in compare.comparison(state).mixes if each.spread is not None]
    if not mixes:
        return None
    limits = _limits(state, shown)
    values = [_value(shown, compare.block_value(block)) for each in mixes for block in each.counted]
    cautious = [_value(shown, value) for each in mixes if (value := _cautious(each)) is not None]
    scale = frame.scale_of([*values, *cautious, *(value for _, value in limits)], INNER, marks=6)
    top = frame.LINE * len(limits)
    drawn = _rows_of_mixes(state, mixes, shown, scale, top + 4)
    unit = shown.unit("pressure").label
    rows: list[tuple[str, ...]] = [row for each in mixes for row in _mix_rows(state, each, shown)]
    alt = _alt_of_mixes(state, mixes, limits, shown)
    return Chart(
        name="strength",
        title=tr("Strength of every block, by mix"),
        read=tr(
            "One dot is one block. Thick line: the mean. Grey: from the cautious value to the mean, the wider the less is known."
            " Broken lines: what the brief asks."
        ),
        alt=alt,
        columns=(
            {"label": tr("Mix")},
            {"label": tr("Batch"), "count": True},
            {"label": tr("Block")},
            {"label": tr("Strength"), "unit": unit, "count": True},
        ),
        rows=(*rows, *_limit_rows(limits, shown, 4)),
        description=_describe_mixes(drawn, limits, scale, alt, tr("Strength, {unit}", unit=unit)),
    )


def _cautious(each: MixResult) -> float | None:
    """The cautious value of a mix where something is left of it."""
    found = each.cautious
    return found.value if isinstance(found, Finding) and found.value > 0 else None


def _alt_of_mixes(state: State, mixes: Sequence[MixResult], limits: Sequence[tuple[str, float]], shown: Shown) -> str:
    told = [
        tr("{mix}: mean {mean}, least {least}", mix=label(mix_key_name(state, each.key)), mean=strength(each.spread.mean, shown),
           least=strength(each.spread.least, shown))
        for each in mixes[:6]
        if each.spread is not None
    ]  # fmt: skip
    if len(mixes) > 6:
        told.append(tr("and {n} more", n=count(len(mixes) - 6, "mix", "mixes")))
    asked = "".join("; " + tr("the brief asks {limit}", limit=words) for words, _ in limits)
    blocks = count(sum(len(each.counted) for each in mixes), "block")
    unit = shown.unit("pressure").label
    return tr("Strength of {blocks} in {unit}: {mixes}{asked}.", blocks=blocks, unit=unit, mixes="; ".join(told), asked=asked)


def _mix_rows(state: State, each: MixResult, shown: Shown) -> list[tuple[str, ...]]:
    """The blocks of a mix as rows of the table, then what is drawn of all of them."""
    assert each.spread is not None
    name = mix_key_name(state, each.key)
    rows: list[tuple[str, ...]] = [
        (name, _number(state, batch), name_of(state, block.block), strength(compare.block_value(block), shown))
        for batch, blocks in each.batches.items()
        for block in sorted(blocks, key=compare.block_value)
    ]
    rows.append((name, "", tr("mean"), strength(each.spread.mean, shown)))
    cautious = _cautious(each)
    if cautious is not None:
        rows.append((name, "", tr("cautious value"), strength(cautious, shown)))
    return rows


def _number(state: State, batch: str) -> str:
    fact = state.find(batch, "batch")
    return "" if fact is None else str(batch_number(state, fact))


def _rows_of_mixes(state: State, mixes: Sequence[MixResult], shown: Shown, scale: Scale, top: float) -> _Drawn:
    drawn = _Drawn([], [], [], [], [], top)
    y = top
    for each in mixes:
        word, _ = verdict(each)
        drawn.names.append(frame.Placed(label(mix_key_name(state, each.key)), 0, y + frame.LINE / 2, "left"))
        y += frame.LINE + 4
        begin = y
        for batch, blocks in each.batches.items():
            if len(each.batches) > 1:
                words = tr("batch {n}", n=_number(state, batch))
                drawn.words.append(frame.Placed(words, 0, y + ROW / 2, "left"))
            marks = {block.block: _value(shown, compare.block_value(block)) for block in blocks}
            placed, rows = _dodged(marks, scale)
            drawn.dots.extend({"value": marks[block], "py": round(y + ROW * (row + 0.5), 1)} for block, row in placed.items())
            y += ROW * rows + 3
        y = _mix_foot(each, word, shown, scale, begin, y, drawn)
    return _Drawn(drawn.dots, drawn.bands, drawn.means, drawn.words, drawn.names, y)


def _mix_foot(each: MixResult, word: str, shown: Shown, scale: Scale, begin: float, end: float, drawn: _Drawn) -> float:
    """Mean and cautious value of a mix, drawn behind its dots and said below them with the brief's word; gives the next place."""
    assert each.spread is not None
    mean, line = _value(shown, each.spread.mean), end + frame.LINE / 2
    drawn.means.append({"value": mean, "py": begin - 1, "py2": end + 1})
    right = strength(each.spread.mean, shown)
    cautious = _cautious(each)
    if cautious is not None:
        low = _value(shown, cautious)
        drawn.bands.append({"value": low, "value2": mean, "py": begin, "py2": end})
        drawn.words.append(frame.Placed(strength(cautious, shown), scale.px(low) + 2, line, _side(scale.px(low), low <= mean)))
    drawn.words.append(frame.Placed(right, scale.px(mean) - 2, line, "left"))
    low_end = scale.px(mean if cautious is None else _value(shown, cautious))
    if scale.px(mean) + frame.long_of(right + word) + 12 < INNER:
        drawn.words.append(frame.Placed(word, INNER, line, "right"))
    elif low_end - frame.long_of(right + word) - 12 > 0:
        drawn.words.append(frame.Placed(word, 0, line, "left"))
    else:
        line += frame.LINE
        drawn.words.append(frame.Placed(word, 0, line, "left"))
    return line + frame.LINE / 2 + 9


def _side(px: float, below: bool) -> str:
    """Words of a cautious value end at it, so that they never meet those of the mean, unless no room is left of it."""
    return "right" if below and px > 40 else "left"


def _dodged(values: Mapping[str, float], scale: Scale) -> tuple[dict[str, int], int]:
    """Each dot in the first row where it covers no other."""
    ends: list[float] = []
    placed: dict[str, int] = {}
    for key, value in sorted(values.items(), key=lambda each: (each[1], each[0])):
        px = scale.px(value)
        row = next((index for index, end in enumerate(ends) if px - end >= DOT), len(ends))
        ends[row : row + 1] = [px]
        placed[key] = row
    return placed, max(1, len(ends))


def _describe_mixes(drawn: _Drawn, limits: Sequence[tuple[str, float]], scale: Scale, alt: str, title: str) -> dict[str, Any]:
    height = drawn.height
    down = along(Scale(0, height, 1, height), reverse=True)
    x, plain = {"field": "value", **axis(scale, title, grid=False)}, {"field": "value", **along(scale)}
    y, y2 = {"field": "py", **down}, {"field": "py2"}
    layers = [mark("rect", drawn.bands, {"x": plain, "x2": {"field": "value2"}, "y": y, "y2": y2})]
    layers += _limit_layers(limits, scale, height)
    layers += [
        mark("point", drawn.dots, {"x": x, "y": y}, shape="circle", size=80),
        mark("rule", drawn.means, {"x": plain, "y": y, "y2": y2}, strokeWidth=4),
        *frame.texts(drawn.words, INNER, height),
        *frame.texts(drawn.names, INNER, height, fontWeight="bold"),
    ]
    return frame.independent(frame.describe(layers, alt=alt, width=INNER, height=height, right=16, top=6))


def _limit_layers(limits: Sequence[tuple[str, float]], scale: Scale, height: float) -> list[frame.Layer]:
    """A broken line from top to bottom for each limit, its words at the top, each on a line of its own."""
    if not limits:
        return []
    down = along(Scale(0, height, 1, height), reverse=True)
    lines = [{"value": value, "py": frame.LINE * place + 2, "py2": height} for place, (_, value) in enumerate(limits)]
    where = {"x": {"field": "value", **along(scale)}, "y": {"field": "py", **down}, "y2": {"field": "py2"}}
    words = [
        frame.Placed(text, scale.px(value) + (5 if scale.px(value) < INNER / 2 else -5), frame.LINE * (place + 0.5) + 2,
                     "left" if scale.px(value) < INNER / 2 else "right")
        for place, (text, value) in enumerate(limits)
    ]  # fmt: skip
    return [mark("rule", lines, where, strokeDash=[5, 4], strokeWidth=1.5), *frame.texts(words, INNER, height)]


# --- by age ---


def strength_by_age(state: State, shown: Shown) -> Chart | None:
    """Every crushed block of the mixes that were broken at two ages or more; None where no mix was."""
    by_mix: dict[str, list[BlockStrength]] = defaultdict(list)
    for block in breaking.strengths(state):
        by_mix[block.mix].append(block)
    told = {mix: blocks for mix, blocks in by_mix.items() if len({block.age_days for block in blocks}) > 1}
    told = dict(list(told.items())[: len(frame.SHAPES)])
    if not told:
        return None
    unit = shown.unit("pressure").label
    rows = [row for mix, blocks in told.items() for row in _age_rows(state, mix, blocks, shown)]
    alt = _alt_of_ages(state, told, shown)
    return Chart(
        name="age",
        title=tr("Strength against age"),
        read=tr(
            "One mark is one block, each mix a shape of its own; marks that would hide each other stand side by side."
            " Filled: soaked before it was broken. Open: broken dry."
        ),
        alt=alt,
        columns=(
            {"label": tr("Mix")},
            {"label": tr("Block")},
            {"label": tr("Broken")},
            {"label": tr("Age"), "unit": "d", "count": True},
            {"label": tr("Strength"), "unit": unit, "count": True},
        ),
        rows=tuple(rows),
        description=_describe_ages(state, told, shown, alt),
    )


def _age_rows(state: State, mix: str, blocks: Sequence[BlockStrength], shown: Shown) -> list[tuple[str, ...]]:
    name = mix_key_name(state, mix)
    ordered = sorted(blocks, key=lambda block: (block.age_days, block.condition, block.finding.value))
    return [
        (
            name,
            name_of(state, block.block),
            tr(CONDITIONS[block.condition]),
            str(block.age_days),
            strength(block.finding.value, shown),
        )
        for block in ordered
    ]


def _alt_of_ages(state: State, told: Mapping[str, Sequence[BlockStrength]], shown: Shown) -> str:
    unit = shown.unit("pressure").label
    said = []
    for mix, blocks in told.items():
        ages = sorted({block.age_days for block in blocks})
        ends = [[block.finding.value for block in blocks if block.age_days == age] for age in (ages[0], ages[-1])]
        ranges = [shown.band(min(values), max(values), "pressure").removesuffix(unit).rstrip() for values in ends]
        said.append(
            tr("{mix}: {first} at {age} days, {last} at {oldest} days", mix=label(mix_key_name(state, mix)), first=ranges[0],
               age=ages[0], last=ranges[1], oldest=ages[-1])
        )  # fmt: skip
    return tr("Strength against age in {unit}: {mixes}.", unit=unit, mixes="; ".join(said))


def _describe_ages(state: State, told: Mapping[str, Sequence[BlockStrength]], shown: Shown, alt: str) -> dict[str, Any]:
    height = 250.0
    rows: list[dict[str, Any]] = [
        {"age": block.age_days, "value": _value(shown, block.finding.value), "shape": frame.SHAPES[place], "how": block.condition}
        for place, blocks in enumerate(told.values())
        for block in blocks
    ]
    days = frame.scale_of([0, 1.1 * max(row["age"] for row in rows)], ACROSS, zero=True)
    scale = frame.scale_of([row["value"] for row in rows], height, zero=True)
    _spread_sideways(rows, days, scale)
    dots = [(days.px(row["at"]), height - scale.px(row["value"])) for row in rows]
    words = []
    for place, mix in enumerate(told):
        own = [
            (row["age"], row["value"], dot) for dot, row in zip(dots, rows, strict=True) if row["shape"] == frame.SHAPES[place]
        ]
        words.append((*max(own)[2], frame.two_lines(label(mix_key_name(state, mix)))))
    x_axis, y_axis = (
        axis(days, tr("Age, days"), grid=False),
        axis(scale, tr("Strength, {unit}", unit=shown.unit("pressure").label), down=True),
    )
    fill = {"condition": {"test": "datum.how === 'wet'", "value": frame.INK}, "value": frame.PAPER}
    where = {"x": {"field": "at", **x_axis}, "y": {"field": "value", **y_axis}, "fill": fill, "shape": _shapes()}
    placed = frame.place([*words, *((x, y, "") for x, y in dots)], ACROSS, height)
    layers = [
        *frame.leaders(words, placed, ACROSS, height),
        *frame.texts(placed, ACROSS, height),
        mark("point", rows, where),
    ]
    return frame.independent(frame.describe(layers, alt=alt, width=ACROSS, height=height, top=34))


def _spread_sideways(rows: Sequence[dict[str, Any]], days: Scale, scale: Scale) -> None:
    """Give each mark the place where it hides no other of its age: beside its day where blocks are equally strong."""
    taken: dict[tuple[int, int], list[float]] = defaultdict(list)
    for row in sorted(rows, key=lambda row: (row["age"], row["value"])):
        up = scale.px(row["value"])
        column = next(each for each in _COLUMNS if all(abs(up - other) >= DOT for other in taken[row["age"], each]))
        taken[row["age"], column].append(up)
        row["at"] = round(days.at(days.px(row["age"]) + DOT * column), 4)


_COLUMNS = tuple(sorted(range(-500, 501), key=abs))


def _shapes() -> dict[str, Any]:
    """The shape a row names, without a legend."""
    shapes = list(frame.SHAPES)
    return {"field": "shape", "type": "nominal", "scale": {"domain": shapes, "range": shapes}, "legend": None}


# --- cost ---


def cost_and_strength(state: State, shown: Shown) -> Chart | None:
    """What one good block of each mix costs against its mean strength; None with fewer than two such mixes."""
    found = choosing.choosing(state)
    told: list[tuple[MixResult, float]] = []
    for each in found.comparison.mixes:
        cost = found.costs.get(each.key)
        if each.spread is not None and cost is not None and isinstance(cost.cost, Finding):
            told.append((each, cost.cost.value))
    if len(told) < 2:
        return None
    unit = shown.unit("pressure").label
    limits = _limits(state, shown)[-1:]
    named = [(each, label(mix_key_name(state, each.key)), cost) for each, cost in told]
    said = "; ".join(
        tr(
            "{mix} costs {cost} a block at a mean of {mean}",
            mix=label(mix_key_name(state, each.key), IN_WORDS),
            cost=money(state, cost),
            mean=strength(each.spread.mean, shown),
        )
        for each, _, cost in named
        if each.spread is not None
    )
    asked = "".join("; " + tr("the brief asks {limit}", limit=words) for words, _ in limits)
    alt = tr("Cost against strength in {unit}: {mixes}{asked}.", unit=unit, mixes=said, asked=asked)
    rows = [_cost_row(state, found, each, cost, shown) for each, cost in told]
    return Chart(
        name="cost",
        title=tr("Cost against strength"),
        read=tr(
            "Each mark stands at the mean of a mix; its line reaches down to the cautious value, the longer the less is known."
            " Up and to the left is better. Filled circle: passes. Open circle: not shown yet. Cross: does not pass."
        ),
        alt=alt,
        columns=(
            {"label": tr("Mix")},
            {"label": tr("Cost of one good block"), "count": True},
            {"label": tr("Mean"), "unit": unit, "count": True},
            {"label": tr("Cautious"), "unit": unit, "count": True},
            {"label": tr("Outcome")},
        ),
        rows=(*rows, *((tr("Brief"), "", words.rpartition(" ")[2], "", words.rpartition(" ")[0]) for words, _ in limits)),
        description=_describe_costs(state, found, named, limits, shown, alt),
    )


_GATES = {"passes": "circle", "waits": "circle", "fails": "cross"}


def _state_of(found: choosing.Choosing, key: str) -> str:
    gate = found.gates.get(key)
    return "waits" if gate is None else gate.state


def _cost_row(state: State, found: choosing.Choosing, each: MixResult, cost: float, shown: Shown) -> tuple[str, ...]:
    assert each.spread is not None
    cautious = _cautious(each)
    return (
        mix_key_name(state, each.key),
        money(state, cost),
        strength(each.spread.mean, shown),
        "–" if cautious is None else strength(cautious, shown),
        sentence(f"gate_{_state_of(found, each.key)}", {}),
    )


def _describe_costs(
    state: State,
    found: choosing.Choosing,
    named: Sequence[tuple[MixResult, str, float]],
    limits: Sequence[tuple[str, float]],
    shown: Shown,
    alt: str,
) -> dict[str, Any]:
    height = 290.0
    rows: list[dict[str, Any]] = []
    for each, _, cost in named:
        assert each.spread is not None
        mean, cautious, gate = _value(shown, each.spread.mean), _cautious(each), _state_of(found, each.key)
        low = mean if cautious is None else _value(shown, cautious)
        rows.append({"cost": float(f"{cost:.6g}"), "value": mean, "low": low, "shape": _GATES[gate], "gate": gate})
    asked = [{"value": value} for _, value in limits]
    costs = frame.scale_of([row["cost"] for row in rows], ACROSS, marks=4, room=0.12)
    scale = frame.scale_of([row[key] for row in rows for key in ("value", "low")] + [value for _, value in limits], height)
    dots = [(costs.px(row["cost"]), height - scale.px(row["value"])) for row in rows]
    keep_off = [
        place
        for row, (x, y) in zip(rows, dots, strict=True)
        for place in frame.between((x, y), (x, height - scale.px(row["low"])))
    ]
    heights = [height - scale.px(value) for _, value in limits]
    keep_off += [place for each in heights for place in frame.between((0, each), (ACROSS, each))]
    fixed = [frame.Placed(words, ACROSS, each - 10, "right") for (words, _), each in zip(limits, heights, strict=True)]
    words = [(x, y, frame.two_lines(name)) for (x, y), (_, name, _) in zip(dots, named, strict=True)]
    placed = frame.place(words, ACROSS, height, lines=keep_off, fixed=fixed)
    currency = money(state, 0.0).removeprefix("0.00").strip()
    title = tr("Cost of one block, {money}", money=label(currency, 12)) if currency else tr("Cost of one block")
    x, y = {"field": "cost", **along(costs)}, {"field": "value", **along(scale)}
    fill = {"condition": {"test": "datum.gate === 'waits'", "value": frame.PAPER}, "value": frame.INK}
    top = axis(scale, tr("Mean strength, {unit}", unit=shown.unit("pressure").label), down=True)
    where = {
        "x": {"field": "cost", **axis(costs, title, grid=False)},
        "y": {"field": "value", **top},
        "fill": fill,
        "shape": _shapes(),
    }
    layers = [
        mark("rule", rows, {"x": x, "y": y, "y2": {"field": "low"}}, strokeWidth=3, stroke=frame.SOFT),
        mark("rule", asked, {"y": y}, strokeDash=[5, 4], strokeWidth=1.5),
        *frame.leaders(words, placed, ACROSS, height),
        *frame.texts([*placed, *fixed], ACROSS, height),
        mark("point", rows, where, size=110),
    ]
    return frame.independent(frame.describe(layers, alt=alt, width=ACROSS, height=height, top=34))
