"""Tests of results that lie far out."""

from collections.abc import Mapping
from typing import Literal

from loamwright.errors import InputError
from loamwright.verify.names import Given, Named
from loamwright.verify.operation import Operation, Results, each, outputs

_SIDES: Mapping[float | str, Literal["both", "most", "least"]] = {
    1.0: "most",
    2.0: "both",
    "max": "most",
    "min": "least",
    "both": "both",
}


def _side(value: float | str) -> Literal["both", "most", "least"]:
    if value not in _SIDES:
        raise InputError("case_value_not_read", name="side", found=str(value))
    return _SIDES[value]


def _grubbs_critical(x: Given) -> Results:
    from loamwright.engine.evidence import outliers

    def one(n: float, alpha: float, sides: float) -> float:
        return outliers.grubbs_critical(int(n), alpha=alpha, side=_side(sides))

    return {"G": each(one, x["n"], x["alpha"], x["sides"])}


def _grubbs(x: Given) -> Results:
    from loamwright.engine.evidence import outliers

    found = outliers.grubbs(x["data"], alpha=x["alpha"], side=_side(x["side"]))
    return {"G": found.statistic, "critical": found.critical, "reject": found.value if found.flagged else "nothing"}


def _generalised_esd(x: Given) -> Results:
    from loamwright.engine.evidence import outliers

    found = outliers.generalised_esd(x["data"], alpha=x["alpha"], most_outliers=int(x["max_outliers"]))
    return {
        "R": found.statistics,
        "lambda_": found.criticals,
        "outliers": float(len(found.flagged)),
        "outlier_values": found.flagged,
    }


OPERATIONS = (
    Operation(
        "grubbs_critical",
        "outlier",
        "Critical value of the largest normed residual",
        (
            Named("n", many=True, about="number of results"),
            Named("alpha", about="chance of flagging good results"),
            Named("sides", about="1 or 2"),
        ),
        outputs(Named("G", many=True, about="critical value")),
        _grubbs_critical,
    ),
    Operation(
        "grubbs_test",
        "outlier",
        "Grubbs' test of the value farthest out",
        (
            Named("data", many=True, about="results in any one unit"),
            Named("alpha", about="chance of flagging good results"),
            Named("side", shape="text", about="max, min or both"),
        ),
        outputs(
            Named("G", about="statistic"),
            Named("critical", about="critical value"),
            Named("reject", about="the flagged value, or the word nothing"),
        ),
        _grubbs,
    ),
    Operation(
        "generalised_esd",
        "outlier",
        "Generalised extreme studentised deviate test",
        (
            Named("data", many=True, about="results in any one unit"),
            Named("alpha", about="chance of flagging good results"),
            Named("max_outliers", about="most outliers looked for"),
        ),
        outputs(
            Named("R", many=True, about="statistics, step by step"),
            Named("lambda_", many=True, about="critical values, step by step"),
            Named("outliers", about="number flagged"),
            Named("outlier_values", many=True, about="flagged values, farthest first"),
        ),
        _generalised_esd,
    ),
)
