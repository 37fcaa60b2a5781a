"""Sieves: shares passing, sizes read off the curve, coefficients."""

from typing import TYPE_CHECKING

from loamwright.verify.names import Given, Named
from loamwright.verify.operation import Operation, Results, outputs

if TYPE_CHECKING:
    from loamwright.engine.soil.sieving import Sieving


def _sieve_analysis(x: Given) -> Results:
    from loamwright.engine.soil import grading_curve, sieving

    found = sieving.sieve_analysis(x["mass_retained"], sieve_sizes=x["sieve"], pan_mass=x["pan"])
    d10, d30, d60 = (
        float(grading_curve.size_at_passing(share, sizes=found.sizes, passing=found.passing)) for share in (0.10, 0.30, 0.60)
    )
    return {
        **_shares(found),
        **{
            f"{name}_mm_{how}": size
            for name, size in (("D10", d10), ("D30", d30), ("D60", d60))
            for how in ("loglinear", "graph")
        },
        "Cu_loglinear": float(grading_curve.uniformity_coefficient(d60, d10=d10)),
        "Cc_loglinear": float(grading_curve.curvature_coefficient(d30, d10=d10, d60=d60)),
    }


def _sieve_analysis_added(x: Given) -> Results:
    from loamwright.engine.soil import sieving

    retained = sieving.retained_on_each(x["cumulative_retained"])
    return _shares(sieving.sieve_analysis(retained, sieve_sizes=x["sieve"], start_mass=x["total"]))


def _shares(found: "Sieving") -> Results:
    passing = tuple(found.passing.tolist())
    return {
        "total_mass": found.total_mass,
        "percent_finer": passing,
        "percent_finer_published": passing,
        "percent_passing": passing,
    }


_SIEVE = Named("sieve", "length", many=True, about="openings, coarsest first")
_PASSING = tuple(
    Named(name, "share", "pct", many=True, about="share passing each sieve")
    for name in ("percent_finer", "percent_finer_published", "percent_passing")
)

OPERATIONS = (
    Operation(
        "sieve_analysis",
        "sieve",
        "Shares passing a stack of sieves, sizes read off the curve between logarithms of size, and the two coefficients",
        (
            _SIEVE,
            Named("mass_retained", "mass", many=True, about="on each sieve alone"),
            Named("pan", "mass", about="in the pan"),
        ),
        outputs(
            Named("total_mass", "mass", about="sum of sieves and pan"),
            *_PASSING,
            *(
                Named(f"{name}_mm_{how}", "length", "mm", about=f"size than which {name[1:]} % is finer")
                for name in ("D10", "D30", "D60")
                for how in ("loglinear", "graph")
            ),
            Named("Cu_loglinear", about="D60 over D10"),
            Named("Cc_loglinear", about="D30 squared over D10 and D60"),
        ),
        _sieve_analysis,
    ),
    Operation(
        "sieve_analysis_added",
        "sieve",
        "Shares passing a stack of sieves from masses added up down the stack",
        (
            _SIEVE,
            Named("cumulative_retained", "mass", many=True, about="on each sieve and all coarser ones"),
            Named("total", "mass", about="dry mass put to the sieves"),
        ),
        outputs(*_PASSING),
        _sieve_analysis_added,
    ),
)
