"""Analysis of variance, regression, blending models, sample sizes, quantiles."""

from typing import Any

from loamwright.verify.names import Given, Named
from loamwright.verify.operation import Operation, Results, each, outputs


def _one_way(x: Given) -> Results:
    from loamwright.engine.evidence import variance

    found = variance.one_way(x["groups"])
    return {
        "df_between": float(found.df_between),
        "df_within": float(found.df_within),
        "SS_between": found.ss_between,
        "SS_within": found.ss_within,
        "MS_between": found.ms_between,
        "MS_within": found.ms_within,
        "F": found.f,
        "R2": found.r2,
        "residual_sd": found.residual_sd,
    }


def _line(x: Given) -> Results:
    from loamwright.engine.evidence import regression

    fit = regression.least_squares(regression.powers(x["x"], degree=1), x["y"])
    (b0, b1), (se_b0, se_b1) = fit.coefficients.tolist(), fit.errors.tolist()
    spread = {"residual_sd": fit.residual_sd, "R2": fit.r2, "F": fit.f, "SS_residual": fit.ss_residual}
    return {"b0": b0, "b1": b1, "se_b0": se_b0, "se_b1": se_b1, **spread}


def _line_through_zero(x: Given) -> Results:
    from loamwright.engine.evidence import regression

    fit = regression.least_squares([[value] for value in x["x"]], x["y"])
    (b1,), (se_b1,) = fit.coefficients.tolist(), fit.errors.tolist()
    return {"b1": b1, "se_b1": se_b1, "residual_sd": fit.residual_sd, "R2_uncentred": fit.r2_uncentred}


def _polynomial(x: Given) -> Results:
    from loamwright.engine.evidence import regression

    fit = regression.least_squares(regression.powers(x["x"], degree=int(x["degree"])), x["y"])
    return {"b": tuple(fit.coefficients.tolist()), "residual_sd": fit.residual_sd, "R2": fit.r2}


def _several(x: Given) -> Results:
    from loamwright.engine.evidence import regression

    results = [row[0] for row in x["rows"]]
    fit = regression.least_squares(regression.with_constant([row[1:] for row in x["rows"]]), results)
    found = {"b": tuple(fit.coefficients.tolist()), "se": tuple(fit.errors.tolist())}
    return {**found, "SS_residual": fit.ss_residual, "R2": fit.r2, "residual_sd": fit.residual_sd}


def _blending(x: Given) -> Results:
    from loamwright.engine.evidence import blending_model, regression

    degree = x["model"]
    columns = blending_model.blending_terms(x["x"], degree=degree)
    fit = regression.least_squares(columns, x["y"])
    names = blending_model.blending_names(x["names"], degree=degree)
    pure = regression.pure_error_sd(x["x"], x["y"]) if "repeated" in x else 0.0
    coefficients = tuple(fit.coefficients.tolist())
    return {
        "terms": names,
        "b": coefficients,
        "published_b": coefficients,
        "se": tuple(fit.errors.tolist()),
        "residual_sd": fit.residual_sd,
        "R2": fit.r2,
        "pure_error_sd": pure,
    }


def _pseudo(x: Given) -> Results:
    from loamwright.engine.evidence import blending_model, regression

    parts = blending_model.pseudo_components(x["share"], least=x["least"])
    pairs = [(row, value) for row, values in zip(parts, x["replicates"], strict=True) for value in values]
    rows, results = [row for row, _ in pairs], [value for _, value in pairs]
    found: dict[str, Any] = {}
    for degree in ("linear", "quadratic"):
        fit = regression.least_squares(blending_model.blending_terms(rows, degree=degree), results)
        found[f"b_{degree}_pseudo"] = tuple(fit.coefficients.tolist())
        found[f"residual_sd_{degree}"] = fit.residual_sd
    return {**found, "terms": blending_model.blending_names(x["names"], degree="quadratic")}


def _results_needed(x: Given) -> Results:
    from loamwright.engine.evidence import sample_size

    found = sample_size.results_needed(x["delta_over_sigma"], alpha=x["alpha"], power=x["power"], sides=int(x["sides"]))
    return {"n_normal_raw": found.by_normal, "n_t_iterated_raw": found.first_round, "n_t": float(found.results)}


def _quantiles(x: Given) -> Results:
    from loamwright.engine.evidence import characteristic

    def student(n: float) -> float:
        return characteristic.t_quantile(int(n), probability=x["t_p"])

    return {"z": each(characteristic.normal_quantile, x["z_p"]), "t": each(student, x["t_n"])}


_Y = Named("y", many=True, about="results")
_X = Named("x", many=True, about="what was varied")
_FIT = (Named("residual_sd", about="standard deviation about the fit"), Named("R2", about="share explained"))
_SHARES = Named("x", rows=True, about="shares of the sources, one row a blend")
_NAMES = Named("names", shape="text", many=True, about="names of the sources")
_TERMS = Named("terms", shape="text", many=True, about="names of the coefficients")

OPERATIONS = (
    Operation(
        "analysis_of_variance",
        "anova",
        "Analysis of variance of groups of results",
        (Named("groups", rows=True, about="results of each group"),),
        outputs(
            Named("df_between", about="degrees of freedom between groups"),
            Named("df_within", about="degrees of freedom within groups"),
            Named("SS_between", about="sum of squares between groups"),
            Named("SS_within", about="sum of squares within groups"),
            Named("MS_between", about="mean square between groups"),
            Named("MS_within", about="mean square within groups"),
            Named("F", about="ratio of the mean squares"),
            Named("R2", about="share of the sum of squares between groups"),
            Named("residual_sd", about="standard deviation within groups"),
        ),
        _one_way,
    ),
    Operation(
        "straight_line",
        "regression",
        "Straight line by least squares",
        (_X, _Y),
        outputs(
            Named("b0", about="intercept"),
            Named("b1", about="slope"),
            Named("se_b0", about="standard error of the intercept"),
            Named("se_b1", about="standard error of the slope"),
            Named("F", about="explained over residual mean square"),
            Named("SS_residual", about="sum of squares about the line"),
            *_FIT,
        ),
        _line,
    ),
    Operation(
        "line_through_zero",
        "regression",
        "Straight line through the origin by least squares",
        (_X, _Y),
        outputs(
            Named("b1", about="slope"),
            Named("se_b1", about="standard error of the slope"),
            Named("residual_sd", about="standard deviation about the line"),
            Named("R2_uncentred", about="share explained, about zero"),
        ),
        _line_through_zero,
    ),
    Operation(
        "polynomial",
        "regression",
        "Polynomial by least squares",
        (_X, _Y, Named("degree", about="its degree")),
        outputs(Named("b", many=True, about="coefficients from the constant up"), *_FIT),
        _polynomial,
    ),
    Operation(
        "regression_of_several",
        "regression",
        "Least squares with a constant and several columns",
        (
            Named("rows", rows=True, about="the result, then the columns, one row an observation"),
            Named("columns", shape="text", many=True, about="names, not computed with", optional=True),
        ),
        outputs(
            Named("b", many=True, about="coefficients, the constant first"),
            Named("se", many=True, about="standard errors"),
            Named("SS_residual", about="sum of squares about the fit"),
            *_FIT,
        ),
        _several,
    ),
    Operation(
        "blending_model",
        "mixture",
        "Scheffé's blending model by least squares",
        (
            _SHARES,
            _Y,
            Named("model", shape="text", about="linear, quadratic or special cubic"),
            _NAMES,
            Named("repeated", shape="text", about="yes where blends repeat and pure error is wanted", optional=True),
        ),
        outputs(
            _TERMS,
            Named("b", many=True, about="coefficients"),
            Named("published_b", many=True, about="the same, as a source prints them"),
            Named("se", many=True, about="standard errors"),
            Named("pure_error_sd", about="standard deviation between repeated blends"),
            *_FIT,
        ),
        _blending,
    ),
    Operation(
        "blending_model_above_least_shares",
        "mixture",
        "Blending models in shares above their least, from repeated results",
        (
            Named("share", "share", "pct", rows=True, about="shares of the sources, one row a blend"),
            Named("least", "share", "pct", many=True, about="least share of each source"),
            Named("replicates", rows=True, about="results of each blend"),
            _NAMES,
        ),
        outputs(
            _TERMS,
            Named("b_linear_pseudo", many=True, about="coefficients of the linear model"),
            Named("b_quadratic_pseudo", many=True, about="coefficients of the quadratic model"),
            Named("residual_sd_linear", about="standard deviation about the linear model"),
            Named("residual_sd_quadratic", about="standard deviation about the quadratic model"),
        ),
        _pseudo,
    ),
    Operation(
        "results_needed",
        "sample-size",
        "Results needed to see a difference",
        (
            Named("alpha", about="chance of seeing one that is not there"),
            Named("power", about="chance of seeing one that is there"),
            Named("delta_over_sigma", about="difference over standard deviation"),
            Named("sides", about="1 or 2"),
        ),
        outputs(
            Named("n_normal_raw", about="scatter known, before rounding up"),
            Named("n_t_iterated_raw", about="scatter estimated, first round, before rounding up"),
            Named("n_t", about="where the rounds settle"),
        ),
        _results_needed,
    ),
    Operation(
        "quantiles",
        "distribution",
        "Quantiles of the normal and of Student's t",
        (
            Named("z_p", many=True, about="probabilities of the normal"),
            Named("t_n", many=True, about="results, one more than the degrees of freedom"),
            Named("t_p", about="probability of Student's t"),
        ),
        outputs(Named("z", many=True, about="normal quantiles"), Named("t", many=True, about="Student quantiles")),
        _quantiles,
    ),
)
