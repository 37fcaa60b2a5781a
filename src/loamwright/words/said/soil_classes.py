"""What is said of classes of soils."""

from collections.abc import Mapping

SAID: Mapping[str, str] = {
    "texture_does_not_add_up": "Sand, silt and clay add up to {total}, not to 1: leave out what is coarser than 2 mm, or look at the report.",
    "all_gravel": "Nothing is finer than 2 mm, so there is no texture class.",
    "grading_not_enough": "Two of gravel, sand and fines are needed for a class. Sieve on 4.75 mm and 0.075 mm.",
    "grading_does_not_add_up": "Gravel, sand and fines add up to {total}, not to 1. Look at the report: they may be shares of different wholes.",
    "shape_needed": "Only {fines_pct} % passes 0.075 mm, so the class hangs on the shape of the curve. Sieve it down to 10 % passing.",
    "limits_needed": "The class hangs on the fines. Find their liquid and plastic limit, or feel whether they are silty or clayey.",
    "uscs_above_u_line": "Liquid limit {liquid_limit_pct} % and plasticity index {plasticity_index_pct} % lie above the U-line, where no natural soil is expected. Look at both again.",
    "uscs_d10_does_not_fit": "A tenth is finer than {d10} mm, yet {fines_pct} % passes 0.075 mm: one of the two is wrong.",
    "class_wants": "No class by {system} yet. It wants: {needed}.",
    "gravel_by_mass": "The word for gravel goes by mass here; the manual means its volume.",
    "stones_left_out": "{share_pct} % is coarser than 75 mm and left out, as the standard has it.",
    "uscs_near_line": "The fines lie so near a line of the plasticity chart that the rounding of their limits decides: {symbols}.",
    "sieve_not_given": "No sieve of {sieve} was given, so a coarser group was not looked for.",
    "passing_falls": "Less passes a coarser sieve than a finer one. Look at the sieves: {passing}.",
}
