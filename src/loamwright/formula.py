"""A formula as data: what a person would write by hand, with its numbers put in, and evaluated again from that line."""

import ast
import math
import operator
import statistics
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from loamwright.errors import InputError

Value = float | Sequence[float]

FUNCTIONS: Mapping[str, Callable[..., float]] = {
    "sqrt": math.sqrt,
    "exp": math.exp,
    "log": math.log,
    "log10": math.log10,
    "min": min,
    "max": max,
    "sum": math.fsum,
    "mean": statistics.fmean,
    "stdev": statistics.stdev,
    "dot": lambda left, right: math.fsum(a * b for a, b in zip(left, right, strict=True)),
    "len": len,
    "floor": math.floor,
    "ceil": math.ceil,
}
CONSTANTS: Mapping[str, float] = {"pi": math.pi}
_OPERATORS: Mapping[type, Callable[[float, float], float]] = {
    ast.Add: operator.add,
    ast.Sub: operator.sub,
    ast.Mult: operator.mul,
    ast.Div: operator.truediv,
    ast.Pow: operator.pow,
}


@dataclass(frozen=True, slots=True)
class Term:
    """One symbol of a formula: its name in the glossary and its unit ("1" for a plain number or a share)."""

    name: str
    unit: str


@dataclass(frozen=True, slots=True)
class Formula:
    """One expression in Python's grammar with its symbols, unit and source.

    Attributes
    ----------
    name : str
        Glossary name of the result, such as "water_content".
    symbol : str
        Symbol of the result, such as "w".
    unit : str
        Unit of the result: kg, mm, MPa, kg/m3, degC, d, min, "1".
    expression : str
        Right-hand side, such as "(m_wet - m_dry) / m_dry".
    terms : mapping of symbol to Term
        Every symbol of the expression.
    source : str
        Key in docs/references.md, without brackets.
    clause : str
        Clause, table or page in that source, where there is one.

    Examples
    --------
    >>> w = Formula("water_content", "w", "1", "(m_wet - m_dry) / m_dry",
    ...             {"m_wet": Term("wet_mass", "kg"), "m_dry": Term("dry_mass", "kg")}, "derivation-phases")
    >>> w.put_in({"m_wet": 0.312, "m_dry": 0.3})
    '(0.312 - 0.3) / 0.3'
    >>> round(evaluate(w.put_in({"m_wet": 0.312, "m_dry": 0.3})), 6)
    0.04
    """

    name: str
    symbol: str
    unit: str
    expression: str
    terms: Mapping[str, Term]
    source: str
    clause: str = ""

    def put_in(self, values: Mapping[str, Value]) -> str:
        """The expression with its numbers put in, to six digits; evaluating this line gives the printed result."""
        missing = sorted(set(self.terms) - set(values))
        if missing:
            raise InputError("formula_term_missing", formula=self.name, missing=", ".join(missing))
        tree = ast.parse(self.expression, mode="eval")
        return ast.unparse(_PutIn({symbol: values[symbol] for symbol in self.terms}).visit(tree))


class _PutIn(ast.NodeTransformer):
    def __init__(self, values: Mapping[str, Value]) -> None:
        self.values = values

    def visit_Name(self, node: ast.Name) -> ast.AST:
        if node.id not in self.values:
            return node
        return ast.parse(written(self.values[node.id]), mode="eval").body


def written(value: Value) -> str:
    """A number (or list of numbers) as the working prints it: six significant digits, no exponent for usual sizes.

    >>> written(1.4400004), written([2.0, 2.25]), written(27856)
    ('1.44', '[2, 2.25]', '27856')
    """
    if isinstance(value, Sequence):
        return "[" + ", ".join(written(item) for item in value) + "]"
    text = f"{float(value):.6g}"
    return f"{float(value):.0f}" if "e" in text and abs(float(value)) >= 1 else text


def evaluate(line: str) -> float:
    """The value of a printed line: numbers, + - * / **, and the few functions of `FUNCTIONS`; nothing else is allowed.

    >>> evaluate("mean([2.0, 3.0]) / sqrt(4)")
    1.25
    """
    return float(_value(ast.parse(line, mode="eval").body))


def _value(node: ast.AST) -> Any:
    match node:
        case ast.Constant(value=int() | float() as number):
            return number
        case ast.BinOp(left=left, op=op, right=right) if type(op) in _OPERATORS:
            return _OPERATORS[type(op)](_value(left), _value(right))
        case ast.UnaryOp(op=ast.USub(), operand=operand):
            return -_value(operand)
        case ast.List(elts=items):
            return [_value(item) for item in items]
        case ast.Name(id=name) if name in CONSTANTS:
            return CONSTANTS[name]
        case ast.Call(func=ast.Name(id=name), args=arguments, keywords=[]) if name in FUNCTIONS:
            return FUNCTIONS[name](*[_value(argument) for argument in arguments])
    raise InputError("formula_not_allowed", part=ast.unparse(node))
