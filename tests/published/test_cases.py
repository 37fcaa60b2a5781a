"""Every shipped case: published figures against the engine, each with its own stated tolerance, source and how it is known."""

import ast
import math
from pathlib import Path

import pytest

from loamwright.verify import topics
from loamwright.verify.cases import Case, shipped_cases
from loamwright.verify.names import suffixes
from loamwright.verify.operations import operations
from loamwright.verify.run import run_case

CASES = shipped_cases()
RUN = [case for case in CASES if case.operation != "fact"]


@pytest.mark.parametrize("case", RUN, ids=lambda case: f"{case.id}, {case.source or 'no named document'}, known: {case.known}")
def test_published_case(case: Case) -> None:
    outcome = run_case(case)
    assert outcome.why == ()
    assert {each.output for each in outcome.compared} == set(case.expected)
    apart = [(each.output, each.published, each.computed) for each in outcome.compared if not each.agrees]
    assert apart == []
    assert outcome.status == "agrees"


def test_the_cases_of_the_first_issue_are_there() -> None:
    """Topics and ids as agreed for the first issue; block-05 and stab-11 are facts without an operation."""
    ids = {case.id for case in CASES}
    assert {"phase-01", "phase-03", "phase-04", "moist-01", "moist-02", "moist-04"} <= ids
    assert {"sediment-01", "char-01", "char-02", "char-04", "char-05", "outlier-01", "outlier-03", "outlier-04"} <= ids
    assert {"block-01", "block-05", "block-06", "block-07", "blend-03", "blend-04"} <= ids
    assert [case.id for case in CASES if case.operation == "fact"] == ["block-05", "stab-11"]


def test_every_case_says_how_it_is_known_and_an_external_one_names_its_source() -> None:
    for case in CASES:
        assert case.known in ("seen", "memory", "mixed", "common practice"), case.id
        assert case.kind in ("external", "definition"), case.id
        assert case.source or case.kind == "definition", case.id


def test_every_operation_of_a_case_is_in_the_table() -> None:
    assert {case.operation for case in RUN} <= set(operations())


def test_no_adapter_names_a_case() -> None:
    """An adapter that knows a case could be made to pass it."""
    assert [case.id for text in _adapters() for case in CASES if case.id in text] == []


def test_adapters_compute_nothing() -> None:
    """No sum, product or power anywhere in the table of operations: adapters rename, call the engine and rename."""
    nodes = [node for text in _adapters() for node in ast.walk(ast.parse(text))]
    # "A | B" in an annotation is the one operator there is
    found = [ast.unparse(node) for node in nodes if isinstance(node, ast.BinOp) and not isinstance(node.op, ast.BitOr)]
    assert found == []


def _adapters() -> list[str]:
    """The text of every module of operations."""
    found = [Path(each).read_text("utf-8") for each in sorted(Path(topics.__path__[0]).glob("*.py"))]
    assert len(found) > 5
    return found


@pytest.mark.parametrize(
    ("quantity", "suffix", "number", "engine"),
    [
        # SI prefixes and the exact definition of the pound and the foot (NIST Handbook 44, appendix C, from memory)
        ("length", "um", 20.0, 0.02),
        ("volume", "cm3", 1e6, 1.0),
        ("density", "pcf", 1.0, 0.45359237 / 0.3048**3),
        ("density", "g_cm3", 2.65, 2650.0),
        ("temperature", "C", 20.0, 20.0),
        ("temperature", "F", 68.0, 20.0),
        ("unit_weight", "kN_m3", 17.8, 17.8),
        ("share", "below", 0.05, 0.95),
    ],
)
def test_suffixes_only_reports_use(quantity: str, suffix: str, number: float, engine: float) -> None:
    assert math.isclose(suffixes(quantity)[suffix].to_engine(number), engine, rel_tol=1e-12)
