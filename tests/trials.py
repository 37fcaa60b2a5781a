"""A real trial written entry by entry: sources, blends, mixes, batches weighed out, blocks pressed and crushed.

The lists of strengths are the job's reference scenarios: invented data, used because their statistics were worked by hand.
"""

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from loamwright.notebook.kinds.dig_kinds import STOP_QUESTIONS
from loamwright.project.desk import Desk, Hand

LENGTH, WIDTH = 200.0, 100.0  # mm under load, so that 1 MPa is 20 kN
S1 = {
    ("7:2", "6"): (1.6, 1.8, 1.9, 2.0, 2.2),
    ("7:2", "8"): (2.4, 2.6, 2.7, 2.8, 3.0),
    ("5:2", "6"): (2.5, 2.7, 2.8, 2.9, 3.1),
    ("3:2", "6"): (2.2, 2.5, 2.6, 2.7, 3.0),
}
S5 = (2.1, 2.3, 2.4, 2.5, 2.7)


def quantity(typed: str, unit: str) -> dict[str, Any]:
    """A quantity as a form would keep it."""
    return {"typed": typed, "number": float(typed), "unit": unit}


class Trial:
    """Writes entries to a project, each a minute after the one before."""

    def __init__(self, desk: Desk, project: str, hand: Callable[[], Hand]) -> None:
        self.desk, self.project, self.hand = desk, project, hand
        self.marks = 0

    @property
    def state(self):
        return self.desk.state(self.project)

    def write(self, kind: str, body: Mapping[str, Any], **more: Any) -> str:
        entry = self.desk.entry(kind, body, self.hand(), project=self.project, **more)
        self.desk.keep([entry])
        return entry.id

    def source(self, name: str, pail_kg: str, **more: Any) -> str:
        """A source in 20 l pails of dry soil, every stop question answered no."""
        source = self.write("source", {"name": name, **more})
        pail = self.write("container", {"name": f"pail of {name}", "volume": quantity("20", "l"), "tare": quantity("0", "kg")})
        dry = quantity("500", "g")
        self.write("pan_test", {"about": source, "wet": dry, "dry": dry})
        self.write("pail_weighing", {"source": source, "container": pail, "gross": [quantity(pail_kg, "kg")] * 3})
        for question in STOP_QUESTIONS:
            self.write("stop_check", {"source": source, "question": question, "answer": "no"})
        return source

    def two_guessed(self, sandy: str, clayey: str) -> tuple[str, str]:
        """A loamy sand 2 km away and a clay loam 14 km away, in pails of 28.4 and 22.4 kg, both only guessed."""
        sand = self.source(sandy, "28.4", distance=quantity("2", "km"))
        clay = self.source(clayey, "22.4", distance=quantity("14", "km"))
        self.write("guess", {"source": sand, "soil_class": "loamy_sand"})
        self.write("guess", {"source": clay, "soil_class": "clay_loam"})
        return sand, clay

    def mix(self, parts: Mapping[str, int], stabiliser: str, dose_pct: str) -> str:
        blend = self.write("blend", {"parts": [{"source": source, "parts": count} for source, count in parts.items()]})
        body = {"blend": blend, "stabiliser": stabiliser, "dose": quantity(dose_pct, "pct"), "basis": "of_total_dry_mix"}
        return self.write("mix", body)

    def batch(self, mix: str, dose_pct: str) -> str:
        """A batch of 20 kg of dry mix, dosed exactly."""
        stabiliser = float(dose_pct) / 5
        batch = self.write("batch", {"mix": mix, "soil_wanted": quantity(f"{20 - stabiliser:g}", "kg")})
        self.write("weighing", {"batch": batch, "what": "soil", "mass": quantity(f"{20 - stabiliser:g}", "kg")})
        self.write("weighing", {"batch": batch, "what": "stabiliser", "mass": quantity(f"{stabiliser:g}", "kg")})
        self.write("weighing", {"batch": batch, "what": "water", "mass": quantity("2", "kg")})
        return batch

    def crushed(self, batch: str, strengths: Sequence[float], on: str, **more: Any) -> list[str]:
        """Blocks of a batch pressed now, soaked a day and crushed on a day; the crushing entries."""
        found = []
        for strength in strengths:
            self.marks += 1
            block = {"batch": batch, "mark": str(self.marks), "green_mass": quantity("4.4", "kg"), "height": quantity("90", "mm")}
            body = {
                "block": self.write("block", block),
                "condition": "soaked",
                "soaked_for": quantity("24", "h"),
                "piece": "whole",
                "load": quantity(f"{strength * LENGTH * WIDTH / 1000:g}", "kN"),
                "length": quantity(f"{LENGTH:g}", "mm"),
                "width": quantity(f"{WIDTH:g}", "mm"),
                "on": on,
                **more,
            }
            found.append(self.write("crush", body))
        return found

    def brief(self, mean: str, each: str, *, n: int = 5, age: int = 28, **more: Any) -> str:
        body = {
            "by": "own",
            "mean_least": quantity(mean, "MPa"),
            "each_least": quantity(each, "MPa"),
            "condition": "wet",
            "soak_least": quantity("24", "h"),
            "n": n,
            "age_days": age,
            **more,
        }
        return self.write("brief", body)


def s1(trial: Trial) -> dict[str, str]:
    """Scenario S1 of the job: four mixes of one batch each, broken after 28 days; ids by name."""
    hauled = {"price_per": "trip", "trip_mass": quantity("3360", "kg"), "distance": quantity("14", "km")}
    clay = trial.source("Red clay", "22.4", price="90000", ease="hard", **hauled)
    sandy = trial.source("Sandy soil", "28.4", price="0", price_per="t", ease="easy")
    cement = trial.write(
        "stabiliser", {"name": "cement", "type": "cement", "bag_mass": quantity("50", "kg"), "bag_price": "17000"}
    )
    ids = {"clay": clay, "sandy": sandy, "cement": cement}
    for (ratio, dose), strengths in S1.items():
        sand_parts, clay_parts = (int(part) for part in ratio.split(":"))
        mix = trial.mix({sandy: sand_parts, clay: clay_parts}, cement, dose)
        batch = trial.batch(mix, dose)
        trial.crushed(batch, strengths, "2026-04-01")
        ids |= {f"{ratio}@{dose}": mix, f"batch {ratio}@{dose}": batch}
    return ids
