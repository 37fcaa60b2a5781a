"""A real desk with one weighed batch, for tests of Press, Cure and Break; entries are typed texts through the parser.

The batch, by hand: 10.4 kg of soil at 4 % is 10.0 kg dry; 0.64 kg of cement makes 10.64 kg dry mix; 0.664 kg of water and the
soil's 0.4 kg are 1.064 kg, 10.0 % of it. A block of 2.2 kg from a mould of 100 x 100 mm, 100 mm high, is 0.001 m³:
2200 kg/m³ as pressed, 2200 / 1.10 = 2000 kg/m³ dry.
"""

from collections.abc import Callable, Sequence

from loamwright.engine.bench.marks import make_mark
from loamwright.notebook.fields import parse
from loamwright.notebook.kinds import kind_named
from loamwright.project.desk import Desk, Hand
from loamwright.project.state import State

Typed = str | Sequence[str]


class Bench:
    """Writes entries as a person would, and hands out the state."""

    def __init__(self, desk: Desk, project: str, hand: Callable[[], Hand]) -> None:
        self.desk, self.project, self.hand = desk, project, hand

    @property
    def state(self) -> State:
        """The project as of now."""
        return self.desk.state(self.project)

    def body(self, kind: str, **typed: Typed) -> dict[str, object]:
        """A body from typed texts."""
        raw = {name: [text] if isinstance(text, str) else list(text) for name, text in typed.items()}
        parsed = parse(kind_named(kind).fields, raw)
        assert not parsed.faults, parsed.faults
        return parsed.body

    def write(self, kind: str, **typed: Typed) -> str:
        """Keep one entry; its id."""
        entry = self.desk.entry(kind, self.body(kind, **typed), self.hand(), project=self.project)
        self.desk.keep([entry])
        return entry.id

    def correct(self, entry_id: str, kind: str, **typed: Typed) -> None:
        """Replace one entry by another."""
        body = self.body(kind, **typed)
        self.desk.keep([self.desk.entry(kind, body, self.hand(), project=self.project, replaces=(entry_id,))])

    def undo(self, entry_id: str) -> None:
        """Undo one entry."""
        self.desk.keep([self.desk.undo(self.project, entry_id, self.hand())])

    def five_to_two(self) -> dict[str, str]:
        """Bank sand 5 : Red clay 2, pails of 28.4 and 22.4 kg dry: (30.82 - 1) / 1.05 and (24.52 - 1) / 1.05; cement in 50 kg bags."""
        sand, clay = (self.write("source", name=name) for name in ("Bank sand", "Red clay"))
        pail = self.write("container", name="black pail", volume="20 l", tare="1 kg")
        for source, gross in ((sand, "30.82 kg"), (clay, "24.52 kg")):
            self.write("pan_test", about=source, wet="525 g", dry="500 g")
            self.write("pail_weighing", source=source, container=pail, gross=[gross] * 3)
        parts = {"parts-0-source": sand, "parts-0-parts": "5", "parts-1-source": clay, "parts-1-parts": "2"}
        blend = self.write("blend", **parts)
        cement = self.write("stabiliser", name="cement", type="cement", bag_mass="50 kg")
        return {"sand": sand, "clay": clay, "container": pail, "blend": blend, "cement": cement}

    def weighed_batch(self, stabiliser: str = "cement", cement: str = "0.64 kg") -> str:
        """A batch of a new mix with soil, stabiliser and water weighed."""
        sources = [self.write("source", name=name) for name in ("Bank sand", "Red clay")]
        parts = {f"parts-{i}-source": source for i, source in enumerate(sources)}
        blend = self.write("blend", **parts, **{"parts-0-parts": "2", "parts-1-parts": "1"})
        self.write("pan_test", about=blend, wet="520 g", dry="500 g")
        kind = self.write("stabiliser", name=stabiliser, type=stabiliser)
        mix = self.write("mix", blend=blend, stabiliser=kind, dose="6 %", basis="of_total_dry_mix")
        return self.batch_of(mix, cement)

    def batch_of(self, mix: str, cement: str = "0.64 kg") -> str:
        """A weighed batch of a mix."""
        batch = self.write("batch", mix=mix, soil_wanted="10.4 kg", water_wanted="10 %")
        self.write("weighing", batch=batch, what="soil", mass="10.4 kg")
        self.write("weighing", batch=batch, what="stabiliser", mass=cement)
        self.write("stabiliser_in", batch=batch)
        self.write("weighing", batch=batch, what="water", mass="0.664 kg")
        return batch

    def press(self, length: str = "100 mm", width: str = "100 mm", **typed: Typed) -> str:
        """A press with a gauge."""
        return self.write("press", name="bench press", how="gauge", mould_length=length, mould_width=width, **typed)

    def block(self, batch: str, press: str, counter: int, mass: str = "2.2 kg", height: str = "100 mm", **typed: Typed) -> str:
        """One block, its mark made from the counter."""
        return self.write("block", batch=batch, press=press, mark=make_mark(counter), green_mass=mass, height=height, **typed)

    def crush(self, block: str, load: str, piece: str = "whole", condition: str = "dry", **typed: Typed) -> str:
        """One crushed piece with a measured face of 100 x 100 mm."""
        face = {"length": "100 mm", "width": "100 mm", **typed}
        return self.write("crush", block=block, load=load, piece=piece, condition=condition, **face)

    def codes(self, stage: Callable[[State], Sequence[object]]) -> list[str]:
        """Codes of the questions a stage asks."""
        return [each.code for each in stage(self.state)]  # type: ignore[attr-defined]
