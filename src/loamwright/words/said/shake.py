"""Sentences of Shake: what is asked of jars and guesses, what is due, what was assumed."""

from collections.abc import Mapping

SAID: Mapping[str, str] = {
    "layer_above_water": "A height of {height} mm lies above the water surface at {water_height} mm.",
    "why_layer_above_water": "It cannot be, so it is left out. Look at this height, or at the water surface of the jar.",
    "why_boundaries_out_of_order": "The layers seen by eye are left out until the heights are put right; the rest counts.",
    "why_fill_above_water": "No times and no shares can be worked out until it is put right.",
    "why_swelling_questioned": "It stands {rise_pct} % above the dry mark, and loose soil moves 10 to 15 % by itself. "
    "If it swells, "
    "say so in its stop questions, and do not trust its clay from a jar.",
    "limits_swapped": "The plastic limit, {plastic_pct} %, lies above the liquid limit, {liquid_pct} %.",
    "why_limits_swapped": "It cannot be, so both are left out. Are the two swapped?",
    "jar_read_early": "The {layer} was read after {minutes} min; it is there after about {best_minutes} min.",
    "why_jar_read_early": "It counts as the top of all that had settled by then. If the time is a slip, correct it.",
    "jar_height_falls": "The settled soil fell from {before} mm to {after} mm.",
    "why_jar_height_falls": "Clay sinks for days, but not by a third: one of the two heights may be misread.",
    "why_guess_disagrees": "{source}: one of the two is far off. Both count. A second jar, or the wash test, would settle it.",
    "why_jar_fits_badly": "{source}: one of its heights or times is far from what any soil would do. Look at each, or "
    "shake a second jar.",
    "jar_temperature_assumed": "No water temperature: {temperature} °C is taken. At 30 °C all takes a fifth less time.",
    "layers_without_top": "A layer was seen by eye, but not the top of all that settled: read that too, and the layer counts.",
    "silt_without_sand": "The top of the silt was seen by eye, but not the top of the sand below it: read that too, "
    "and it counts.",
    "of_draws": "The middle of {draws} draws made from {readings} readings; 9 in 10 draws lie in the range.",
    "due_read_jar": "{name}: read it at {at}, when {says}",
    "due_shake_jar": "Shake a jar of {source}, or guess what it is",
    "no_belief": "Nothing is known of {source} yet. Shake a jar of {source}, or guess what it is.",
    "not_only_guess": "Only a guess, no jar: the ranges stay wide on purpose.",
    "not_bare_layers": "Each share is the middle of its own range, so the three need not add up to 100 %. They are shares of dry "
    "mass, not of layer height: a settled clay layer holds much less than "
    "a sand layer.",
    "not_dispersant": "No dispersant in the jar: clay that sticks together falls like silt, and red or laterite soil "
    "can hide half its "
    "clay so. The range allows for some of it. A jar with dispersant would tell.",
    "not_screened": "It is the soil that passed the screen. What stayed on the screen is not in it.",
    "not_laboratory": "A jar is no laboratory test: it guides the trial and proves nothing to an official.",
}
