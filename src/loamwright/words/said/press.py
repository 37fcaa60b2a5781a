"""Sentences of Press: marks, sisters, gauges, cure."""

from collections.abc import Mapping

SAID: Mapping[str, str] = {
    # marks
    "mark_wrong_digit": "Mark {mark} does not read well: its last digit does not fit the others.",
    "why_mark_wrong_digit": "A digit was misread or two were swapped. Look at the block; the mark is kept as typed.",
    "mark_not_usual": "Mark {mark} is not a number of two to five digits with a check digit.",
    "why_mark_not_usual": "It is kept as a label, but a slip in reading it cannot be caught later.",
    "mark_twice": "{n} blocks carry the mark {mark}. Which is which?",
    "why_mark_twice": "A test of this mark cannot be told from its sister’s. Look at both and correct the mark of one.",
    # one block
    "batch_not_here": "Block {mark} names a batch that is not here.",
    "why_batch_not_here": "It is kept, and counts as soon as its batch is back or it is corrected.",
    "block_density_absurd": "Block {mark} comes out at {value} kg/m³; a pressed block lies between {least} and {most}.",
    "gauge_absurd": "The gauge reads {value} MPa; such gear works between {least} and {most}. Is it typed in the right unit?",
    "why_block_density_absurd": "Mass, height, their units or the mould’s size slipped. The density is left out "
    "until it is corrected.",
    "why_gauge_absurd": "Psi typed as MPa is 145 times too much. It is left out until it is corrected.",
    "gauge_far_from_wanted": "Block {mark} was pressed at {times} times the gauge reading wanted.",
    "why_gauge_far_from_wanted": "Another pressure makes another block: its strength says little of its sisters’.",
    # sisters
    "sister_ten_times": "Block {mark} is about ten times off its sisters. Did a decimal slip?",
    "why_sister_ten_times": "It is computed with as typed until it is corrected.",
    "sister_green_mass_up": "Block {mark} is {apart_pct} % heavier than its sisters.",
    "why_sister_green_mass_up": "Blocks of one batch lie within 3 %. An overfull mould presses another block; "
    "or the reading slipped.",
    "sister_green_mass_down": "Block {mark} is {apart_pct} % lighter than its sisters.",
    "why_sister_green_mass_down": "Blocks of one batch lie within 3 %. A short fill makes a weak block; or the reading slipped.",
    "sister_dry_density_up": "Block {mark} is {apart_pct} % denser than its sisters.",
    "why_sister_dry_density_up": "Its mass is alike, so look at the height.",
    "sister_dry_density_down": "Block {mark} is {apart_pct} % less dense than its sisters.",
    "why_sister_dry_density_down": "Its mass is alike, so look at the height. A short stroke makes a weak block.",
    "pressed_late": "{n} pressed up to {minutes} min after the cement went in; the limit is {limit} min.",
    "why_pressed_late": "Late blocks are weaker, and mass and height do not show it.",
    # cure
    "cold_above_hot": "The coldest, {cold} °C, is above the hottest, {hot} °C. Are they swapped?",
    "cold_cure": "It was {least_temperature} °C: below {below} °C hardly anything sets. Count those days out.",
    "frost": "It froze: {least_temperature} °C. Look for flakes and white skin before you test these.",
    "damp_too_short": "Uncovered after {days} days damp; {least} are wanted. Cover them again.",
    "too_early_to_judge": "Too early to judge: {stabiliser} shows itself from day {judging_age}.",
    "screening_only": "Day {age} screens out the hopeless; a verdict waits for day {judging_age}.",
    # what is due
    "due_press_blocks": "Press the blocks of {name}",
    "due_press_rest": "{n} of {wanted} pressed: press the rest of {name}",
    "due_press_more": "{n} pressed so far: go on with {name}, or say that it is all pressed",
    "due_cover_blocks": "Cover the blocks and keep them damp for {least} days at least. {name}",
    "due_uncover_blocks": "Uncover to dry: {least} days damp are over, longer does no harm. {name}",
}
