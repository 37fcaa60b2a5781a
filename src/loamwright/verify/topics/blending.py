"""Gradings of blended materials."""

from loamwright.errors import InputError
from loamwright.verify.names import Given, Named
from loamwright.verify.operation import Operation, Output, Results, outputs


def _three_materials(x: Given) -> Results:
    from loamwright.engine.blend import grading

    names = ("coarse", "intermediate", "fine")
    shares = dict(zip(names, x["relative"], strict=True)) if len(x["relative"]) == len(names) else {}
    passing = grading.combined_passing({name: x[name] for name in names}, shares=shares)
    return {
        "combined_passing": tuple(map(float, passing)),
        "combined_retained": tuple(map(float, grading.individual_retained(passing))),
    }


def _one_sieve(x: Given) -> Results:
    from loamwright.engine.blend import grading

    if len(set(x["names"])) != len(x["names"]):
        raise InputError("case_value_not_read", name="names", found=", ".join(x["names"]))
    shares = dict(zip(x["names"], x["used"], strict=True))
    passing = {name: (value,) for name, value in zip(x["names"], x["passing_no200"], strict=True)}
    contributed = grading.contributed_passing(passing, shares=shares)
    (blend,) = (float(value) for value in grading.combined_passing(passing, shares=shares))
    return {
        "contributions": tuple(float(contributed[name][0]) for name in x["names"]),
        "blend_no200": blend,
        "desired": blend,
    }


def _band(x: Given) -> Results:
    from loamwright.engine.blend import grading

    passing = {name: x[name] for name in ("A_passing", "B_passing", "C_passing")}
    shares = dict(zip(passing, x["proportions"], strict=True))
    found = grading.shares_within(passing, least=x["spec_low"], most=x["spec_high"])
    return {
        "blend_passing": tuple(map(float, grading.combined_passing(passing, shares=shares))),
        "feasible": "no" if found is None else "yes",
    }


def _two_indices(x: Given) -> Results:
    from loamwright.engine.blend import parts, properties

    names = tuple(f"soil {place}" for place, _ in enumerate(x["share"]))
    shares, passing, index = (dict(zip(names, x[name], strict=True)) for name in ("share", "passing_no40", "PI"))
    return {
        "blend_PI": properties.blend_plasticity_index(shares, passing_no40=passing, plasticity_index=index),
        "naive_mean_PI": parts.blend_property(dict.fromkeys(names, 1), pail_dry_mass=shares, source_property=index),
    }


OPERATIONS = (
    Operation(
        "blend_of_three_in_a_band",
        "blending",
        "Grading of three materials in stated shares, and whether any shares keep inside a band",
        (
            *(Named(f"{name}_passing", "share", "pct", many=True, about="passing, sieve by sieve") for name in "ABC"),
            Named("spec_low", "share", "pct", many=True, about="lower edge of the band"),
            Named("spec_high", "share", "pct", many=True, about="upper edge of the band"),
            Named("proportions", "share", "fraction", many=True, about="shares of A, B and C"),
            Named("sieve_mm", many=True, about="sizes, not computed with", optional=True),
        ),
        outputs(
            Named("blend_passing", "share", "pct", many=True, about="passing of the blend"),
            Named("feasible", shape="text", about="yes or no"),
        ),
        _band,
    ),
    Operation(
        "plasticity_index_of_blend",
        "blending",
        "Plasticity index of a blend, each soil weighed by its fines, and the plain mean by mass beside it",
        (
            Named("share", "share", "fraction", many=True, about="mass share of each soil"),
            Named("passing_no40", "share", many=True, about="passing 0.425 mm"),
            Named("PI", "share", "pct", many=True, about="plasticity index"),
        ),
        outputs(
            Named("blend_PI", "share", "pct", about="plasticity index of the blend"),
            Named("naive_mean_PI", "share", "pct", about="plain mean by mass"),
        ),
        _two_indices,
    ),
    Operation(
        "combine_three_materials",
        "blending",
        "Grading of three materials combined by their shares",
        (
            Named("coarse", "share", "pct", many=True, about="passing, sieve by sieve"),
            Named("intermediate", "share", "pct", many=True, about="passing, sieve by sieve"),
            Named("fine", "share", "pct", many=True, about="passing, sieve by sieve"),
            Named("relative", "share", "fraction", many=True, about="shares of coarse, intermediate and fine"),
            Named("sieve_in", shape="text", many=True, about="names of the sieves, not computed with", optional=True),
        ),
        outputs(
            Named("combined_passing", "share", "pct", many=True, about="passing of the blend"),
            Named("combined_retained", "share", "pct", many=True, about="retained on each sieve"),
        ),
        _three_materials,
    ),
    Operation(
        "combine_on_one_sieve",
        "blending",
        "What each material adds to the passing of a blend on one sieve",
        (
            Named("names", shape="text", many=True, about="names of the materials"),
            Named("passing_no200", "share", "pct", many=True, about="passing of each"),
            Named("used", "share", many=True, about="share of each in the blend"),
        ),
        (
            *outputs(
                Named("contributions", "share", "pct", many=True, about="what each adds"),
                Named("blend_no200", "share", "pct", about="passing of the blend"),
            ),
            Output(Named("desired", "share", "pct", many=True, about="least and most the blend should pass"), "band"),
        ),
        _one_sieve,
    ),
)
