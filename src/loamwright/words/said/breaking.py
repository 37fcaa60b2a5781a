"""Sentences of Break: readings, rigs, soaks, what does not fit."""

from collections.abc import Mapping

SAID: Mapping[str, str] = {
    # notes beside a strength
    "rig_not_named": "No rig is named: the load is taken as read.",
    "lever_own_left_out": "The lever’s own effect is not known and not in it.",
    "mould_area_used": "The face was not measured: the mould’s is taken.",
    "mould_width_used": "The width was not measured: the mould’s is taken.",
    "one_half_only": "One half only: crush the other to average them.",
    "dissolved": "Fell apart in water: strength 0.",
    "own_weight_left_out": "The block’s own weight, worth {newton} N at the middle, is not in it.",
    # what cannot be computed with
    "broken_before_pressed": "Block {mark} would be broken {days} days before it was pressed. Look at both days.",
    "half_needs_length": "A half of block {mark} needs its own length: measure the face under the load.",
    "block_not_here": "This test names a block that is not here.",
    "why_block_not_here": "It is kept, and counts as soon as the block is back or the test is corrected.",
    # what does not fit
    "crushed_twice": "Block {mark} was crushed {n} times, more than it has pieces.",
    "why_crushed_twice": "The later reading is computed with. Undo the one that is wrong, or correct its mark.",
    "reading_ten_times": "The reading of block {mark} is {times} times {side} the others of its mix. Did a decimal slip?",
    "why_reading_ten_times": "It is computed with as typed until it is corrected.",
    "outlier_crush": "Block {mark} stands out {side} the {n} of its mix and age: {apart} standard deviations, "
    "where {critical} is the limit.",
    "why_outlier_crush": "It is computed with. Leave it out only for a reason found on the block or the rig, and say it.",
    "outlier_bend": "Block {mark} stands out {side} the {n} bent of its mix and age: {apart} standard deviations, "
    "where {critical} is the limit.",
    "why_outlier_bend": "It is computed with. Leave it out only for a reason found on the block or the rig, and say it.",
    "strength_implausible": "Block {mark} comes out above {most} MPa: more than earth blocks reach.",
    "why_strength_implausible": "Often a gauge was read as a stress, or a force multiplied by the area again. Look at "
    "reading, unit and area.",
    "bending_ratio": "Block {mark}: bending over crushing is {ratio}; blocks show {least} to {most}.",
    "why_bending_ratio": "One of the two loads, spans or areas has slipped, or its unit.",
    "soaked_short": "Block {mark} was {hours} h in water; {wanted} h are wanted.",
    "why_soaked_short": "A shorter soak reads stronger. It is kept with its own hours.",
    "mass_at_break": "Block {mark}: the mass at break does not fit the block as it was pressed.",
    "why_mass_at_break": "It would be lighter than its dry mix, or hold more water than its voids. Look at mass and unit.",
    # what is due
    "due_soak_blocks": "Into water for {hours} h: {marks}. {name}",
    "due_break_blocks": "Break {n} {condition} at {age} days: {marks}. {name}",
}
