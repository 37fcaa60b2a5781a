"""What is said of block tests. Loading, splitting, penetrometer; rigs; strengths that are not to be believed."""

from collections.abc import Mapping

SAID: Mapping[str, str] = {
    # what cannot be computed with
    "no_such_test_yet": "Block {mark} has no such test yet. Write down first how it broke.",
    "lengths_of_loads": "{known} known loads and {read} shown: each needs both.",
    "lever_turns_back": "The scale shows less the more is hung. Look at both columns.",
    # how it was loaded
    "loading_time_not_said": "How long it took is not said, so its rate cannot be held against a rule’s.",
    "rate_slow": "Loaded {times} times slower than {document} asks: slow loading reads a little weaker.",
    "rate_fast": "Loaded {times} times faster than {document} asks: fast loading reads stronger.",
    "not_capped": "Nothing lay between block and plates: an uneven face reads weaker, and by chance.",
    "soft_capping": "A soft layer spreads and splits the block: it reads weaker than between hard plates.",
    "not_loaded_flat": "It was not loaded flat, as it lies in a wall: no shape factor is told, and it is not held against flat blocks.",
    "plates_fixed": "No plate was free to turn: a block whose faces are not parallel reads weaker.",
    "halves_stacked": "Two halves stacked are taller than a block: the plates help less, and no shape factor of one block is told.",
    # splitting and pricking
    "split_of_a_block": "For a block the formula of the cylinder is taken, as the method for masonry units has it.",
    "split_without_strips": "Without strips of wood or card the block is crushed at the line, and reads weaker.",
    "for_screening_only": "The jack was never checked against a known load: for screening only.",
    "split_implausible": "A splitting strength of {strength} MPa; earth blocks stay under {most} MPa.",
    "why_split_implausible": "It is computed with as it stands. Look at the load, its unit and both sizes.",
    "penetrometer_compares_only": "It compares blocks of one press and one piston; it is no strength of the block.",
    "few_pricks": "{count} readings; three or more show the block.",
    # rigs
    "few_known_loads": "{count} known loads; {wanted} or more over the range show whether it holds.",
    "factor_unsteady": "Single factors scatter by {scatter_pct} %, more than {most_pct} %: the jack sticks, or a reading slipped.",
    "lever_by_arms_only": "By its arms alone. A scale under its block end shows what friction takes.",
    "rig_write_down": "Write {what} {found} down with {rig}, so that strengths are computed with it.",
    "rig_was_otherwise": "{rig} is written down with {what} {kept}; this gives {found}. Correct the rig if this is right.",
    "lever_alone_breaks_it": "The bare lever presses harder than that already: shorten its arm, or balance it.",
    # strengths that are not to be believed
    "strength_beyond_belief": "Block {mark} comes out at {strength} MPa: no block of earth reaches it, so it is left out until settled. "
    "Look at load, unit and area.",
    "slip_other_unit": "Block {mark} comes out at {strength} MPa. If {typed} {unit} was {other}, it would be {corrected} MPa.",
    "slip_ram_area_twice": "Block {mark} comes out at {strength} MPa. If {typed} {unit} was already gauge times ram area and was multiplied "
    "by the ram’s {area} {area_unit} again, it would be {corrected} MPa.",
    "slip_face_twice": "Block {mark} comes out at {strength} MPa. If {typed} {unit} was a load multiplied by the block’s face of {area} "
    "{area_unit}, it would be {corrected} MPa.",
    "slip_gauge_as_stress": "Block {mark} comes out at {strength} MPa. If the gauge was taken for the stress in the block, and {typed} {unit} "
    "made of it with the block’s face, it would be {corrected} MPa by the ram.",
    "slip_gauge_as_load": "Block {mark} comes out at {strength} MPa. If {typed} was the gauge in {other} and not a load in {unit}, it would "
    "be {corrected} MPa by the ram.",
    "why_slip_other_unit": "Settle it: correct the unit, or say that the reading stands.",
    "why_slip_ram_area_twice": "A force is divided by the face once; the ram’s area belongs to a gauge. Correct the load, or say that it stands.",
    "why_slip_face_twice": "A load is divided by the face once. Correct the load, or say that it stands.",
    "why_slip_gauge_as_stress": "A gauge shows the oil, not the block. Type the gauge, or say that the load stands.",
    "why_slip_gauge_as_load": "Type it as a gauge, or say that the load stands.",
    "ratio_slip_unit": "Block {mark}: bending over crushing is {ratio}; blocks show {least} to {most}. If {typed} {unit} of the {test} test "
    "was {other}, it would be {corrected} MPa instead of {strength}, and the two would fit.",
    "ratio_slip_area": "Block {mark}: bending over crushing is {ratio}; blocks show {least} to {most}. If {typed} {unit} of the {test} test "
    "was multiplied by an area of {area} {area_unit} once too often, it would be {corrected} MPa instead of {strength}, and the two would fit.",
    "ratio_slip_gauge": "Block {mark}: bending over crushing is {ratio}; blocks show {least} to {most}. If {typed} {unit} of the {test} test "
    "was read off the gauge as if it were the load, it would be {corrected} MPa instead of {strength}, and the two would fit.",
    "why_ratio_slip_unit": "Both are computed with as typed. Correct the unit, or say that they stand.",
    "why_ratio_slip_area": "Both are computed with as typed. Correct the load, or say that they stand.",
    "why_ratio_slip_gauge": "Both are computed with as typed. Type it as a gauge, or say that they stand.",
    "wet_above_dry": "Soaked blocks ({marks}) come out above the dry ones of their mix at {age} days: {wet} against {dry} MPa, of "
    "{wet_n} and {dry_n} blocks.",
    "why_wet_above_dry": "Water weakens earth: half the dry strength is usual. Look whether soaked and dry were swapped, and whether the dry "
    "ones were dry.",
}
