"""Blocks broken, and the scatter of their results."""

from collections.abc import Callable

from loamwright.verify.names import Given, Named
from loamwright.verify.operation import Operation, Results, each, outputs


def spread_of(x: Given) -> Results:
    """Mean, standard deviation, coefficient of variation, least and most of single results."""
    from loamwright.engine.evidence import spread

    found = spread.spread(x["strength"])
    return {
        "mean": found.mean,
        "sd": found.standard_deviation,
        "cov": found.coefficient_of_variation,
        "least": found.least,
        "most": found.most,
    }


def _shape_factor(table: str) -> Callable[[Given], Results]:
    def run(x: Given) -> Results:
        from loamwright.engine.block import shape

        return {"factor": each(lambda ratio: shape.shape_factor(ratio, table=table).factor, x["height_to_thickness"])}

    return run


def _bending(x: Given) -> Results:
    from loamwright.engine.bench import bending

    return {"bending": bending.bending_strength(x["F"], span=x["span"], block_width=x["b"], thickness=x["h"])}


def _crushing(x: Given) -> Results:
    from loamwright.engine.bench import strength

    return {"crushing": strength.compressive_strength(x["F"], block_length=x["l"], block_width=x["b"])}


RESULTS = Named("strength", "pressure", many=True, about="results of single blocks")
SPREAD = (
    Named("mean", "pressure", "MPa", about="mean"),
    Named("sd", "pressure", "MPa", about="sample standard deviation, n - 1"),
    Named("cov", "share", about="coefficient of variation"),
    Named("least", "pressure", "MPa", about="lowest result"),
    Named("most", "pressure", "MPa", about="highest result"),
)
_RATIO = Named("height_to_thickness", many=True, about="height in the direction of the load over the least size across it")
_FACTOR = Named("factor", many=True, about="shape factor, interpolated")

OPERATIONS = (
    Operation(
        "spread_of_results",
        "block-tests",
        "Mean, standard deviation and coefficient of variation",
        (RESULTS,),
        outputs(*SPREAD),
        spread_of,
    ),
    Operation(
        "shape_factor_krefeld",
        "block-tests",
        "Factor from strength as crushed to unconfined strength, Krefeld's table",
        (_RATIO,),
        outputs(_FACTOR),
        _shape_factor("krefeld"),
    ),
    Operation(
        "shape_factor_heathcote_jankulovski",
        "block-tests",
        "Factor from strength as crushed to unconfined strength, table of Heathcote and Jankulovski",
        (_RATIO,),
        outputs(_FACTOR),
        _shape_factor("heathcote-jankulovski"),
    ),
    Operation(
        "bending_strength",
        "block-tests",
        "Three-point bending strength, simple beam",
        (
            Named("F", "force", about="load at the middle"),
            Named("span", "length", about="between the bars"),
            Named("b", "length", about="width"),
            Named("h", "length", about="thickness in the direction of the load"),
        ),
        outputs(Named("bending", "pressure", about="bending strength")),
        _bending,
    ),
    Operation(
        "crushing_strength",
        "block-tests",
        "Crushing strength as tested, on gross area",
        (
            Named("F", "force", about="load when it broke"),
            Named("l", "length", about="length under load"),
            Named("b", "length", about="width under load"),
        ),
        outputs(Named("crushing", "pressure", about="strength")),
        _crushing,
    ),
)
