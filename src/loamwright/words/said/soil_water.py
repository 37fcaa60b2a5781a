"""Sentences for tests of soils: water by oven, loose and tamped density, bulking, density of the grains."""

from collections.abc import Mapping

SAID: Mapping[str, str] = {
    # water by oven
    "lengths_of_tins": "{wet} damp, {dry} dry and {tare} empty tins: each tin needs all three.",
    "tins_apart": "The tins lie {apart_pct} % of their mean apart; two tins of one soil are usually within {most_pct} %.",
    "why_tins_apart": "Their mean is computed with. A tin may have been mixed up, or the soil is damper in places: dry a third.",
    "oven_not_said": "The temperature of the oven is not said: 105 to 115 °C is taken for granted, 60 °C where there is gypsum or humus.",
    "oven_too_hot_for_soil": "Crystals or a musty smell were seen in this soil, and it was dried at {degrees} °C: above {gentle} °C "
    "gypsum gives up water of its own and humus burns, so the water content reads too high. Dry another at {gentle} °C.",
    "oven_gentle": "Dried at {degrees} °C, as for gypsum or humus. A clay without either still holds some water there: it would read a "
    "little more at 110 °C.",
    "oven_cool": "Dried at {degrees} °C; from {least} °C on an oven takes all free water.",
    "oven_hot": "Dried at {degrees} °C; above {most} °C clay begins to give up water that belongs to it.",
    "tin_small": "A tin held {mass} kg of damp soil; for grains up to {largest} mm the method wants {least} kg to report to 1 %, and "
    "{fine} kg to report to 0.1 %.",
    "tin_not_dry": "A tin still lost {rate_pct} % of its dry soil in an hour, and {most_pct} % is called dry: put it back and weigh again.",
    "tin_rose": "A tin became heavier by {rate_pct} % in an hour: weigh it again, cooled and covered.",
    "between_not_said": "How long the tins stood in the oven between the two weighings is not said, so it is not known whether they "
    "were dry.",
    "constant_mass_not_shown": "Dried for less than {hours} hours or not said, and weighed once: it is not shown that it was dry.",
    # bulking
    "flooded_above_damp": "The flooded sand stands at {flooded_height} mm, above the damp sand at {damp_height} mm. Are the two swapped?",
    "bulking_strange": "This sand takes {bulking_pct} % more room damp than flooded; up to {most_pct} % is usual.",
    "why_bulking_strange": "It is computed with as it stands. Clay that went into the water, or a height misread, may be behind it.",
    "bulking_says": "A pail of this damp sand holds {short_pct} % less dry sand than a pail of dry sand: take {factor} pails for one, "
    "or weigh it.",
    # loose and tamped
    "loose_above_tamped": "Loose it is {loose_dry_density} kg/m³ and tamped {tamped_dry_density}: tamped cannot be the lighter. Are the "
    "two swapped?",
    # density of the grains
    "temperature_missing_pycnometer": "How warm was the water in the bottle? Its density hangs on it. Measure it and add it.",
    "pycnometer_not_filled": "The full bottle, {filled} kg, is not above the empty one, {empty} kg. Are the two swapped?",
    "soil_displaces_nothing": "Bottle, water and soil weigh {with_soil} kg, no less than the full bottle {filled} kg and {soil} kg of soil "
    "together: soil takes the place of water, so it must be less. Look at all three.",
    "filled_at_same_temperature": "The bottle of water alone is taken as weighed at the temperature of the test.",
    "gravity_strange": "Grains of {gravity} times the weight of water; {least} to {most} is usual for soil.",
    "why_gravity_strange": "Air left in the bottle makes it read too light. It is computed with as it stands; boil or shake and weigh again.",
}
