"""Every code has its sentence, and every sentence is given the values it names: the source is read, nothing is run."""

import ast
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from string import Formatter

import pytest

from loamwright.engine.evidence import acceptance
from loamwright.words.said import said

PACKAGE = Path(__file__).resolve().parents[2] / "src" / "loamwright"
MAKERS = {"InputError": "", "Note": "", "Question": "", "Due": "due_"}

# Codes that are not written out where they are used. Each place says which codes it can make; a place that passes on a
# code somebody else made (an attribute or key called "code") needs no line here. A line that fits no place fails the test.
BUILT = {
    ("engine/block/cure.py", "code"): ("screening_only", "too_early_to_judge"),
    ("engine/choice/ranking.py", "code"): ("cost_not_known", "trips_not_known"),
    # Values passed over: a sentence of its own for the reason where there is one, else that of the code.
    ("engine/evidence/acceptance.py", "reason"): tuple(
        f"missing_{reason}" if f"missing_{reason}" in said() else reason
        for reason, _ in acceptance._FILTERS
        if reason != "other_property"
    ),
    ("engine/bench/strength.py", "code"): ("rig_too_weak", "rig_near_its_limit"),
    ("engine/soil/contradictions.py", "_code(first, second)"): (
        *(f"jar_against_{kind}" for kind in ("jar", "wash", "hydrometer", "limits", "shrinkage", "guess")),
        *(f"jar_against_{test}" for test in ("thread", "ribbon", "dry_strength", "shaking", "shine")),
        *("laboratory_against_laboratory", "laboratory_against_hands", "hands_against_hands"),
    ),
    ("engine/soil/contradictions.py", "f'reason_{row.key}'"): tuple(
        f"reason_{reason}"
        for reason in (
            *("glued_clay", "read_early", "fluffed_clay", "fine_silt"),
            *("active_clay", "idle_clay", "other_sample"),
        )
    ),
    ("notebook/store.py", "code"): ("notebook_full", "notebook_read_only", "notebook_unreadable"),
    ("project/doubts.py", "f'outlier_{kind}'"): ("outlier_crush", "outlier_bend"),
    ("project/ladder.py", "each.why"): ("ladder_start", "ladder_next", "ladder_edge", "ladder_none_clean", "ladder_dry_first"),
    ("project/ladder.py", "f'ladder_winner_{found.edge}'"): ("ladder_winner_driest", "ladder_winner_wettest"),
    ("project/plan_offers.py", "f'plan_{size}'"): ("plan_small", "plan_usual", "plan_official"),
    ("project/plan_offers.py", "f'plan_places_{size}'"): ("plan_places_usual", "plan_places_official"),
    ("project/press.py: _mark_questions", "code"): ("mark_wrong_digit", "mark_not_usual"),
    ("project/press.py: _sister_question", "code"): (
        "sister_ten_times",
        *(f"sister_{quantity}_{side}" for quantity in ("green_mass", "dry_density") for side in ("up", "down")),
    ),
    ("project/proving.py", "f'proving_no_{what}'"): ("proving_no_mass", "proving_no_height"),
    ("project/proving.py", "f'proving_{what}_off'"): ("proving_mass_off", "proving_height_off"),
    ("project/shake.py", "code"): (),  # of notes made elsewhere, each told once
    ("project/today.py", "aside.why"): ("two_entities", "other_kind", "cycle", "replaces_aside", "waits", "same_id"),
    ("project/weigh.py", "f'weigh_{what}'"): ("weigh_soil", "weigh_stabiliser", "weigh_water"),
}
# Values the words add by themselves when they make the sentence: names of what a question or a duty is about.
ADDED: dict[str, set[str]] = {"InputError": set(), "Note": set(), "Question": {"names"}, "Due": {"name"}}
# Arguments of the engine that the program sets itself and nobody types: doors and fields let nothing else through, so the
# sentence for what a person typed is never made of them.
NEVER_TYPED = {
    ("engine/bench/pressing.py", "not_whole"): "cylinders come from a field of whole numbers",
    ("engine/blend/parts.py", "not_whole"): "parts come from a field of whole numbers",
    ("engine/block/cure.py", "not_whole"): "the day a block was pressed is computed from its entry",
    ("engine/soil/observations.py", "unknown_choice"): "the method of a grading comes from a list of taps",
    ("engine/soil/jar.py", "unknown_choice"): "what was added and the water above come from lists of taps",
    ("engine/blend/offers.py", "out_of_range"): "the most parts searched are the program's own",
}


@dataclass(frozen=True)
class Call:
    """One place where a code is used: its maker, the code's expression, the names of its values (None: not to be seen)."""

    place: str
    line: int
    maker: str
    code: ast.expr
    values: frozenset[str] | None
    function: str

    @property
    def built(self) -> tuple[str, ...]:
        """The codes this place can make, where the list says so: for the whole file or for one function of it."""
        expression = ast.unparse(self.code)
        return BUILT.get((f"{self.place}: {self.function}", expression)) or BUILT.get((self.place, expression), ())

    @property
    def where(self) -> str:
        return f"{self.place}:{self.line}"


def _keys(node: ast.expr | None, scope: ast.AST) -> frozenset[str] | None:
    """Names in a dict written out here, or assigned to a name once in the same function."""
    if node is None:
        return frozenset()
    if isinstance(node, ast.Name):
        found = [
            each.value
            for each in ast.walk(scope)
            if isinstance(each, ast.Assign)
            and any(isinstance(target, ast.Name) and target.id == node.id for target in each.targets)
        ]
        return _keys(found[0], scope) if len(found) == 1 and not isinstance(found[0], ast.Name) else None
    if isinstance(node, ast.Dict) and all(isinstance(key, ast.Constant) for key in node.keys):
        return frozenset(str(key.value) for key in node.keys if isinstance(key, ast.Constant))
    return None


def _values(call: ast.Call, maker: str, scope: ast.AST) -> frozenset[str] | None:
    if maker == "InputError":
        names = [each.arg for each in call.keywords]
        return None if None in names else frozenset(str(name) for name in names)
    place = {"Note": 1, "Question": 4, "Due": 4}[maker]
    by_name = next((each.value for each in call.keywords if each.arg == "values"), None)
    return _keys(by_name or (call.args[place] if len(call.args) > place else None), scope)


def calls() -> Iterator[Call]:
    for path in sorted(PACKAGE.rglob("*.py")):
        tree = ast.parse(path.read_text("utf-8"))
        functions = [node for node in ast.walk(tree) if isinstance(node, (ast.FunctionDef, ast.AsyncFunctionDef))]
        for node in ast.walk(tree):
            if not isinstance(node, ast.Call):
                continue
            maker = (
                node.func.id
                if isinstance(node.func, ast.Name)
                else node.func.attr
                if isinstance(node.func, ast.Attribute)
                else ""
            )
            if maker in MAKERS and (node.args or node.keywords):
                code = node.args[0] if node.args else next(each.value for each in node.keywords if each.arg == "code")
                around = [each for each in functions if each.lineno <= node.lineno <= (each.end_lineno or 0)]
                scope = max(around, key=lambda each: each.lineno, default=tree)
                yield Call(
                    path.relative_to(PACKAGE).as_posix(),
                    node.lineno,
                    maker,
                    code,
                    _values(node, maker, scope),
                    getattr(scope, "name", ""),
                )


CALLS = list(calls())


def written_out(code: ast.expr) -> tuple[str, ...]:
    """Codes that stand in an expression as they are: one, or the two of a choice."""
    if isinstance(code, ast.Constant):
        return (str(code.value),)
    if isinstance(code, ast.IfExp):
        return (*written_out(code.body), *written_out(code.orelse))
    return ()


def passed_on(code: ast.expr) -> bool:
    """Whether a code is one somebody else made, and is looked at where it was made."""
    if isinstance(code, ast.Attribute):
        return code.attr == "code"
    return isinstance(code, ast.Subscript) and isinstance(code.slice, ast.Constant) and code.slice.value == "code"


def codes() -> Iterator[tuple[str, str, Call]]:
    """Every code with its key among the sentences."""
    for call in CALLS:
        found = written_out(call.code) or call.built
        for code in found:
            yield code, MAKERS[call.maker] + code, call


def test_the_source_is_really_read() -> None:
    assert len(CALLS) > 300
    assert {call.maker for call in CALLS} == set(MAKERS)


def test_every_code_has_a_sentence() -> None:
    assert sorted({f"{call.maker} {code} at {call.where}" for code, key, call in codes() if key not in said()}) == []


def test_every_built_code_is_listed_and_every_line_of_the_list_is_used() -> None:
    built = [call for call in CALLS if not written_out(call.code) and not passed_on(call.code)]
    unlisted = [call.where for call in built if not call.built and BUILT.get((call.place, ast.unparse(call.code))) != ()]
    assert unlisted == []
    used = {(place, ast.unparse(call.code)) for call in built for place in (call.place, f"{call.place}: {call.function}")}
    assert set(BUILT) <= used


def test_every_exemption_is_still_one() -> None:
    used = {(call.place, code) for code, _, call in codes()}
    assert set(NEVER_TYPED) <= used and all(NEVER_TYPED.values())


def names_in(template: str) -> set[str]:
    return {name for _, name, _, _ in Formatter().parse(template) if name}


def test_every_sentence_gets_the_values_it_names() -> None:
    missing = set()
    for code, key, call in codes():
        if call.values is None or key not in said() or (call.place, code) in NEVER_TYPED:
            continue
        per_cent = {f"{name}_pct" for name in call.values}  # made by the words from a fraction
        lacking = names_in(said()[key]) - call.values - per_cent - ADDED[call.maker]
        if lacking:
            missing.add(f"{key} at {call.where} is not given {', '.join(sorted(lacking))}")
    assert sorted(missing) == []


@pytest.mark.parametrize("key", sorted(said()))
def test_a_sentence_is_a_sentence(key: str) -> None:
    template = said()[key]
    assert template.strip() == template and template
    assert all(re.fullmatch(r"[a-z_][a-z0-9_]*", name) for name in names_in(template)), "values are named for translators"
    assert "_" not in re.sub(r"\{[^}]*\}", "", template), "a name of the program in words for people"
