"""Twenty thousand entries as a busy season writes them: batches, their weighings, blocks, breaks, a few corrections."""

import random
from collections.abc import Mapping
from datetime import UTC, datetime, timedelta
from typing import Any

from loamwright.notebook.entry import Entry, write

PROJECT = "bench"
START = datetime(2026, 3, 4, 8, 0, tzinfo=UTC)


def amount(number: float, unit: str) -> dict[str, Any]:
    """A quantity as a form stores it."""
    return {"typed": f"{number:g}", "number": number, "unit": unit}


class Season:
    """Writes entries half a minute apart, with the same chance every time."""

    def __init__(self, seed: int = 1) -> None:
        self.chance = random.Random(seed)
        self.entries: list[Entry] = []

    def write(self, kind: str, body: Mapping[str, Any], *replaces: str) -> str:
        """Keep one entry and give its id."""
        moment = START + timedelta(seconds=30 * len(self.entries))
        made = write(
            kind,
            body,
            project=PROJECT,
            moment=moment,
            by="MB",
            device="phone",
            replaces=replaces,
            reason="typing slip" if replaces else "",
        )
        self.entries.append(made)
        return made.id

    def batch(self, mix: str) -> None:
        """A batch from opened to broken; three in ten have a weighing corrected."""
        batch = self.write("batch", {"mix": mix, "soil_wanted": amount(12.5, "kg"), "water_wanted": amount(11, "pct")})
        last = ""
        for what, mass in (("soil", 12.5), ("stabiliser", 1.08), ("water", 1.3)):
            typed = round(mass * self.chance.gauss(1, 0.01), 3)
            last = self.write("weighing", {"batch": batch, "what": what, "mass": amount(typed, "kg")})
        self.write("stabiliser_in", {"batch": batch})
        if self.chance.random() < 0.3:
            self.write("weighing", {"batch": batch, "what": "water", "mass": amount(1.25, "kg")}, last)
        for number in range(5):
            block = self.write(
                "block",
                {
                    "batch": batch,
                    "mark": str(self.chance.randrange(10_000)),
                    "green_mass": amount(round(self.chance.gauss(3.1, 0.03), 2), "kg"),
                    "height": amount(round(self.chance.gauss(90, 0.8), 1), "mm"),
                    "corners_lost": 0,
                    "surface": "even",
                },
            )
            load = amount(round(self.chance.gauss(55, 5), 1), "kN")
            size = {"length": amount(140, "mm"), "width": amount(95, "mm")}
            condition = "soaked" if number < 3 else "dry"
            self.write("crush", {"block": block, "condition": condition, "piece": "whole", "load": load, **size})


def season(count: int) -> list[Entry]:
    """So many entries of one project."""
    writing = Season()
    blend = writing.write("blend", {"parts": [{"source": "a", "parts": 5}, {"source": "b", "parts": 2}]})
    mixes = [
        writing.write("mix", {"blend": blend, "dose": amount(dose, "pct"), "basis": "of_total_dry_mix"}) for dose in (6, 8, 10)
    ]
    while len(writing.entries) < count:
        writing.batch(writing.chance.choice(mixes))
    return writing.entries[:count]
