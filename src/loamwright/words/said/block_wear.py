"""What is said of block tests. Brushing, frost, spray, drip, abrasion, dip, drop."""

from collections.abc import Mapping

SAID: Mapping[str, str] = {
    # what cannot be computed with
    "unknown_soil_group": "There is no road group “{soil_group}”. Choose one of: {known}.",
    "soil_group_missing": "Which road group is the soil? Hardened cement keeps some water in the oven, and how much hangs on it. Choose it.",
    "heavier_after_wear": "It weighed {mass_before} kg before and {mass_after} kg after: wear cannot make it heavier. Are the two swapped, or "
    "was it not dry?",
    "nothing_brushed_off": "Nothing came off under the brush by these masses. Weigh on a scale that shows grams.",
    # notes
    "bound_water_of_cement": "The water bound is that of soil-cement, {bound_pct} %; of lime nobody tabled it.",
    "cycles_other": "{cycles} cycles; limits go by {wanted}.",
    "frost_not_cold": "The cold went to {coldest} °C, and {wanted} °C or below is the method’s: it is a milder test.",
    "spray_pressure_other": "Sprayed at {pressure} kPa; the index is tabled for {wanted} kPa, so it does not hold as it stands.",
    "spray_pressure_not_said": "The pressure is not said: 50 kPa is taken.",
    "spray_short": "Sprayed for {minutes} min and not through; the method sprays for {wanted} min.",
    "drip_time_other": "The water dripped in {minutes} min; the method wants {least} to {most} min.",
    "dip_for_plain_earth": "The dip is made for blocks without stabiliser; one with cement will hardly lose anything.",
    # what it says
    "loss_within": "It lost {loss_pct} %; the soil-cement handbook allows {most_pct} % for soils {soils} (from memory).",
    "loss_above": "It lost {loss_pct} %, above the {most_pct} % that the soil-cement handbook allows for soils {soils} (from memory): more "
    "cement, or another blend.",
    "volume_changed_much": "It changed in volume by {change_pct} %; {most_pct} % either way is allowed (from memory).",
    "spray_says": "Worn at {rate} mm/h: erodibility index {index}, by NZS 4298:1998 (from memory).",
    "spray_fails": "Worn at {rate} mm/h: erodibility index {index}, which fails by NZS 4298:1998 (from memory). Not for a wall in the weather.",
    "drip_says": "A pit of {pit} mm: drip index {index}, by NZS 4298:1998 (from memory).",
    "drip_fails": "A pit of {pit} mm: drip index {index}, which fails by NZS 4298:1998 (from memory). Not for a wall in the weather.",
    "steady_drip_within": "A pit of {pit} mm, within the {most} mm of UNE 41410:2008 (from memory).",
    "steady_drip_fails": "A pit of {pit} mm, above the {most} mm of UNE 41410:2008 (from memory).",
    "damp_deep": "The damp reached {depth} mm deep; it must stay under {most} mm by NZS 4298:1998 (from memory).",
    "dip_says": "It lost {loss_pct} %; DIN 18945 allows {exposed_pct} % for outer walls under render and {inner_pct} % for clad or inner ones "
    "(2013, from memory).",
    "drop_passes": "It stood the drop by NZS 4298:1998 (from memory).",
    "drop_fails": "It broke in about equal pieces or worse: it fails the drop of NZS 4298:1998 (from memory).",
    "drop_corner_fails": "It lost a corner of {corner} mm, above {most} mm: it fails the drop of NZS 4298:1998 (from memory).",
    "drop_corner_not_measured": "It lost a corner: measure it; above {most} mm it fails.",
    # what does not fit
    "heavier_between_cycles": "From one cycle to a later one it became heavier.",
    "why_heavier_between_cycles": "The loss goes by the mass dried at the end. Its water was not the same, or a mass slipped.",
    "pit_shallower": "A later pit is shallower than an earlier one.",
    "why_pit_shallower": "A pit does not fill again. The last reading is computed with; look at both.",
    "whole_with_corner_lost": "It is said to have stayed whole, and a corner lost was measured.",
    "why_whole_with_corner_lost": "The corner is computed with. Correct one of the two.",
}
