"""Judged figures: every one that the code names is a row, and no row is left that nothing reads."""

import re
from pathlib import Path

import pytest

import loamwright
from loamwright import tables
from loamwright.notebook.kinds import kind_named
from loamwright.project.judged import judged

ROWS = tables.load("judgements")
CODE = "\n".join(path.read_text("utf-8") for path in Path(loamwright.__file__).parent.rglob("*.py"))
TYPES = next(field for field in kind_named("stabiliser").fields if field.name == "type").options


def named() -> set[str]:
    """Keys as the code writes them; the loose density of a stabiliser is named by its type."""
    plain = set(re.findall(r'judged\("([a-z-]+)"\)', CODE))
    return plain | {f"{kind}-loose-density" for kind in TYPES}


def test_every_named_figure_is_a_row_and_every_row_is_named() -> None:
    assert {row.key for row in ROWS} == named()


def test_a_row_is_either_judgement_or_common_practice() -> None:
    assert {row.standing for row in ROWS} == {"judgement", "common practice"}


def test_limits_are_in_order() -> None:
    for low, high in (
        ("block-density-least", "block-density-most"),
        ("ladder-density-least", "ladder-density-most"),
        ("gauge-least", "gauge-most"),
        ("ten-times-least", "ten-times-most"),
        ("soak-under", "soak-over"),
    ):
        assert judged(low) < judged(high)


def test_an_unknown_figure_is_a_fault_of_the_package() -> None:
    with pytest.raises(KeyError, match="no row 'luck'"):
        judged("luck")
