"""Sentences for notes that stand beside a number."""

from collections.abc import Mapping

SAID: Mapping[str, str] = {
    "moisture_not_tested": "No pan test yet: {usual_pct} % is taken as usual for air-dry soil. Dry a pan to know.",
    "not_yet_dry": "The pan still lost {change} g between the last two weighings: dry it on until two weighings are equal.",
    "mass_rose": "The pan was heavier at the second weighing: weigh it again, cold and clean.",
    "pails_not_weighed": "A pail of each source has not been weighed, so a part is taken as the same mass of each.",
    "fewer_than_three_weighings": "Only {count} weighed: three pails give a mean and its spread.",
    "scale_not_named": "No scale is named: a kitchen scale of {step_g} g steps is taken.",
    "scale_too_coarse": "One step of this scale is more than a twentieth of the dose: use a finer scale or a larger batch.",
    "soil_holds_more_than_wanted": "Stop: the soil already holds more water than the mix wants. Dry the soil first; add none.",
    "air_temperature_not_given": "The limit is {hold_limit_minutes} min; in air above 30 °C it is 30 min.",
    "hold_over": "The mix is {minutes_over} min past its limit of {hold_limit_minutes} min: do not wet it again; do not press it as this mix.",
    "jack_not_calibrated": "The jack was not checked against a known load: {jack_factor} is taken, for screening only; it cannot meet a brief.",
    "beam_is_stubby": "Span over thickness is {span_to_thickness}; below {least} simple bending overstates or understates: use it to compare only.",
    "bending_ratio_unusual": "Bending over crushing is outside what blocks show: look at the raw loads.",
    "saturation_above_one": "More water than voids: one of the readings is wrong.",
}
