"""What is said of block tests. Soaking, boiling, capillary rise, absorption."""

from collections.abc import Mapping

SAID: Mapping[str, str] = {
    # what cannot be computed with
    "lighter_after_soak": "Wet it weighs {wet_mass} kg, and {dry_mass} kg dry: wet cannot be the lighter. Are the two swapped, or did "
    "it lose earth in the water?",
    "boiled_below_cold": "After boiling it weighs {boiled_mass} kg, and {wet_mass} kg after the cold soak: boiling only drives more water "
    "in. Look at both, or whether it lost earth.",
    "lighter_after_rise": "It weighed {mass_before} kg before it stood in water and {mass_after} kg after: it cannot be the lighter. Are "
    "the two swapped?",
    "negative_time": "A time in the water is {value} min. Count from the moment it stood in it.",
    # notes
    "boiling_made_for_brick": "Boiling is a test of fired brick; cement stands it, earth without stabiliser does not.",
    "soak_other_than_day": "The absorption is told at {hours} h in the water; limits mostly go by {wanted} h.",
    "crumbled_in_water": "It lost earth in the water, so the absorption reads too low.",
    "plate_days_not_said": "How long it stood on the plate is not said; the codes ask for {wanted} days.",
    "plate_days_other": "It stood on the plate for {days} days, and the codes ask for {wanted}.",
    "capillary_time_other": "Read after {minutes} min; the rule reads it at {wanted} min.",
    # what it says
    "plate_within": "It gained {gain_pct} %, within the {most_pct} % in {days} days that New Mexico and the model codes ask of stabilised "
    "adobe. Of pressed blocks they ask a strength after soaking instead.",
    "plate_above": "It gained {gain_pct} %, above the {most_pct} % in {days} days that New Mexico and the model codes ask of stabilised "
    "adobe. Of pressed blocks they ask a strength after soaking instead.",
    "capillary_says": "At {coefficient} g/(100 cm² √min) it is {says} by XP P13-901:2001 ({standing}).",
    # what does not fit
    "absorption_strange": "It would have taken up {absorption_pct} % of its dry mass in water; more than {most_pct} % no pores of a block hold.",
    "why_absorption_strange": "It is computed with as it stands. Look at both masses and their units.",
    "lighter_in_water": "A later weighing in the water is lighter than an earlier one.",
    "why_lighter_in_water": "It lost earth, or a mass slipped. Say that it lost earth, or correct the mass.",
}
