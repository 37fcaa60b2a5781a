"""Opening a project: buckets, units and the pail, for pages and shell alike."""

from collections.abc import Callable

import pytest

from loamwright.errors import InputError
from loamwright.project.desk import Desk, Hand
from loamwright.project.opening import opening


def test_a_project_is_opened_with_its_buckets_and_pail(desk: Desk, hand: Callable[[], Hand]) -> None:
    raw = {"mass_unit": ["lb"], "pail": ["tub"], "pail_volume": ["5"], "pail_volume_unit": ["gal"], "pail_tare": ["2"]}
    entries = opening(desk, [" Red clay ", "", "Sand"], {**raw, "pail_tare_unit": ["lb"]}, hand())
    assert [entry.kind for entry in entries] == ["project", "source", "source", "container"]
    desk.keep(entries)
    state = desk.state(entries[0].id)
    project = state.fact(entries[0].id, "project")
    assert (project["name"], project["dose_basis"], project["mass_unit"]) == ("Red clay and Sand", "of_total_dry_mix", "lb")
    assert [fact["name"] for fact in state.all("source")] == ["Red clay", "Sand"]
    pail = state.all("container")[0]
    assert pail.needed("volume") == pytest.approx(5 * 231 * 0.0254**3, rel=1e-12)  # a US gallon is 231 in³
    assert pail.needed("tare") == pytest.approx(2 * 0.45359237, rel=1e-12)


def test_no_pail_is_made_of_a_name_alone(desk: Desk, hand: Callable[[], Hand]) -> None:
    assert [entry.kind for entry in opening(desk, ["A", "B"], {"pail": ["tub"]}, hand())] == ["project", "source", "source"]


@pytest.mark.parametrize(
    ("buckets", "raw", "code"),
    [
        (["only one", " "], {}, "two_buckets"),
        (["A", "B"], {"mass_unit": ["stone"]}, "unknown_choice"),
        (["A", "B"], {"pail_volume": ["twenty"]}, "not_a_number"),
        (["A", "B"], {"pail_volume": ["20"], "pail_volume_unit": ["kg"]}, "unit_of_other_quantity"),
    ],
)
def test_what_cannot_be_read_opens_nothing(
    buckets: list[str], raw: dict[str, list[str]], code: str, desk: Desk, hand: Callable[[], Hand]
) -> None:
    with pytest.raises(InputError) as fault:
        opening(desk, buckets, raw, hand())
    assert fault.value.code == code
    assert desk.projects() == []
