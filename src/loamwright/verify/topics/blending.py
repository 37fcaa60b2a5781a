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


OPERATIONS = (
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
