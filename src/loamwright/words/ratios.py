"""Blends in words: ratios with their names, the first answer, chances, windows, which pail to change."""

from collections.abc import Mapping

from loamwright.engine.blend.offers import PailChange
from loamwright.engine.blend.windows import Window
from loamwright.project import blend_search
from loamwright.project.blending import BlendView, WindowView
from loamwright.project.state import Fact, State
from loamwright.words.language import tr
from loamwright.words.numbers import percent
from loamwright.words.sentences import sentence
from loamwright.words.showing import name_of

ALMOST = 0.995


def ratio(state: State, parts: Mapping[str, int]) -> str:
    """A ratio with its sources named: "Bank sand 5 : Red clay 2"."""
    return " : ".join(f"{name_of(state, source)} {count}" for source, count in parts.items())


def chance(share: float) -> str:
    """A chance as a percentage; counted draws never make it certain.

    >>> chance(0.9999), chance(0.4).replace(chr(0x202F), " ")
    ('over 99\\u202f%', '40 %')
    """
    if share > ALMOST:
        return tr("over {chance}", chance=percent(0.99, 0))
    return tr("under {chance}", chance=percent(0.01, 0)) if share < 1 - ALMOST else percent(share, 0)


def answer(view: BlendView) -> tuple[str, str]:
    """Lean, usable or fat with its chance, and the shape of that state."""
    code = view.window.chances.answer
    chances = {"lean": view.window.chances.below, "usable": view.window.chances.inside, "fat": view.window.chances.above}
    words = tr("{answer}, {chance} likely", answer=sentence(f"answer_{code}", {}), chance=chance(chances[code]))
    return words, _answer_shape(code, chances[code])


SURE_ENOUGH = 0.75  # below it a usable blend stands under a broken ring, not a tick: a toss is no verdict


def _answer_shape(code: str, likely: float) -> str:
    if likely < SURE_ENOUGH:
        return "not_shown"
    return "met" if code == "usable" else "not_met"


def reach(window: Window) -> str:
    """The range of a window: "10 to 20 %", "at least 10 %", "at most 33 %"."""
    if window.least is None or window.most is None:
        if window.least is None:
            return tr("at most {limit}", limit=percent(window.most or 0.0, 0))
        return tr("at least {limit}", limit=percent(window.least, 0))
    return tr("{low} to {high}", low=f"{100 * window.least:.0f}", high=percent(window.most, 0))


def window_name(window: Window) -> str:
    """What a window is: its document or its stabiliser, property and range."""
    whose = window.document or tr("for {stabiliser}", stabiliser=tr(str(window.stabiliser)))
    return tr("{whose}: {property} {range}", whose=whose, property=tr(window.property_name), range=reach(window))


def standing(window: Window) -> str:
    """How the figures of a window are known."""
    return sentence(f"standing_{window.standing}", {})


def upsets(state: State, blend: Fact, stabiliser: str) -> list[str]:
    """What becomes of a kept blend when a pail is not what it was, one sentence each."""
    return [
        sentence(
            each.code,
            {
                "source": name_of(state, each.source),
                "before_pct": 100 * each.upset.before["clay"],
                "after_pct": 100 * each.upset.after["clay"],
                "chance": chance(each.upset.chance_after),
                "chance_before": chance(each.upset.chance_before),
            },
        )
        for each in blend_search.upsets(state, blend, stabiliser=stabiliser)
    ]


def window_row(view: WindowView) -> list[str]:
    """One row of the table of windows."""
    window = view.window
    return [window.document, tr(window.property_name), reach(window), chance(view.chances.inside), standing(window)]


def change(state: State, view: BlendView) -> str:
    """Which pail to change."""
    if view.change is None:
        return "" if len(view.parts) < 2 else sentence("change_none", {})
    return _change(state, view.change)


def _change(state: State, found: PailChange) -> str:
    values = {"source": name_of(state, found.source), "ratio": ratio(state, found.parts), "chance": chance(found.chances.inside)}
    return sentence(f"change_{found.action}", values)
