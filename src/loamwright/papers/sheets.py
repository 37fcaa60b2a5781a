"""Sheets of the bench on paper, each from the model its grid is typed in: with what its stage must have in writing beside it."""

from collections.abc import Iterable

from loamwright.errors import InputError
from loamwright.papers import bench_sheets
from loamwright.papers.document import Document, Heading, Order, Part, Remark
from loamwright.papers.setting import Setting, known, lines, urn
from loamwright.papers.sheet import Sheet, parts_of
from loamwright.project import cure, loads, weigh
from loamwright.project.state import Fact
from loamwright.words import batches
from loamwright.words.asked_for import kind_said
from loamwright.words.language import tr
from loamwright.words.numbers import number, percent, with_unit
from loamwright.words.sentences import sentence
from loamwright.words.showing import batch_number, entry_words


def sheet_paper(
    setting: Setting, sheet: Sheet, *, before: Iterable[Part] = (), after: Iterable[Part] = (), code: str = ""
) -> Document:
    """A sheet as a paper: what stands above it, the sheet itself, what stands below."""
    parts = (*before, *parts_of(sheet), *after)
    return setting.paper(sheet.name, sheet.title, parts, code=code, landscape=sheet.landscape)


def weigh_out(setting: Setting, batch: Fact) -> Document:
    """The weigh-out sheet: orders, dose in its conventions, product, moisture wanted; boxes for weighings, feel and weather."""
    state, shown = setting.state, setting.shown
    before: list[Part] = []
    try:
        view = weigh.batch_view(state, batch.id)
    except InputError:
        view = None
    if view is not None:
        before += [Order(each["text"], each["number"], each["unit"], each["then"]) for each in batches.orders(view, shown)]
        before.append(_dose_lines(setting, view))
    mix = state.find(batch["mix"], "mix")
    stabiliser = state.find(mix["stabiliser"], "stabiliser") if mix is not None and mix.get("stabiliser") else None
    if stabiliser is not None:
        before.append(_product(setting, stabiliser))
    squeeze = next(each for each in kind_said("feel").fields if each.name == "squeeze")
    after = (
        Remark(f"{squeeze.label}: {' / '.join(squeeze.options.values())}."),
        lines(
            *((label, "") for label in (squeeze.label, tr("Weather"), tr("First block pressed at"), tr("Last block pressed at")))
        ),
    )
    return sheet_paper(setting, bench_sheets.weigh_out(state, batch, shown), before=before, after=after, code=urn(batch.id))


def _dose_lines(setting: Setting, view: weigh.BatchView) -> Part:
    pile = batches.from_piles(
        setting.state,
        setting.state.fact(view.mix["blend"], "blend"),
        view.fact.needed("soil_wanted"),
        view.scale_step,
        setting.shown,
    )
    of_total = view.dose.value
    dose = tr(
        "{total} of the total dry mix = {soil} of the dry soil",
        total=percent(of_total, 2),
        soil=percent(of_total / (1 - of_total), 2),
    )
    return known(
        (tr("Mix"), setting.name(view.mix.id)),
        (tr("Soil"), pile),
        (tr("Dose"), dose if of_total > 0 else ""),
        (tr("Moisture wanted"), tr("{share} of the dry mix", share=percent(view.target_water))),
        (tr("Scale step"), setting.shown.value(view.scale_step, "mass", digits=3)),
    )


def _product(setting: Setting, stabiliser: Fact) -> Part:
    words = dict(entry_words(setting.state, stabiliser))
    label = {each.name: each.label for each in kind_said("stabiliser").fields}
    named = ("type", "strength_class", "bag_mass", "bag_date", "sealed")
    return lines(*((label[name], words.get(label[name], "")) for name in named), (tr("Bag taken from delivery of"), ""))


def press(setting: Setting, batch: Fact) -> Document:
    """The press sheet of a batch."""
    return sheet_paper(setting, bench_sheets.press_sheet(setting.state, batch, setting.shown), code=urn(batch.id))


def pails(setting: Setting) -> Document:
    """The sheet for a morning of pails and pans."""
    return sheet_paper(setting, bench_sheets.pails_sheet(setting.state, setting.shown))


def jar(setting: Setting, about: Fact) -> Document:
    """The sheet that stands beside a jar: how it was filled, with what, and boxes for its readings."""
    before = known(*entry_words(setting.state, about))
    return sheet_paper(setting, bench_sheets.jar_sheet(setting.state, about, setting.shown), before=(before,), code=urn(about.id))


def ladder(setting: Setting, blend: Fact) -> Document:
    """The sheet of a water ladder."""
    return sheet_paper(setting, bench_sheets.ladder_sheet(setting.state, blend, setting.shown))


def recipe(setting: Setting, about: Fact) -> Document:
    """The recipe as the crew counts it out."""
    return sheet_paper(setting, bench_sheets.recipe_sheet(setting.state, about, setting.shown), code=urn(about.id))


def morning(setting: Setting, about: Fact) -> Document:
    """The sheet of a morning check."""
    return sheet_paper(setting, bench_sheets.morning_sheet(setting.state, about, setting.shown), code=urn(about.id))


def test_day(setting: Setting, rig: Fact | None = None) -> Document:
    """The test-day sheet: rig and how it was checked, soak wanted, boxes for raw readings only."""
    state = setting.state
    if rig is None:
        rig = state.latest("rig")
    soak = with_unit(number(cure.soak_wanted(state), 0), "h")
    before: list[Part] = [lines(*_rig_lines(setting, rig), (tr("Soak wanted"), soak), (tr("Diameter of the bars"), ""))]
    if rig is not None and not loads.calibrated(rig):
        before.append(Remark(sentence("paper_rig_not_checked", {})))
    groups = [_group_line(setting, group) for group in cure.to_break(state)]
    after: list[Part] = [Remark(sentence("paper_raw_only", {}))]
    if groups:
        after += [Heading(tr("Blocks")), *(Remark(each) for each in groups)]
    sheet = bench_sheets.break_sheet(state, setting.shown, rig)
    return setting.paper("test-day", tr("Test day"), (*before, *parts_of(sheet), *after), landscape=True)


def _rig_lines(setting: Setting, rig: Fact | None) -> list[tuple[str, str]]:
    if rig is None:
        return [(tr("Rig"), ""), (tr("Checked against a known load on"), "")]
    return [(tr("Rig"), setting.name(rig.id)), *entry_words(setting.state, rig)[1:], (tr("Rig id"), rig.id[-8:])]


def _group_line(setting: Setting, group: cure.ToBreak) -> str:
    """Blocks of one batch to be broken on one day."""
    batch = setting.state.fact(group.batch, "batch")
    return tr(
        "Batch {n}: {mix}, {marks}, {age} days old on {day}",
        n=batch_number(setting.state, batch),
        mix=setting.name(batch["mix"], "mix"),
        marks=cure.marks_of(group.blocks),
        age=group.age_days,
        day=setting.day(group.break_on),
    )
