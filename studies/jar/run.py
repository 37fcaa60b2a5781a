"""Coverage of the nominal 90 % intervals of sand, silt and clay: `python -m studies.jar.run` writes coverage.csv and .txt."""

import argparse
import csv
import textwrap
import time
from collections.abc import Callable
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

import numpy as np
from studies.jar import simulator

from loamwright.engine.soil.belief import believe, interval
from loamwright.engine.soil.jar import Added, BedHeight, JarReading, LayerBoundaries
from loamwright.engine.soil.observations import GradingFound, Guess, LimitsFound

HERE = Path(__file__).parent
SEED = 20260101
KINDS = ("sand", "silt", "clay")
USUAL = (1.0, 2.0, 30.0, 1440.0)


@dataclass(frozen=True)
class Case:
    name: str
    says: str
    times: tuple[float, ...] = USUAL
    added: Added = "dispersant"
    jars: int = 1
    guess: bool = False
    by_eye: bool = False
    weighed: bool = True
    glued: bool = False
    fluffed: float = 1.0
    flocs: tuple[float, float] = (0.0011, 0.6)  # median falling size of clay, mm, and log spread
    laboratory: bool = False
    middling: bool = False
    judged: bool = False  # whether coverage of 87 to 93 % is asked of it; all others are reported only


REMARKS = """How to read this. ± is two binomial standard errors. Asked of the first three cases: 87 to 93 %. The simulator shares
no code with the belief and differs in integration, laws of velocity and viscosity, sizes, minerals, laboratory errors and reading
habits; both rest on the same physics of hindered settling, so what is wrong with that physics in a real jar does not show here.
This is no blind test: the rise of the bed and the lifted water came into the belief's model, and the spread of layers read by eye
was widened, after earlier runs. Earlier runs also showed why coverage was off. (1) One jar held the truth too often, 94 to 96 %,
because the made-up soils were all middling while the prior is wide: with soils drawn from the prior itself the same model held
90 to 91 %. Prior and soils now both stand on the twelve classes of the Soil Survey Manual, each as likely, any point inside with
no kind under 2 %: the prior by mean and spread of the log-ratios, the soils point by point. The middling soils are kept as a case
that over-covers. What the model leaves out of a height was measured against this simulator at the soils' true figures: 4 % early,
1.5 % after a day in two soils of three; with 2 % for a tilted jar that makes 5 and 2.5 % where 6 and 3 % were guessed. (2) Two
jars held it too seldom because what the model leaves out was taken as independent from jar to jar; it is the soil's own and now
shared. (3) A guess held it too seldom at the corners of the triangle, because a class was taken for a point; how far soils of a
class lie from its centre is now part of its spread. (4) A laboratory's sand ends at 0.063 or 0.075 mm: the 1.4 to 6.4 % of sand
it lets pass was found as silt. What is left: log-ratios are normal, true soils end at the sides of the triangle, so silts and
clays under 5 % are held less often than they should be. glued, first-hour and salted are reported, never tuned for: glued clay
without dispersant is read as sand, and no interval of a jar can know it."""
PLAIN_WATER = (0.006, 0.7)
CASES = (
    Case("jar", "one jar, dispersant, read at 1, 2, 30 min and 24 h", judged=True),
    Case("jar-and-guess", "one jar and a class felt by hand", guess=True, judged=True),
    Case("jar-and-laboratory", "one jar, a hydrometer analysis and limits", laboratory=True, judged=True),
    Case("two-jars", "two jars of one source", jars=2),
    Case("middling", "one jar, only the middling soils builders dig", middling=True),
    Case("jar-water", "one jar, nothing added", added="nothing", flocs=PLAIN_WATER),
    Case("jar-unweighed", "one jar, loose density not weighed", weighed=False),
    Case("by-eye", "layers by eye at 24 h, no times", times=(), by_eye=True),
    Case("half-read", "one jar read at 1 and 30 min only", times=(1.0, 30.0)),
    Case("first-hour", "read too early: 2, 10 and 60 min, called done", times=(2.0, 10.0, 60.0)),
    Case(
        "glued",
        "40 to 70 % of the clay glued into sand-size grains, nothing added",
        added="nothing",
        glued=True,
        flocs=PLAIN_WATER,
    ),
    Case("salted", "salt added: flocs of 25 um, clay layer a third looser", added="salt", fluffed=0.67, flocs=(0.025, 0.5)),
)


def jars_of(case: Case, soils: simulator.Soils, random: np.random.Generator) -> list[list[JarReading]]:
    """One list of n readings a jar."""
    n = len(soils.shares)
    made = []
    for number in range(case.jars):
        shares = simulator.scooped(soils, random)
        median = case.flocs[0] * np.exp(random.normal(0.0, case.flocs[1], n))
        glued = random.uniform(0.4, 0.7, n) if case.glued else None
        jars = simulator.settle(soils, shares, random, clay_median=median, glued=glued, fluffed=case.fluffed)
        beds = [simulator.read_bed(jars, minutes, random) for minutes in case.times]
        layers = simulator.read_layers(jars, 1440.0, shares, random) if case.by_eye else None
        loose = soils.loose * (1.0 + random.normal(0.0, 0.025, n))
        made.append(
            [
                JarReading(
                    f"jar-{number}",
                    float(round(jars.fill[i])),
                    float(loose[i]) if case.weighed else None,
                    float(round(jars.water[i])),
                    float(round(jars.temperature[i])),
                    tuple(BedHeight(float(times[i]), float(heights[i])) for times, heights in beds),
                    None if layers is None else LayerBoundaries(1440.0, *map(float, layers[i])),
                    case.added,
                )
                for i in range(n)
            ]
        )
    return made


@dataclass(frozen=True)
class Found:
    """Of one kind of grain in one case: share of soils held, its two standard errors, mean width and miss in share of mass."""

    coverage: float
    error: float
    width: float
    bias: float


def coverage(case: Case, n: int, *, seed: int = SEED) -> dict[str, Found]:
    """Share of n soils whose truth lies in the 90 % interval, by kind of grain."""
    random = np.random.default_rng([seed, sum(case.name.encode())])
    soils = simulator.make_soils(n, random, shares=simulator.middling(n, random) if case.middling else None)
    jars = jars_of(case, soils, random)
    others = others_of(case, soils, random)
    held, widths, misses = np.zeros((n, 3), bool), np.zeros((n, 3)), np.zeros((n, 3))
    for i in range(n):
        belief = believe(f"soil-{i}", project=case.name, jars=[row[i] for row in jars], **others[i])
        for k, kind in enumerate(KINDS):
            found, truth = interval(belief[kind].values, 0.90), soils.shares[i, k]
            held[i, k], widths[i, k] = found.low <= truth <= found.high, found.high - found.low
            misses[i, k] = found.middle - truth
    share, width, bias = held.mean(axis=0), widths.mean(axis=0), misses.mean(axis=0)
    error = 2.0 * np.sqrt(share * (1.0 - share) / n)
    return {kind: Found(*map(float, (share[k], error[k], width[k], bias[k]))) for k, kind in enumerate(KINDS)}


def others_of(case: Case, soils: simulator.Soils, random: np.random.Generator) -> list[dict[str, Any]]:
    """What else is known of each soil: a class felt by hand, a laboratory's results."""
    n = len(soils.shares)
    others: list[dict[str, Any]] = [{} for _ in range(n)]
    if case.guess:
        for each, felt in zip(others, simulator.felt_class(soils.shares, random), strict=True):
            each["guesses"] = [Guess("guess", felt)]
    if case.laboratory:
        gradings, limits = simulator.hydrometer_found(soils, random), simulator.limits_found(soils, random)
        for each, shares, pair in zip(others, gradings, limits, strict=True):
            each["gradings"] = [GradingFound("grading", float(shares[0]), float(shares[1]), float(shares[2]))]
            each["limits"] = [LimitsFound("limits", *pair)] if pair else []
    return others


def main(write: Callable[[str], None] = print) -> None:
    """All cases, to coverage.txt and coverage.csv."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--soils", type=int, default=1000, help="in the cases that are judged, and with two jars")
    options.add_argument("--reported", type=int, default=300, help="in the cases that are only reported")
    given = options.parse_args()
    started, rows = time.perf_counter(), []
    lines = [f"seed {SEED}; coverage of nominal 90 % [%], mean width and bias [points of mass share]"]
    lines.append(f"{'case':20}{'soils':>6}" + "".join(f"{kind + ' cov':>12}{'width':>8}{'bias':>6}" for kind in KINDS))
    for case in CASES:
        count = given.soils if case.judged or case.jars > 1 else given.reported
        found = coverage(case, count)
        figures = {f"{kind}_{name}": round(value, 4) for kind, each in found.items() for name, value in asdict(each).items()}
        rows.append({"case": case.name, "soils": count, **figures, "says": case.says})
        lines.append(f"{case.name:20}{count:6}" + "".join(_in_words(found[kind]) for kind in KINDS))
    lines += ["", *(f"{case.name}: {case.says}" for case in CASES), ""]
    lines += textwrap.wrap(REMARKS, 130)
    (HERE / "coverage.txt").write_text("\n".join(lines) + "\n", "utf-8")
    with (HERE / "coverage.csv").open("w", newline="", encoding="utf-8") as file:
        table = csv.DictWriter(file, list(rows[0]), lineterminator="\n")
        table.writeheader()
        table.writerows(rows)
    write("\n".join(lines))
    write(f"{time.perf_counter() - started:.0f} s")


def _in_words(found: Found) -> str:
    return f"{100 * found.coverage:8.1f} ±{100 * found.error:2.0f}{100 * found.width:8.1f}{100 * found.bias:+6.1f}"


if __name__ == "__main__":
    main()
