"""Sentences of the water ladder."""

from collections.abc import Mapping

SAID: Mapping[str, str] = {
    # what comes next
    "ladder_start": "Begin: press a block of the blend alone at {water_pct} % of its dry mass.",
    "ladder_next": "Press the next one at {water_pct} %.",
    "ladder_edge": "The best block stands at the end of the ladder: press one more at {water_pct} %.",
    "ladder_none_clean": "None came out clean: press one more at {water_pct} %.",
    "ladder_dry_first": "The soil already holds as much water as the next step wants: dry it in the sun, then press on.",
    "ladder_done": "The densest block that came out clean has a drier and a wetter neighbour: its moisture is the target.",
    "due_ladder_start": "Press a water ladder before the first batch of {name}",
    "due_ladder_next": "Press the next ladder block at {water_pct} %, {name}",
    "due_ladder_edge": "Press one more ladder block at {water_pct} %, {name}",
    "due_ladder_none_clean": "{name}: no ladder block came out clean, press one at {water_pct} %",
    "due_ladder_dry_first": "{name}: dry the soil, then press the next ladder block",
    # beside numbers
    "ladder_stabiliser_not_weighed": "A stabiliser is named but its mass is not: the block is reckoned as soil alone.",
    "ladder_winner_wettest": "The wettest step won: the target may lie wetter still. Press one more.",
    "ladder_winner_driest": "The driest step won: the target may lie drier still. Press one more.",
    "ladder_with_stabiliser": "This ladder block was pressed with stabiliser in it.",
    "dry_density_usual": "No block of this blend was pressed yet: a usual dry density of {usual} kg/m³ is taken.",
    # what does not fit
    "press_not_named": "No press is written down, so the size of this block is not known. Name the press: mould length, width "
    "and height.",
    "ladder_density_strange": "{names}: a dry density of {density} kg/m³. Pressed soil lies between {least} and {most}.",
    "why_ladder_density_strange": "A mass, a height or a mould size may be wrong. The winner of the ladder hangs on it.",
}
