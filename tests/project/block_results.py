"""What tests of blocks say, for their tests: results by label, checked line by line, and the codes of notes and questions."""

import pytest

from loamwright.formula import evaluate
from loamwright.project.block_tests import BLOCK_TESTS
from loamwright.project.finding import Finding, working


def worked(bench, entry):
    return BLOCK_TESTS.worked(bench.state, bench.state.find(entry))


def told(found, label):
    (result,) = [each.result for each in found.results if each.label == label]
    return result


def checked(finding):
    """The value, after every line of its working was evaluated again, to the digits that are printed."""
    assert isinstance(finding, Finding), finding
    for step, line in zip(list(finding.steps()), working(finding), strict=True):
        assert evaluate(line.put_in) == pytest.approx(step.value, rel=5e-4, abs=1e-9)
    return finding.value


def codes(found):
    return [each.code for each in found.questions]


def noted(found):
    return [each.code for each in found.notes]


def said(found):
    return [each.code for each in found.says]
