"""Every vector of the bench kernels through Python; tests/browser/test_twin.py runs the same list through the phone's modules."""

import re
from pathlib import Path
from typing import Any

import pytest
from tests.vectors.reading import NOT_ON_THE_PHONE, call, camel, constants, in_python, kernels, unlike_print, vectors

import loamwright.web
from loamwright import units
from loamwright.errors import InputError
from loamwright.notebook import fields
from loamwright.verify.cases import shipped_cases

STATIC = Path(loamwright.web.__file__).parent / "static"
TWIN = (STATIC / "twin.js").read_text("utf-8")
LIST = vectors()
REFERENCES = set(
    re.findall(r"^### (\S+)$", (Path(__file__).parents[2] / "docs" / "references.md").read_text("utf-8"), re.MULTILINE)
)


@pytest.mark.parametrize("vector", LIST["figure"], ids=lambda vector: vector["id"])
def test_a_printed_figure(vector: dict[str, Any]) -> None:
    found = call(vector["kernel"], in_python(vector["given"]))
    assert "result" in found, found
    assert unlike_print(found["result"], vector["printed"], vector) == []


@pytest.mark.parametrize("vector", LIST["bad"], ids=lambda vector: f"{vector['kernel']}: {vector['code']}")
def test_bad_input_is_refused(vector: dict[str, Any]) -> None:
    found = call(vector["kernel"], in_python(vector["given"]))
    assert found.get("fault", found).get("code") == vector["code"]
    assert vector.get("values", {}).items() <= found["fault"]["values"].items()


@pytest.mark.parametrize("vector", LIST["number"], ids=lambda vector: repr(vector["text"]))
def test_a_typed_number(vector: dict[str, Any]) -> None:
    if "code" in vector:
        with pytest.raises(InputError) as caught:
            units.parse_number(vector["text"])
        assert caught.value.code == vector["code"]
    else:
        assert units.parse_number(vector["text"]) == vector["value"]


@pytest.mark.parametrize("vector", LIST["field"], ids=lambda vector: f"{vector['kind']} {vector['typed']}")
def test_a_typed_field(vector: dict[str, Any]) -> None:
    more = {name: vector[name] for name in ("quantity", "options") if name in vector}
    field = fields.Field("asked", "Asked", vector["kind"], required=True, **more)
    parsed = fields.parse([field], {"asked": vector["typed"], "asked_unit": [vector.get("unit", "")]})
    if "code" in vector:
        assert (parsed.body, parsed.faults["asked"].code) == ({}, vector["code"])
    else:
        assert (parsed.body, parsed.faults) == ({"asked": vector["body"]}, {})


def test_every_kernel_has_a_twin_or_a_reason() -> None:
    functions = set(re.findall(r"^export function (\w+)\(", TWIN, re.MULTILINE))
    wanted = {camel(name) for name in kernels().keys() - NOT_ON_THE_PHONE.keys()}
    assert wanted - functions == set(), "kernels of the bench without a twin"
    assert functions - wanted == set(), "functions of the phone that no kernel stands behind"
    assert all(reason and name in kernels() for name, reason in NOT_ON_THE_PHONE.items())


def test_every_kernel_has_a_printed_figure() -> None:
    assert kernels().keys() - {vector["kernel"] for vector in LIST["figure"]} == set()


def test_every_limit_of_the_bench_stands_in_the_twin() -> None:
    assert set(re.findall(r"^export const (\w+)", TWIN, re.MULTILINE)) == set(constants())


def test_every_published_case_of_a_bench_kernel_is_in_the_list() -> None:
    cases = {case.id: case for case in shipped_cases()}
    named = {vector["case"]: vector for vector in LIST["figure"] if "case" in vector}
    assert {name for name in cases if name.startswith(("phase-", "moist-"))} | {"block-06"} == set(named)
    for name, vector in named.items():
        assert vector["source"] == cases[name].source or not cases[name].source
        assert vector["known"] == cases[name].known


def test_every_figure_says_where_it_is_from() -> None:
    for vector in LIST["figure"]:
        assert vector["source"] and vector["known"] in ("seen", "memory", "mixed", "common practice", "hand"), vector["id"]
        assert ("within" in vector) == ("why" in vector), vector["id"]
        assert vector["known"] != "hand" or "working" in vector or vector["kernel"] == "check_mark", vector["id"]
    assert len({vector["id"] for vector in LIST["figure"]}) == len(LIST["figure"])
    keys = {key for vector in LIST["figure"] for key in vector["source"].split(", ") if re.fullmatch(r"[a-z]+(-[a-z]+)+", key)}
    assert keys and keys <= REFERENCES
