"""What an operation is: named inputs, named outputs and the adapter between them."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from itertools import repeat
from typing import Any, Literal

from loamwright.errors import InputError
from loamwright.verify.names import Given, Named

Results = Mapping[str, Any]
Check = Literal["value", "band"]


@dataclass(frozen=True, slots=True)
class Output:
    """One result: its name and unit, and whether the published figure is a value or a band the value should lie in.

    `family` marks a name that is completed by an input as written, such as "time_<diameter>".
    """

    named: Named
    check: Check = "value"
    family: str = ""


@dataclass(frozen=True, slots=True)
class Operation:
    """One thing the engine can be asked to do with a case.

    Attributes
    ----------
    key, topic, about : str
        Its name in a case file, the topic it belongs to, and what it does in words.
    inputs : tuple of Named
    outputs : tuple of Output
    run : callable
        Inputs in engine units to results in engine units.
    """

    key: str
    topic: str
    about: str
    inputs: tuple[Named, ...]
    outputs: tuple[Output, ...]
    run: Callable[[Given], Results]


def each(kernel: Callable[..., Any], *columns: Any) -> Any:
    """A kernel of single numbers over lists of equal length; single numbers stay single and go with every row."""
    lengths = {len(column) for column in columns if isinstance(column, tuple)}
    if not lengths:
        return kernel(*columns)
    if len(lengths) > 1:
        raise InputError("case_lengths_differ", lengths=", ".join(map(str, sorted(lengths))))
    (length,) = lengths
    rows = zip(*(column if isinstance(column, tuple) else repeat(column, length) for column in columns), strict=True)
    return tuple(kernel(*row) for row in rows)


def outputs(*named: Named) -> tuple[Output, ...]:
    """Results that are plain values."""
    return tuple(Output(one) for one in named)
