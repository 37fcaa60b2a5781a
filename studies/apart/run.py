"""Simulate mixes and count how often they are called apart; write results.csv and told.csv beside this file.

Run from the top of the repository: `.venv/bin/python -m studies.apart.run` (about two minutes).

The simulator is the standard library's random generator and shares no code with the rule under study. Beside the rule stands a
plain t-test at 10 % on all blocks as if they were independent: what most people would do. Kinds of scatter:
"normal" in ln strength as the rule supposes; "strength" normal in strength itself; "slip" as normal, but one block in twenty
30 % weaker; "uneven" with a block spread of its own for each batch. Equal mixes: a share of 0.10 is what a limit of 95 % on
two sides would give if the spreads were known.
"""

import csv
import math
import random
from collections.abc import Callable, Iterator, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path

from scipy.stats import ttest_ind

from loamwright.engine.evidence.apart import APART, compare
from loamwright.engine.evidence.power import difference_shown, ln_difference_shown

RESULTS = Path(__file__).with_name("results.csv")
TOLD = Path(__file__).with_name("told.csv")
REPEATS = 2500
SEED = 20260101

Mix = list[list[float]]
Scatter = Callable[[random.Random, float, float, int], list[float]]


def normal(rng: random.Random, centre: float, block: float, blocks: int) -> list[float]:
    """Blocks of one batch, normal in ln strength."""
    return [math.exp(rng.gauss(centre, block)) for _ in range(blocks)]


def in_strength(rng: random.Random, centre: float, block: float, blocks: int) -> list[float]:
    """Blocks normal in strength; a block of less than a tenth of the mean is not left standing."""
    return [math.exp(centre) * max(0.1, rng.gauss(1.0, block)) for _ in range(blocks)]


def with_slips(rng: random.Random, centre: float, block: float, blocks: int) -> list[float]:
    """One block in twenty is 30 % weaker."""
    return [math.exp(rng.gauss(centre, block)) * (0.7 if rng.random() < 0.05 else 1.0) for _ in range(blocks)]


def uneven(rng: random.Random, centre: float, block: float, blocks: int) -> list[float]:
    """Every batch has a block spread of its own, from half to one and a half times the usual."""
    return normal(rng, centre, block * rng.uniform(0.5, 1.5), blocks)


SCATTERS: dict[str, Scatter] = {"normal": normal, "strength": in_strength, "slip": with_slips, "uneven": uneven}


@dataclass(frozen=True, slots=True)
class Plan:
    """What is simulated: batches, blocks of each, how many mixes share the spreads, and the true scatter."""

    batches: int
    blocks: int
    mixes: int
    batch_spread: float
    block_spread: float
    scatter: str = "normal"


@dataclass(frozen=True, slots=True)
class Result:
    """One line of the results; shares are of the simulated pairs, `error` is two standard errors of `apart_share`."""

    question: str
    scatter: str
    batches: int
    blocks: int
    mixes: int
    batch_spread: float
    block_spread: float
    true_difference: float
    repeats: int
    apart_share: float
    error: float
    t_test_share: float


def simulate(rng: random.Random, plan: Plan, ln_difference: float) -> dict[str, Mix]:
    """Mixes of about 2.5 MPa; the second one is weaker by the difference, the rest are like the first."""
    scatter = SCATTERS[plan.scatter]
    mixes: dict[str, Mix] = {}
    for place in range(plan.mixes):
        centre = math.log(2.5) - (ln_difference if place == 1 else 0.0)
        mixes[f"M{place}"] = [
            scatter(rng, rng.gauss(centre, plan.batch_spread), plan.block_spread, plan.blocks) for _ in range(plan.batches)
        ]
    return mixes


def t_test_says(first: Mix, second: Mix) -> bool:
    """A plain t-test at 10 % on ln strength, batches forgotten."""
    one, other = ([math.log(value) for batch in mix for value in batch] for mix in (first, second))
    return bool(ttest_ind(one, other).pvalue < 0.10)


def shares(plan: Plan, ln_difference: float, *, repeats: int, seed: int) -> tuple[float, float]:
    """How often the rule, and how often the t-test, tells the first two mixes apart with the right sign or any."""
    rng = random.Random(f"{seed}|{plan}|{ln_difference}")
    said = tested = 0
    for _ in range(repeats):
        mixes = simulate(rng, plan, ln_difference)
        pair = compare(mixes).pair("M0", "M1")
        right = ln_difference == 0 or pair.greater == "M0"
        said += pair.verdict == APART and right
        tested += t_test_says(mixes["M0"], mixes["M1"])
    return said / repeats, tested / repeats


def result(question: str, plan: Plan, ln_difference: float, *, repeats: int, seed: int = SEED) -> Result:
    """One line: simulate and count."""
    said, tested = shares(plan, ln_difference, repeats=repeats, seed=seed)
    error = 2 * math.sqrt(max(said * (1 - said), 1 / repeats) / repeats)
    return Result(
        question,
        plan.scatter,
        plan.batches,
        plan.blocks,
        plan.mixes,
        plan.batch_spread,
        plan.block_spread,
        round(math.exp(ln_difference) - 1, 4),
        repeats,
        round(said, 4),
        round(error, 4),
        round(tested, 4),
    )


PLANS = ((2, 3), (3, 3), (3, 5))
SPREADS = ((0.05, 0.10), (0.08, 0.10), (0.12, 0.12), (0.16, 0.10))


def equal_plans() -> Iterator[Plan]:
    """Equal mixes: usual plans and spreads, then more mixes, then other kinds of scatter."""
    for batches, blocks in PLANS:
        for batch_spread, block_spread in SPREADS:
            yield Plan(batches, blocks, 2, batch_spread, block_spread)
    yield from (Plan(2, 3, mixes, 0.08, 0.10) for mixes in (4, 6))
    yield from (Plan(2, 3, 2, 0.08, 0.10, scatter) for scatter in SCATTERS if scatter != "normal")


def unequal_plans() -> Iterator[tuple[Plan, float]]:
    """Mixes that differ by what the power formula says is told in 80 % of cases, and by more."""
    for batches, blocks in PLANS:
        shown = ln_difference_shown(batches, blocks_per_batch=blocks, batch_spread=0.08, block_spread=0.10)
        for times in (1.0, 1.15):
            yield Plan(batches, blocks, 2, 0.08, 0.10), shown * times


def difference_at_80(batches: int, blocks: int, *, repeats: int, seed: int = SEED) -> float:
    """The difference (share) at which the rule itself says apart in 80 % of cases, read off a straight line of four."""
    plan = Plan(batches, blocks, 2, 0.08, 0.10)
    shown = ln_difference_shown(batches, blocks_per_batch=blocks, batch_spread=0.08, block_spread=0.10)
    points = [shown * times for times in (0.9, 1.0, 1.1, 1.2)]
    said = [shares(plan, point, repeats=repeats, seed=seed)[0] for point in points]
    mean_x, mean_y = sum(points) / 4, sum(said) / 4
    slope = sum((x - mean_x) * (y - mean_y) for x, y in zip(points, said, strict=True)) / sum((x - mean_x) ** 2 for x in points)
    return math.exp(mean_x + (0.80 - mean_y) / slope) - 1


@dataclass(frozen=True, slots=True)
class Told:
    """The difference told in 80 % of cases: by the formula, and by the rule as simulated."""

    batches: int
    blocks: int
    formula: float
    rule: float


def told(batches: int, blocks: int, *, repeats: int) -> Told:
    """Formula beside simulation for one plan, spreads as the prior expects."""
    formula = difference_shown(batches, blocks_per_batch=blocks, batch_spread=0.08, block_spread=0.10)
    return Told(batches, blocks, round(formula, 3), round(difference_at_80(batches, blocks, repeats=repeats), 3))


def write(path: Path, lines: Sequence[Result] | Sequence[Told]) -> None:
    """Lines as CSV, columns as in their class."""
    with path.open("w", newline="", encoding="utf-8") as file:
        writer = csv.DictWriter(file, list(asdict(lines[0])), lineterminator="\n")
        writer.writeheader()
        writer.writerows(asdict(each) for each in lines)


def main() -> None:
    """Run everything and write both files."""
    results = [result("equal", plan, 0.0, repeats=REPEATS) for plan in equal_plans()]
    results += [result("power", plan, difference, repeats=REPEATS) for plan, difference in unequal_plans()]
    write(RESULTS, results)
    write(TOLD, [told(batches, blocks, repeats=REPEATS) for batches, blocks in PLANS])
    print(RESULTS.read_text("utf-8"), TOLD.read_text("utf-8"), sep="\n")


if __name__ == "__main__":
    main()
