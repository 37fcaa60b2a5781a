"""Opening a project: its name, units, the buckets it starts from, and the pail they are filled with."""

from collections.abc import Mapping, Sequence

from loamwright.errors import InputError
from loamwright.notebook.entry import Entry
from loamwright.notebook.fields import first_text, parse
from loamwright.notebook.kinds import kind_named
from loamwright.project.desk import Desk, Hand

LEAST_BUCKETS = 2


def opening(
    desk: Desk, buckets: Sequence[str], raw: Mapping[str, Sequence[str]], hand: Hand, entry_id: str | None = None
) -> list[Entry]:
    """Entries that open a project, its own first.

    Parameters
    ----------
    desk : Desk
    buckets : sequence of str
        Names of the soils; empty ones are passed over.
    raw : mapping of str to texts
        What was typed: fields of a project, and "pail", "pail_volume", "pail_tare" with their units.
    hand : Hand
    entry_id : str, optional
        Id that the project gets, where a form already carries one.

    Raises
    ------
    InputError
        "two_buckets" where fewer than two are named; what cannot be read in `raw`.
    """
    names = [name.strip() for name in buckets if name.strip()]
    if len(names) < LEAST_BUCKETS:
        raise InputError("two_buckets", n=len(names))
    wanted = {**raw, "name": [first_text(raw, "name").strip() or " and ".join(names)]}
    parsed = parse(kind_named("project").fields, wanted)
    pail = parse(kind_named("container").fields, _pail(raw))
    faults = {**parsed.faults, **{name: fault for name, fault in pail.faults.items() if name != "name"}}
    if faults:
        raise next(iter(faults.values()))
    first = desk.open_project({"dose_basis": "of_total_dry_mix", **parsed.body}, hand, entry_id)
    entries = [first, *(desk.entry("source", {"name": name}, hand, project=first.id) for name in names)]
    if pail.body.keys() & {"volume", "tare"}:
        entries.append(desk.entry("container", {"name": "pail", **pail.body}, hand, project=first.id))
    return entries


def _pail(raw: Mapping[str, Sequence[str]]) -> dict[str, list[str]]:
    """The pail as the fields of a container."""
    return {
        "name": [first_text(raw, "pail")],
        "volume": [first_text(raw, "pail_volume")],
        "volume_unit": [first_text(raw, "pail_volume_unit") or "l"],
        "tare": [first_text(raw, "pail_tare")],
        "tare_unit": [first_text(raw, "pail_tare_unit") or "kg"],
    }
