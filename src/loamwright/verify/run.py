"""Running cases: computed against published, output by output, with the tolerance the case states."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, Literal

from loamwright import units
from loamwright.errors import InputError
from loamwright.verify.cases import FACT, Case
from loamwright.verify.names import Given, read_inputs
from loamwright.verify.operation import Operation, Output
from loamwright.verify.operations import operations

Status = Literal["agrees", "differs", "not_run", "fact"]
ROUNDING = 1e-12  # of the larger number: what adding and scaling doubles may cost, no more


@dataclass(frozen=True, slots=True)
class Compared:
    """One output: what was published, what came out in the same unit, the tolerance in words, and whether they agree."""

    output: str
    published: Any
    computed: Any
    tolerance: str
    agrees: bool


@dataclass(frozen=True, slots=True)
class Outcome:
    """What became of one case; `why` says what kept it, or one of its outputs, from being run."""

    case: Case
    status: Status
    compared: tuple[Compared, ...] = ()
    why: tuple[InputError, ...] = ()


def run_cases(cases: Iterable[Case]) -> tuple[Outcome, ...]:
    """Every case, in order; one that fails does not stop the others."""
    return tuple(run_case(case) for case in cases)


def passed(outcomes: Iterable[Outcome]) -> bool:
    """Whether every case agrees or is a listed fact."""
    return all(outcome.status in ("agrees", "fact") for outcome in outcomes)


def run_case(case: Case) -> Outcome:
    """One case. An operation, input or output that is not known counts as not run, whatever else agrees."""
    if case.operation == FACT:
        return Outcome(case, "fact")
    try:
        operation = _operation(case.operation)
        given = read_inputs(operation.inputs, case.inputs)
        results = operation.run(given)
    except InputError as fault:
        return Outcome(case, "not_run", why=(fault,))
    except (ValueError, TypeError, ArithmeticError) as fault:  # a list for a number, lists of different lengths, infinity
        return Outcome(case, "not_run", why=(InputError("case_value_not_read", name="inputs", found=str(fault)),))
    compared: list[Compared] = []
    why: list[InputError] = []
    for name, published in case.expected.items():
        try:
            compared.append(_compare(case, operation, given, results, name, published))
        except InputError as fault:
            why.append(fault)
    differs = any(not each.agrees for each in compared)
    return Outcome(case, "differs" if differs else "not_run" if why else "agrees", tuple(compared), tuple(why))


def _operation(key: str) -> Operation:
    if not key:
        raise InputError("case_without_operation", known=", ".join(operations()))
    if key not in operations():
        raise InputError("operation_unknown", operation=key, known=", ".join(operations()))
    return operations()[key]


def _compare(case: Case, operation: Operation, given: Given, results: Mapping[str, Any], name: str, published: Any) -> Compared:
    output, result, unit = _result(operation, given, results, name)
    computed = _in_unit(result, unit)
    if output.check == "band":
        return Compared(name, published, computed, "inside", _inside(name, published, computed))
    published = _published(published, unit)
    kind, size = tolerance_of(case.tolerance, name)
    words = "exact" if kind == "exact" else f"{kind} {size:g}"
    return Compared(name, published, computed, words, _agree(published, computed, kind, size))


def _result(operation: Operation, given: Given, results: Mapping[str, Any], name: str) -> tuple[Output, Any, units.Unit | None]:
    """The output a published name belongs to, its result in engine units, and the unit it is printed in."""
    for output in operation.outputs:
        stems = [output.named.name]
        if output.family:
            stems = [f"{output.named.name}_{label}" for label in given.labels.get(output.family, ())]
        for stem in stems:
            named = output.named.called(stem)
            if name in named.written:
                return output, results[stem], named.unit_in(name)
    raise InputError("case_output_unknown", name=name, operation=operation.key)


def _in_unit(result: Any, unit: units.Unit | None) -> Any:
    if isinstance(result, tuple):
        return [_in_unit(item, unit) for item in result]
    return result if unit is None or isinstance(result, str) else unit.from_engine(result)


def _published(published: Any, unit: units.Unit | None) -> Any:
    """A published figure as a number: text such as "245.57", or "7 h 44 min 16 s" in the unit of the output."""
    if not isinstance(published, str):
        return published
    words = published.split()
    try:
        if unit is None or len(words) % 2:
            return float(published)
        pairs = zip(words[::2], words[1::2], strict=True)
        return unit.from_engine(sum(units.unit(key).to_engine(float(number)) for number, key in pairs))
    except ValueError:  # a word, compared as it stands (InputError is one too)
        return published


def _inside(name: str, band: Any, computed: Any) -> bool:
    if not (isinstance(band, list) and len(band) == 2):
        raise InputError("case_value_not_read", name=name, found=str(band)[:60])
    return bool(band[0] <= computed <= band[1])


def tolerance_of(stated: Mapping[str, Any], name: str) -> tuple[Literal["abs", "rel", "exact"], float]:
    """The tolerance of an output: its own ("G_abs" for G), else the one for all ("abs", "rel"), else an exact match.

    >>> tolerance_of({"G_abs": 0.001, "rel": 0.01}, "G"), tolerance_of({"rel": 0.01}, "w_pct"), tolerance_of({}, "n")
    (('abs', 0.001), ('rel', 0.01), ('exact', 0.0))
    """
    kinds: tuple[Literal["abs", "rel"], ...] = ("abs", "rel")
    own = [(key[:-4], kind) for key in stated for kind in kinds if key.endswith(f"_{kind}")]
    fitting = sorted((each for each in own if name == each[0] or name.startswith(f"{each[0]}_")), key=lambda each: -len(each[0]))
    if fitting:
        stem, kind = fitting[0]
        return kind, float(stated[f"{stem}_{kind}"])
    for kind in kinds:
        if kind in stated:
            return kind, float(stated[kind])
    return "exact", 0.0


def _agree(published: Any, computed: Any, kind: str, size: float) -> bool:
    if isinstance(published, list) or isinstance(computed, list):
        if not (isinstance(published, list) and isinstance(computed, list)) or len(published) != len(computed):
            return False
        return all(_agree(left, right, kind, size) for left, right in zip(published, computed, strict=True))
    if isinstance(published, bool) or isinstance(computed, (bool, str)) or not isinstance(published, (int, float)):
        return bool(published == computed)
    allowed = size * abs(published) if kind == "rel" else size
    return bool(abs(computed - published) <= allowed + ROUNDING * max(abs(computed), abs(published)))
