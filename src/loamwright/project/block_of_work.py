"""The block of the work: what one weighs and why, decided in one place for Choose and for Make."""

from dataclasses import dataclass
from typing import Literal

from loamwright.engine.bench import moisture
from loamwright.errors import InputError, Note
from loamwright.formula import Formula, Term
from loamwright.project import ladder, weigh
from loamwright.project.blocks import blocks_of_mix, dry_density, mix_of
from loamwright.project.brief import brief
from loamwright.project.finding import Finding, Given, Result, attempt
from loamwright.project.judged import judged
from loamwright.project.state import Fact, State

BLOCK_DRY_MASS = Formula(
    "dry_block_mass",
    "m_b",
    "kg",
    "mean(m_each)",
    {"m_each": Term("dry_block_mass", "kg")},
    "derivation-phases",
)
SIZE = ("mould_length", "mould_width", "block_height")


@dataclass(frozen=True, slots=True)
class WorkBlock:
    """One block of the work.

    Attributes
    ----------
    mass : Finding
        Dry mass; its notes say where it comes from, and where the brief and the mould do not agree. [kg]
    why : "brief", "mould" or "trial"
        As the brief says; else the mould of the press at the density of the trial; else, no mould being known, as the trial
        blocks themselves weighed.
    press : Fact or None
        The press whose mould was looked at.
    """

    mass: Finding
    why: Literal["brief", "mould", "trial"]
    press: Fact | None


def block_of_work(state: State, key: str, *, press: Fact | None = None) -> WorkBlock:
    """The block of the work made of a mix (or `mix_key`), on a press or on the bench's newest.

    Raises
    ------
    InputError
        "no_blocks_pressed" where neither a brief nor a press with a size nor a block of this mix is there.
    """
    machine = press or state.latest("press")
    mould = None if machine is None or not _has_size(machine) else _of_mould(state, key, machine)
    said = brief(state).fact
    if said is not None and "block_mass" in said.values:
        return WorkBlock(_of_brief(said, machine, mould), "brief", machine)
    if mould is None:
        return WorkBlock(_of_trial(state, key), "trial", machine)
    if isinstance(mould, Finding):
        return WorkBlock(mould, "mould", machine)
    raise mould.fault


def _has_size(press: Fact) -> bool:
    return all(name in press.values for name in SIZE)


def _of_mould(state: State, key: str, press: Fact) -> Result:
    def compute() -> Finding:
        density, volume = _density(state, key), ladder.block_volume(press)
        inputs: dict[str, Given | Finding] = {"rho_d": density, "V": volume}
        return Finding(
            ladder.BLOCK_DRY_MASS, density.value * volume.value, inputs, (Note("block_of_mould", {"press": press["name"]}),)
        )

    return attempt("dry_block_mass", (press.id,), compute)


def _density(state: State, key: str) -> Finding:
    """Dry density of the mix's own blocks, else the one to reckon a block of its blend with."""
    own = [found for block in blocks_of_mix(state, key) if isinstance(found := dry_density(state, block), Finding)]
    return ladder.mean_density(own) if own else ladder.expected_dry_density(state, state.fact(mix_of(key), "mix")["blend"])


def _of_brief(said: Fact, press: Fact | None, mould: Result | None) -> Finding:
    mass = said.needed("block_mass")
    notes = [Note("block_of_brief", {})]
    if press is not None and isinstance(mould, Finding) and abs(mould.value / mass - 1) > judged("sister-apart"):
        notes.append(Note("block_of_brief_differs", {"press": press["name"], "brief_kg": mass, "mould_kg": mould.value}))
    return Finding(BLOCK_DRY_MASS, mass, {"m_each": Given((mass,), (said.head,))}, tuple(notes))


def _of_trial(state: State, key: str) -> Finding:
    masses: list[float] = []
    entries: list[str] = []
    for block in blocks_of_mix(state, key):
        view = weigh.batch_view(state, block["batch"])
        water = view.mix_water.value if view.mix_water is not None else view.target_water
        masses.append(moisture.dry_mass(block.needed("green_mass"), water_content=water))
        entries.append(block.head)
    if not masses:
        raise InputError("no_blocks_pressed")
    each = Given(tuple(masses), tuple(sorted(entries)))
    return Finding(BLOCK_DRY_MASS, sum(masses) / len(masses), {"m_each": each}, (Note("trial_block_mass"),))
