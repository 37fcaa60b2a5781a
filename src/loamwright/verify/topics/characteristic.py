"""Characteristic values and their factors."""

from loamwright.verify.names import Given, Named
from loamwright.verify.operation import Operation, Results, each, outputs
from loamwright.verify.topics.block_tests import RESULTS, SPREAD, spread_of


def _fractile_factors(x: Given) -> Results:
    from loamwright.engine.evidence import characteristic

    unknown = each(lambda n: characteristic.kn_scatter_unknown(int(n)), x["n"])
    known = each(lambda n: characteristic.kn_scatter_known(int(n)), x["n"])
    return {"kn_V_unknown": unknown, "kn_V_known": known, "formula_unknown": unknown}


def _tolerance_factor_of_fractile(x: Given) -> Results:
    from loamwright.engine.evidence import characteristic

    def one(n: float, content: float, confidence: float) -> float:
        return characteristic.tolerance_factor(int(n), content=content, confidence=confidence)

    return {"ks": each(one, x["n"], x["p"], x["confidence"])}


def _tolerance_factors(x: Given) -> Results:
    from loamwright.engine.evidence import characteristic

    n, content, confidence = int(x["n"]), x["p"], x["confidence"]
    return {
        "k_exact": characteristic.tolerance_factor(n, content=content, confidence=confidence),
        "k_approximate": characteristic.tolerance_factor_approximate(n, content=content, confidence=confidence),
    }


def _small_sample(x: Given) -> Results:
    from loamwright.engine.evidence import characteristic

    return {**spread_of(x), "characteristic": characteristic.small_sample_value(x["strength"])}


OPERATIONS = (
    Operation(
        "fractile_factor_en1990",
        "characteristic",
        "Factor k_n of the 5 % characteristic value by EN 1990 annex D",
        (Named("n", many=True, about="number of results"),),
        outputs(
            Named("kn_V_unknown", many=True, about="scatter known from these results alone"),
            Named("kn_V_known", many=True, about="coefficient of variation known beforehand"),
            Named("formula_unknown", many=True, about="t(0.95, n - 1) sqrt(1 + 1/n)"),
        ),
        _fractile_factors,
    ),
    Operation(
        "tolerance_factor_of_fractile",
        "characteristic",
        "One-sided tolerance factor of a low fractile",
        (
            Named("n", many=True, about="number of results"),
            Named("p", "share", "below", about="share of results below the value"),
            Named("confidence", "share", "fraction", about="confidence"),
        ),
        outputs(Named("ks", many=True, about="factor of the standard deviation")),
        _tolerance_factor_of_fractile,
    ),
    Operation(
        "tolerance_factor_of_content",
        "characteristic",
        "One-sided tolerance factor of a content, exact and by the handbook's approximation",
        (
            Named("n", about="number of results"),
            Named("p", "share", "fraction", about="content: share of results on the safe side"),
            Named("confidence", "share", "fraction", about="confidence"),
        ),
        outputs(Named("k_exact", about="noncentral t"), Named("k_approximate", about="handbook approximation")),
        _tolerance_factors,
    ),
    Operation(
        "small_sample_value",
        "characteristic",
        "Characteristic value of a small sample: its lowest result, lowered by its scatter",
        (RESULTS,),
        outputs(*SPREAD, Named("characteristic", "pressure", "MPa", about="characteristic value")),
        _small_sample,
    ),
)
