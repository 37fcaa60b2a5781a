"""What is due and what is next, in words."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date

from loamwright.project import brief, today
from loamwright.project.asking import Due
from loamwright.project.state import State
from loamwright.words.language import tr
from loamwright.words.numbers import day as day_words
from loamwright.words.sentences import sentence
from loamwright.words.showing import name_of

Href = Callable[..., str]


def due_words(each: Due, state: State, now: date, href: Href) -> dict[str, str]:
    """One thing to do: what, when, where."""
    values = {"name": name_of(state, each.about) if each.about else "", **each.values}
    return {
        "what": sentence(f"due_{each.code}", values),
        "when": day_words(each.on, now) if each.on else "",
        "href": href(*_PAGES.get(each.code, (each.verb,)), *((each.about,) if each.code in _PAGES and each.about else ())),
    }


_PAGES: Mapping[str, tuple[str, ...]] = {
    "pick_brief": ("today", "brief"),
    "weigh_pails": ("dig", "source"),
    "ask_stops": ("dig", "source"),
    "read_jar": ("shake", "jar"),
    "shake_jar": ("shake", "source"),
    "ladder_start": ("weigh", "ladder"),
    "ladder_next": ("weigh", "ladder"),
    "ladder_edge": ("weigh", "ladder"),
    "ladder_none_clean": ("weigh", "ladder"),
    "ladder_dry_first": ("weigh", "ladder"),
    "plan_batch": ("weigh", "plan"),
    "make_proving": ("make", "recipe"),
    "proving_soak": ("make", "recipe"),
    "morning_check": ("make", "recipe"),
    "weigh_soil": ("weigh", "batch"),
    "weigh_stabiliser": ("weigh", "batch"),
    "weigh_water": ("weigh", "batch"),
    "press_blocks": ("press", "batch"),
    "press_rest": ("press", "batch"),
    "press_more": ("press", "batch"),
    "cover_blocks": ("press", "batch"),
    "uncover_blocks": ("press", "batch"),
    "soak_blocks": ("break", "batch"),
    "break_blocks": ("break", "batch"),
}


def next_step(state: State, now: date, href: Href) -> dict[str, str]:
    """The one thing to do next: a batch in hand first, then what is due today, else the next stage that has nothing yet.

    Its address is empty where nothing is left to do.
    """
    ready = today.due_now(state, now)
    in_hand = [each for each in ready if each.code in _IN_HAND and state.day(state.fact(each.about, "batch")) == now]
    in_hand.sort(key=lambda each: _IN_HAND.index(each.code))
    dated = [each for each in ready if each.on is not None]
    open_work = [each for each in ready if each.verb == "weigh"]
    for found in (in_hand[:1], dated[:1], open_work[-1:]):
        if found:
            return due_words(found[0], state, now, href)
    for step in _PATH:
        if not step.done(state):
            named = [each for each in ready if each.code == step.due]
            if named:
                return due_words(named[0], state, now, href)
            return {"what": sentence(f"next_{step.code}", {}), "when": "", "href": href(*step.page)}
    return {"what": sentence("next_nothing", {}), "when": "", "href": ""}


# A mix that waits loses strength by the minute: the batch furthest on comes first. One that may be all pressed comes last.
_IN_HAND = ("press_rest", "press_blocks", "weigh_water", "weigh_stabiliser", "weigh_soil", "press_more")


def _has(kind: str, how_many: int = 1) -> Callable[[State], bool]:
    return lambda state: len(state.all(kind)) >= how_many


@dataclass(frozen=True, slots=True)
class _Step:
    """A stage of the job: its page, when it has been done, and what is due there by name."""

    code: str
    page: tuple[str, ...]
    done: Callable[[State], bool]
    due: str = ""


_PATH: tuple[_Step, ...] = (
    _Step("sources", ("dig",), _has("source", 2)),
    _Step("pails", ("dig",), _has("pail_weighing", 2), "weigh_pails"),
    _Step("stabiliser", ("write", "stabiliser"), _has("stabiliser")),
    _Step("jar", ("shake",), _has("jar"), "shake_jar"),
    _Step("blend", ("blend",), _has("blend")),
    _Step("ladder", ("weigh", "ladder"), _has("ladder_block", 3)),
    _Step("mix", ("blend",), _has("mix")),
    _Step("plan", ("weigh", "plan"), lambda state: bool(state.all("plan") or state.all("batch"))),
    _Step("batch", ("weigh",), _has("batch")),
    _Step("block", ("press",), _has("block")),
    _Step("crush", ("break",), _has("crush")),
    _Step("brief", ("today", "brief"), lambda state: brief.brief(state).decided),
    _Step("choice", ("choose",), _has("choice")),
    _Step("recipe", ("make",), _has("recipe")),
    _Step("proving", ("make",), _has("proving_batch"), "make_proving"),
)


def waiting_words(state: State, now: date) -> Mapping[str, str]:
    """A short word for each verb that waits: "2 due", "1 open"."""
    found: dict[str, str] = {}
    for verb, (due, asked) in today.waiting(state, now).items():
        parts = [tr("{n} due", n=due)] if due else []
        parts += [tr("{n} open", n=asked)] if asked else []
        found[verb] = ", ".join(parts)
    return found
