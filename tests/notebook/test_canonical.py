"""Canonical JSON against the examples of RFC 8785, SHA-256 against FIPS 180-4 (both documents, figures from memory)."""

import json
import struct

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loamwright.errors import InputError
from loamwright.notebook.canonical import canonical, digest, parsed

# RFC 8785, section 3.2.2: the sample object, and the bytes it must become (3.2.4).
SAMPLE = r"""{"numbers": [333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001],
 "string": "\u20ac$\u000F\u000aA'\u0042\u0022\u005c\\\"\/", "literals": [null, true, false]}"""
SAMPLE_OUT = (
    '{"literals":[null,true,false],"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],'
    '"string":"€$\\u000f\\nA\'B\\"\\\\\\\\\\"/"}'
)

# RFC 8785, appendix B: bits of a double and its text.
NUMBERS = {
    "0000000000000000": "0",
    "8000000000000000": "0",
    "0000000000000001": "5e-324",
    "7fefffffffffffff": "1.7976931348623157e+308",
    "4340000000000000": "9007199254740992",
    "4430000000000000": "295147905179352830000",
    "44b52d02c7e14af5": "9.999999999999997e+22",
    "44b52d02c7e14af6": "1e+23",
    "444b1ae4d6e2ef4e": "999999999999999700000",
    "444b1ae4d6e2ef50": "1e+21",
    "3eb0c6f7a0b5ed8c": "9.999999999999997e-7",
    "3eb0c6f7a0b5ed8d": "0.000001",
}

JSON = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-(2**53) + 1, 2**53 - 1)
    | st.floats(allow_nan=False, allow_infinity=False)
    | st.text(),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=6), inner, max_size=4),
    max_leaves=12,
)


def test_sample_of_the_rfc() -> None:
    assert canonical(json.loads(SAMPLE)) == SAMPLE_OUT


@pytest.mark.parametrize(("bits", "text"), NUMBERS.items())
def test_numbers_of_the_rfc(bits: str, text: str) -> None:
    assert canonical(struct.unpack(">d", bytes.fromhex(bits))[0]) == text


def test_keys_are_sorted_by_utf16_units() -> None:
    # RFC 8785, section 3.2.3: the emoji (a surrogate pair, d83d) comes before U+FB33 although its code point is greater.
    keys = ["\u20ac", "\r", "\ufb33", "1", "\U0001f600", "\u0080", "\u00f6"]
    wanted = ["\r", "1", "\u0080", "\u00f6", "\u20ac", "\U0001f600", "\ufb33"]
    assert list(json.loads(canonical(dict.fromkeys(keys, 0)))) == wanted


@given(JSON)
def test_canonical_text_says_the_same_and_is_stable(value: object) -> None:
    text = canonical(value)
    assert parsed(text) == value
    assert canonical(parsed(text)) == text


@pytest.mark.parametrize("number", [2.0**53, -(2.0**53), 1e20, 123456789012345683968.0, 1e300])
def test_great_whole_numbers_come_back(number: float) -> None:
    # RFC 8785 writes a double of up to 21 digits as a whole number; read back it must stay that double.
    assert parsed(canonical({"number": number})) == {"number": number}


@pytest.mark.parametrize("text", ["9007199254740993", "1" * 400, "9" * 5000])
def test_whole_numbers_no_double_holds_are_refused(text: str) -> None:
    with pytest.raises(ValueError, match="double"):
        parsed(text)


@pytest.mark.parametrize(
    "value",
    [float("nan"), float("inf"), 2**53, {"a": {1, 2}}, {1: "a"}, b"bytes", "\ud800"],
    ids=["nan", "infinity", "beyond_2_53", "set", "number_as_key", "bytes", "half_a_pair"],
)
def test_what_json_does_not_have_is_refused(value: object) -> None:
    with pytest.raises(InputError) as caught:
        canonical(value)
    assert caught.value.code == "not_json"


def test_endless_nesting_is_refused_not_a_crash() -> None:
    nest: list[object] = []
    for _ in range(100_000):
        nest = [nest]
    with pytest.raises(InputError) as caught:
        canonical(nest)
    assert caught.value.code == "not_json"
    while nest:  # taken apart by hand, or freeing it would recurse as deep
        nest = nest.pop()  # type: ignore[assignment]


def test_digest_of_abc() -> None:
    # FIPS 180-4, the one-block example.
    wanted = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    assert digest("abc") == digest(b"abc") == wanted
