"""Labels with a QR code: marks of blocks, and pallets of a batch, on sheets of labels or on plain paper to be cut."""

from datetime import timedelta

from loamwright import tables
from loamwright.engine.block import cure as curing
from loamwright.errors import InputError
from loamwright.papers.document import Document, Grid, Label, Labels
from loamwright.papers.setting import Setting, urn
from loamwright.project import cure, planning
from loamwright.project.blocks import pressed_on, stabiliser_type
from loamwright.project.state import Fact
from loamwright.words.language import tr
from loamwright.words.numbers import count
from loamwright.words.plans import FATES
from loamwright.words.showing import batch_number

USUAL, USUAL_LETTER = "3x8-a4", "2x7-letter"
_COLUMNS = ("label", "paper", "across", "down", "width_mm", "height_mm", "left_mm", "top_mm", "gap_mm", "cut")


def sheets() -> dict[str, str]:
    """The sheets there are: key and what a person calls it."""
    return {row.key: row["label"] for row in tables.load("label_sheets", required=_COLUMNS)}


def grid(key: str) -> Grid:
    """How labels lie on a sheet; `InputError` ("unknown_choice") for one that is not known."""
    if key not in sheets():
        raise InputError("unknown_choice", field="sheet", label="sheet", typed=key, allowed=", ".join(sheets()))
    row = tables.load("label_sheets", required=_COLUMNS)[key]
    lengths = (row["width_mm"], row["height_mm"], row["left_mm"], row["top_mm"], row["gap_mm"])
    return Grid(row["paper"], row["across"], row["down"], *lengths, row["cut"])


def block_marks(setting: Setting, about: Fact, *, sheet: str = USUAL) -> Document:
    """A label for every block of a plan or of a batch: its mark, what it is meant to be, what it is of."""
    found = _of_plan(setting, about) if about.kind == "plan" else _of_batch(setting, about)
    if not found:
        raise InputError("no_labels", name=setting.name(about.id))
    title = tr("Block labels: {name}", name=setting.name(about.id))
    return setting.paper("block-marks", title, (Labels(grid(sheet), tuple(found)),))


def _of_plan(setting: Setting, plan: Fact) -> list[Label]:
    found = []
    for row in planning.plan_view(setting.state, plan.id).rows:
        mix = setting.name(row.mixes[0], "mix") if len(row.mixes) == 1 else tr("Row {n} of the plan", n=row.row)
        for mark, fate in zip(row.marks, row.fates, strict=True):
            meant = _meant(fate.fate, fate.age)
            found.append(Label(mark, (meant, mix, tr("Row {n}, day {day}", n=row.row, day=row.day)), f"{urn(plan.id)}#{mark}"))
    return found


def _meant(fate: str, age: int | None) -> str:
    words = tr(FATES.get(fate, fate))
    return tr("{meant}, {days}", meant=words, days=count(age, "day")) if age else words


def _of_batch(setting: Setting, batch: Fact) -> list[Label]:
    state = setting.state
    name = tr("Batch {n}", n=batch_number(state, batch))
    mix = setting.name(batch["mix"], "mix")
    found = []
    for block in state.where("block", "batch", batch.id):
        pressed = pressed_on(state, block)
        meant = _meant(str(block.get("fate", "")), None) if block.get("fate") else ""
        lines = (meant, f"{name}, {setting.day(pressed)}", mix)
        found.append(Label(str(block["mark"]), tuple(line for line in lines if line), urn(block.id)))
    if found:
        return found
    planned = zip(planning.plan_row_marks(state, batch), planning.plan_row_fates(state, batch), strict=True)
    return [Label(mark, (_meant(fate, None), name, mix), f"{urn(batch.id)}#{mark}") for mark, fate in planned]


def pallet_labels(setting: Setting, about: Fact | None = None, *, sheet: str = USUAL) -> Document:
    """A label for the pallet of each batch (or of one): batch, mix, day pressed, damp until, broken on."""
    state = setting.state
    batches = [about] if about is not None else [batch for batch in state.all("batch") if state.where("block", "batch", batch.id)]
    found = tuple(_pallet(setting, batch) for batch in batches)
    if not found:
        raise InputError("no_labels", name=setting.name(state.project))
    return setting.paper("pallet-labels", tr("Pallet labels"), (Labels(grid(sheet), found),))


def _pallet(setting: Setting, batch: Fact) -> Label:
    state = setting.state
    blocks = state.where("block", "batch", batch.id)
    lines = [setting.name(batch["mix"], "mix")]
    if blocks:
        pressed = min(pressed_on(state, block) for block in blocks)
        least = curing.damp_cure(stabiliser_type(state, batch.id)).least
        lines.append(tr("{n}, pressed {day}", n=count(len(blocks), "block"), day=setting.day(pressed)))
        if least:
            lines.append(tr("damp until {day}", day=setting.day(pressed + timedelta(days=least))))
        first = min((group.break_on for group in cure.to_break(state) if group.batch == batch.id), default=None)
        lines += [tr("break {day}", day=setting.day(first))] if first else []
    return Label(tr("Batch {n}", n=batch_number(state, batch)), tuple(lines), urn(batch.id))
