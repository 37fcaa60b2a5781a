"""Blocks in words: marks, orders at the press, ages, cure, strengths as tested."""

from datetime import date, timedelta

from loamwright.engine.bench import marks
from loamwright.engine.bench.hold import Hold
from loamwright.errors import InputError
from loamwright.project import cure, planning, press, weigh
from loamwright.project.blocks import minutes_held, mix_of, pressed_on, stabiliser_type
from loamwright.project.breaking import BlockStrength
from loamwright.project.cure import CureView, ToBreak
from loamwright.project.finding import Finding
from loamwright.project.judged import judged
from loamwright.project.state import Fact, State
from loamwright.words import batches
from loamwright.words.language import later, tr, trn
from loamwright.words.numbers import Shown, count, number, percent, span, typed
from loamwright.words.numbers import day as day_words
from loamwright.words.sentences import of_note, sentence
from loamwright.words.showing import batch_number, name_of

Order = dict[str, str]
MINUTES_A_DAY = 1440.0
CONDITIONS = {"wet": later("soaked"), "dry": later("dry")}


def mix_key_name(state: State, key: str) -> str:
    """The name of a mix key: the mix, or the mix as a batch really made it.

    A key "mix@batch" is of a batch whose dose was missed by so much that it counts as a mix of its own.
    """
    mix, _, batch = key.partition("@")
    if not batch:
        return name_of(state, mix)
    try:
        achieved = weigh.batch_view(state, batch).achieved
        name, n = name_of(state, mix), batch_number(state, state.fact(batch, "batch"))
        if achieved is None:
            return tr("{mix}, as batch {n} was weighed", mix=name, n=n)
        return tr("{mix}, as batch {n} was weighed, {dose} reached", mix=name, n=n, dose=percent(achieved.value, 2))
    except InputError:
        return name_of(state, mix_of(key))


# --- at the press ---


def press_orders(state: State, batch: Fact, press_fact: Fact | None, mark: str, shown: Shown) -> list[Order]:
    """What to do for the next block: the mark to scratch, the fill, the gauge to press to."""
    found = [{"text": tr("Scratch"), "number": mark, "unit": "", "then": ""}]
    fill = press.fill_order(state, batch, press_fact)
    if fill is not None:
        found.append(batches.mass_order(tr("Fill in"), fill.value, weigh.scale_step(state, batch)[0], shown))
    if press_fact is None:
        return found
    if press_fact["how"] == "gauge" and "gauge_wanted" in press_fact.values:
        value = shown.value(press_fact.needed("gauge_wanted"), "pressure")
        unit = shown.unit("pressure").label
        reading = value.removesuffix(unit).rstrip()
        found.append({"text": tr("Press to"), "number": reading, "unit": unit, "then": tr("On the gauge.")})
    elif "block_height" in press_fact.values:
        value, unit = shown.value(press_fact.needed("block_height"), "length"), shown.unit("length").label
        found.append({"text": tr("Height"), "number": value.removesuffix(unit).rstrip(), "unit": unit, "then": ""})
    return found


def pressed_words(state: State, batch: Fact) -> str:
    """How many blocks of a batch are pressed, of how many where its plan says; empty before the first."""
    pressed, wanted = len(state.where("block", "batch", batch.id)), len(planning.plan_row_marks(state, batch))
    if not pressed:
        return ""
    return tr("{n} of {wanted} pressed", n=pressed, wanted=wanted) if wanted else tr("{n} pressed", n=pressed)


def hold(state: State, view: weigh.BatchView, held: Hold | None) -> str:
    """The hold clock at the press; lime may rest, so it has no limit."""
    if held is None or held.minutes_held > MINUTES_A_DAY:
        return ""
    kind = stabiliser_type(state, view.fact.id)
    if kind == "cement":
        return batches.hold(held)
    what = tr(kind) if kind != "none" else tr("stabiliser")
    return tr("{held} since the {stabiliser} went in. It may rest, covered.", held=span(held.minutes_held), stabiliser=what)


def block_line(state: State, block: Fact, shown: Shown) -> str:
    """One block as it was read."""
    parts = [typed(block["green_mass"]), typed(block["height"])]
    if block.get("corners_lost"):
        parts.append(trn("{n} corner lost", "{n} corners lost", block["corners_lost"]))
    minutes = minutes_held(state, block)
    if minutes is not None:
        parts.append(tr("{time} after the stabiliser", time=span(minutes)))
    return ", ".join(parts)


def mark_fault(mark: str) -> str:
    """What is wrong with a mark that was typed to find a block, or an empty text."""
    fault = marks.check_mark(mark).fault
    if fault is None or fault == "empty":
        return ""
    return sentence("mark_wrong_digit" if fault == "wrong_digit" else "mark_not_usual", {"mark": mark.strip()})


def lost_words(name: str, spoiled: Finding | None, corners: Finding | None) -> str:
    """Shares lost of a mix in one line."""
    parts = [tr("{share} spoiled", share=percent(spoiled.value, 0))] if spoiled is not None else []
    parts += [tr("{share} with corners lost", share=percent(corners.value, 0))] if corners is not None else []
    return f"{name}: {', '.join(parts)}" if parts else ""


# --- curing ---


def cure_words(view: CureView) -> tuple[str, str]:
    """How a batch lies, and the shape of that state."""
    days = count(round(view.damp_days.value), "day")
    if not view.wanted.least:
        return tr("No stabiliser: dry it in shade, turned, out of wind."), ""
    if not view.steps:
        return tr("Not covered yet. Keep it damp for {n} days at least.", n=view.wanted.least), "not_shown"
    full = view.damp_days.value >= view.wanted.least
    text = tr("{days} damp: enough. Longer does no harm.", days=days)
    if not full:
        text = tr("{days} damp so far, {n} wanted.", days=days, n=view.wanted.least)
    return text, "met" if full else "not_shown"


def cure_notes(view: CureView) -> list[str]:
    """Cold, frost and days cut short, in sentences."""
    return [of_note(note) for note in view.notes]


# --- ages and strengths ---


def age_words(state: State, block: Fact, today: date) -> str:
    """Age of a block and whether it can be judged yet."""
    days = (today - pressed_on(state, block)).days
    judged = cure.judging(state, block["batch"], days)
    if judged.stage == "judge":
        return tr("{days} old: old enough to judge.", days=count(days, "day"))
    when = day_words(pressed_on(state, block) + timedelta(days=judged.judging_age), today)
    kind = stabiliser_type(state, block["batch"])
    if judged.stage == "screening":
        words = later("{days} old: screens out the hopeless; judged from day {age}, {when}.")
    elif kind == "none":
        words = later("{days} old: too early to judge, it dries out from day {age}, {when}.")
    else:
        words = later("{days} old: too early to judge, {stabiliser} shows itself from day {age}, {when}.")
    return tr(words, days=count(days, "day"), age=judged.judging_age, when=when, stabiliser=tr(kind))


def group_words(state: State, group: ToBreak, today: date) -> tuple[str, str, str]:
    """Blocks to break: what is next with them, when, and the rest."""
    number_of = batch_number(state, state.fact(group.batch, "batch"))
    how_many = len(group.blocks)
    rest = tr(
        "{marks}. {age} days old on {day}.",
        marks=cure.marks_of(group.blocks),
        age=group.age_days,
        day=day_words(group.break_on),
    )
    if group.soak_on is not None and not group.in_water:
        return tr("Batch {batch}: {n} into water", batch=number_of, n=how_many), day_words(group.soak_on, today), rest
    condition = tr(CONDITIONS[group.condition])
    what = tr("Batch {batch}: break {n} {condition}", batch=number_of, n=how_many, condition=condition)
    return what, day_words(group.break_on, today), rest


def _soaked_for(each: BlockStrength) -> str:
    """Hours a soaked block really was under water, to a tenth where they are not whole."""
    if each.condition != "wet" or each.water_hours is None:
        return ""
    tenths = round(each.water_hours, 1)
    return f" {number(tenths, 0 if tenths == round(tenths) else 1)} h"


def strength_label(each: BlockStrength, kind: str) -> str:
    """What a strength is, in one line: crushed or bent, condition, soak, age, pieces."""
    soak = _soaked_for(each)
    parts = [kind, f"{tr(CONDITIONS[each.condition])}{soak}", count(each.age_days, "day")]
    return ", ".join([*parts, tr("mean of two halves")] if each.piece_count == 2 else parts)


def strength_words(each: BlockStrength, *, crushed: bool) -> str:
    """How it was tested: condition, soak, age, pieces; gross area, no shape factor, slenderness."""
    soak = _soaked_for(each)
    parts = [f"{tr(CONDITIONS[each.condition])}{soak}", tr("{days} old", days=count(each.age_days, "day"))]
    if each.piece_count == 2:
        parts.append(tr("mean of two halves"))
    if crushed and not each.dissolved:
        parts.append(tr("as tested on the gross area, no shape factor"))
    if each.height_to_thickness is not None:
        parts.append(tr("height over thickness {ratio}", ratio=number(each.height_to_thickness, 2)))
    words = ", ".join(parts)
    return words[0].upper() + words[1:] + "."


def soak_words(state: State, block: Fact, now_minutes: float | None) -> str:
    """How long a block has been in water and how long it should."""
    wanted = cure.soak_wanted(state)
    if now_minutes is None:
        return tr("Not in water yet: {n} h are wanted.", n=number(wanted, 0))
    if now_minutes < judged("soak-under") * wanted * 60:
        return tr("In water for {time}, {left} to go.", time=span(now_minutes), left=span(wanted * 60 - now_minutes))
    return tr("In water for {time}: long enough.", time=span(now_minutes))
