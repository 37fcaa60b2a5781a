"""What is due and what is next, in words."""

from collections.abc import Callable, Mapping
from datetime import date

from loamwright.project import today
from loamwright.project.asking import Due
from loamwright.project.state import State
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
    "cover_blocks": ("press", "batch"),
    "uncover_blocks": ("press", "batch"),
    "soak_blocks": ("break", "batch"),
    "break_blocks": ("break", "batch"),
}


def next_step(state: State, now: date, href: Href) -> dict[str, str]:
    """The one thing to do next: what is due today first, else the next stage of the job that has nothing yet."""
    dated = [each for each in today.due_now(state, now) if each.on is not None]
    if dated:
        return due_words(dated[0], state, now, href)
    open_work = [each for each in today.due_now(state, now) if each.verb == "weigh"]
    if open_work:
        return due_words(open_work[-1], state, now, href)
    for code, verb, done in _PATH:
        if not done(state):
            return {"what": sentence(f"next_{code}", {}), "when": "", "href": href(verb)}
    return {"what": sentence("next_nothing", {}), "when": "", "href": href("today")}


def _has(kind: str, how_many: int = 1) -> Callable[[State], bool]:
    return lambda state: len(state.all(kind)) >= how_many


_PATH: tuple[tuple[str, str, Callable[[State], bool]], ...] = (
    ("sources", "dig", _has("source", 2)),
    ("pails", "dig", _has("pail_weighing", 2)),
    ("stabiliser", "dig", _has("stabiliser")),
    ("jar", "shake", _has("jar")),
    ("blend", "blend", _has("blend")),
    ("ladder", "weigh", _has("ladder_block", 3)),
    ("mix", "weigh", _has("mix")),
    ("batch", "weigh", _has("batch")),
    ("block", "press", _has("block")),
    ("crush", "break", _has("crush")),
    ("choice", "choose", _has("choice")),
    ("recipe", "make", _has("recipe")),
    ("proving", "make", _has("proving_batch")),
)


def waiting_words(state: State, now: date) -> Mapping[str, str]:
    """A short word for each verb that waits: "2 due", "1 open"."""
    found: dict[str, str] = {}
    for verb, (due, asked) in today.waiting(state, now).items():
        parts = [f"{due} due"] if due else []
        parts += [f"{asked} open"] if asked else []
        found[verb] = ", ".join(parts)
    return found
