"""Jars and soils in words: when to read, what was read, how well a soil is known and what that is not."""

from collections.abc import Mapping
from datetime import date, datetime

from loamwright import tables
from loamwright.engine.blend import windows
from loamwright.engine.soil.belief import interval
from loamwright.notebook.kinds.shake_kinds import LAYERS
from loamwright.project import blending, shake
from loamwright.project.finding import Finding
from loamwright.project.jars import Height, JarTime, JarView
from loamwright.project.state import State
from loamwright.words.language import later, tr
from loamwright.words.numbers import Shown, count, day, number, span, typed
from loamwright.words.sentences import of_note, of_notes, sentence

Layers = list[dict[str, object]]
SECONDS_MATTER = 10.0  # minutes
SETTLED = 720.0  # minutes, after which the bed is held against the dry mark
QUIET = ("of_draws",)  # said by the working itself


def clock_time(moment: datetime, *, seconds: bool) -> str:
    """A time of the clock."""
    return f"{moment:%H:%M:%S}" if seconds else f"{moment:%H:%M}"


def time_to_read(each: JarTime, today: date) -> str:
    """When a reading falls, to the second while seconds matter."""
    at = clock_time(each.at, seconds=each.minutes < SECONDS_MATTER)
    return at if each.at.date() == today else f"{day(each.at.date(), today)} {at}"


def when_to_read(each: JarTime, now: datetime) -> str:
    """When a jar is read next, in few words."""
    return tr("read it now") if now > each.at else tr("read at {time}", time=time_to_read(each, now.date()))


def next_order(each: JarTime, now: datetime) -> dict[str, str]:
    """The order to read the jar next; without a time once that has passed."""
    says, also = tr(each.says), tr(each.also)
    then = tr("{time} after it was set down: {says}. {also}", time=span(each.minutes), says=says, also=also).rstrip()
    if now > each.at:
        late = tr("It was to be read {time}, {then}", time=time_to_read(each, now.date()), then=then)
        return {"text": tr("Read the top of all that has settled, now"), "number": "", "unit": "", "then": late}
    order = tr("Read the top of all that has settled at")
    return {"text": order, "number": time_to_read(each, now.date()), "unit": "", "then": then}


def time_line(each: JarTime, now: datetime, *, started: bool) -> dict[str, str]:
    """One line of the list of times; on the clock only once the jar stands."""
    passed = now > each.at
    when = tr("read") if each.done else (tr("passed") if passed else time_to_read(each, now.date())) if started else ""
    return {"what": tr("{time}: {says}", time=span(each.minutes), says=tr(each.says)), "when": when}


def height_line(each: Height) -> str:
    """One reading as it was made."""
    after, height = typed(each.fact["after"]), typed(each.fact["height"])
    said = tr("After {time}: {layer} {height}", time=after, layer=tr(LAYERS[each.layer]), height=height)
    water = each.fact.get("water_above")
    return tr("{reading}, water {look}", reading=said, look=tr(water)) if water else said


def rise_words(view: JarView) -> str:
    """How the settled soil stands against the dry mark, once it has settled or stands above it."""
    rise = None if view.reading is None else shake.rise(view.reading)
    if rise is None or (rise < 0 and view.usable[-1].minutes < SETTLED):
        return ""
    apart = number(100 * abs(rise), 0)
    if rise >= 0:
        return tr("It settled {n} % above its dry mark. Loose soil moves 10 to 15 % by itself.", n=apart)
    return tr("It settled {n} % below its dry mark. Loose soil moves 10 to 15 % by itself.", n=apart)


def share_line(state: State, source: str, shown: Shown) -> str:
    """How much clay a source holds, in one line; what is missing where nobody looked."""
    clay = shake.share(state, source, "clay")
    if clay is None or clay.band is None:
        return tr("not known yet")
    likely = shown.band(clay.band.low, clay.band.high, "share", digits=0)
    return tr("clay {share}, likely {band}", share=shown.value(clay.value, "share", digits=0), band=likely)


def stands_on(state: State, source: str) -> str:
    """What the shares of a source stand on: "2 jars, 1 guess"."""
    records = shake.observed(state, source).records
    said = [count(len(records["jars"]), "jar")] if records["jars"] else []
    said += [count(len(records["guesses"]), "guess", "guesses")] if records["guesses"] else []
    tests = sum(len(records[name]) for name in ("gradings", "limits", "shrinkages", "feels"))
    said += [count(tests, "test")] if tests else []
    if len(said) < 2:
        return "".join(said)
    return tr("{first} and {second}", first=", ".join(said[:-1]), second=said[-1])


def notes_of(*findings: Finding) -> list[str]:
    """Sentences of the notes of some findings, each once, without what the working says itself."""
    notes = [note for finding in findings for note in finding.all_notes() if note.code not in QUIET]
    return of_notes(notes)


def what_it_is_not(state: State, source: str) -> list[str]:
    """What the shares of a source must not be taken for."""
    jars = shake.observed(state, source).records["jars"]
    if not jars:
        return [sentence("not_only_guess", {})]
    said = ["not_bare_layers"]
    if any(jar.added == "nothing" for jar in jars):
        said.append("not_dispersant")
    if any(jar.screen_size is not None for jar in jars):
        said.append("not_screened")
    return [sentence(code, {}) for code in (*said, "not_laboratory")]


def layers(edges: tuple[shake.Edge, ...], held: dict[str, Finding], shown: Shown) -> Layers:
    """A soil as the column piece takes it: layers from the bottom up, each with its share and range."""
    return [
        {"kind": edge.kind, "name": tr(edge.kind), "value_text": share_and_range(held[edge.kind], shown),
         "low": edge.low, "mid": edge.middle, "high": edge.high}
        for edge in edges
    ]  # fmt: skip


def share_and_range(finding: Finding, shown: Shown) -> str:
    """A share with its range, such as "41 % (36 to 47)"."""
    text = shown.value(finding.value, "share", digits=0)
    if finding.band is None:
        return text
    low, high = number(100 * finding.band.low, 0), number(100 * finding.band.high, 0)
    return tr("{share} ({low} to {high})", share=text, low=low, high=high)


PROPERTIES: Mapping[str, tuple[str, str]] = {
    "liquid_limit": (later("Liquid limit"), "share"),
    "plasticity_index": (later("Plasticity index"), "share"),
    "linear_shrinkage": (later("Linear shrinkage"), "share"),
    "loose_dry_density": (later("Loose dry density"), "density"),
    "moisture": (later("Moisture"), "share"),
    "oversize": (later("Stays on the screen"), "share"),
}
"""What is believed of a soil beside sand, silt and clay."""


def properties(state: State, source: str, shown: Shown) -> list[list[str]]:
    """What else is believed of a soil: property (and whether it only follows from the rest), middle, range."""
    held = shake.belief(state, source)
    rows = []
    for name, (label, quantity) in PROPERTIES.items():
        if held is None or name not in held:
            continue
        each = held[name]
        found = interval(each.values, 0.90)
        implied = any(note.code == "property_implied" for note in each.notes)
        said = tr("{property}, implied", property=tr(label)) if implied else tr(label)
        rows.append([said, shown.value(found.middle, quantity), shown.band(found.low, found.high, quantity)])
    return rows


def contradicting(state: State, source: str) -> list[dict[str, object]]:
    """What does not go together: the sentence, likely reasons, and the cheapest test that would settle it."""
    found: list[dict[str, object]] = []
    for each in shake.contradicting(state, source):
        settles = sentence("settled_by", {"test": tr(test_label(each.settles))}) if each.settles else ""
        found.append({"what": of_note(each.note), "reasons": of_notes(each.reasons), "settles": settles})
    return found


def test_label(key: str) -> str:
    """What a test of data/next_tests.toml asks one to do, as its message key."""
    return str(tables.load("next_tests", required=("label",))[key]["label"])


TOLD = 3
LITTLE = 0.02  # of the variance that is there: a test that tells less is not worth naming


def next_tests(state: State, source: str) -> list[str]:
    """The tests worth making next: what each would take off the doubt of lying in the usual window."""
    window = windows.stabiliser_window(blending.usual_stabiliser(state))
    said = []
    for each in shake.tests_to_make(state, source, window)[:TOLD]:
        gained = 0.0 if each.variance <= 0 else 1.0 - each.variance_after / each.variance
        if gained > LITTLE:
            values = {"test": tr(each.label), "gain_pct": 100 * gained, "time": span(60.0 * each.hours)}
            said.append(sentence("next_test_said", values))
    return said
