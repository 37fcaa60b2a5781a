"""What is said of what is believed of a soil."""

from collections.abc import Mapping

SAID: Mapping[str, str] = {
    # records that cannot be
    "grading_empty": "This grading holds no share. Write down sand, silt, clay or fines.",
    "grading_beyond_method": "Sieves alone cannot part silt from clay. Say which sedimentation test it was, or give the fines only.",
    "grading_not_whole": "Shares that should make a whole make {total_pct} %. Look at each of them.",
    "grading_above_fines": "Silt and clay together are more than the fines, {fines_pct} %. Look at each of them.",
    "unknown_feel": "The test {test} has no grade {grade}. Choose one of: {known}.",
    # what a reader must know
    "property_implied": "Nobody measured it. It follows from what else was observed of the soil, so its range is wide.",
    "property_unknown": "Nothing is known of that property of this source yet. Shake a jar, or guess what the soil is.",
    "range_upside_down": "The least wanted, {least}, is more than the most wanted, {most}. Are the two swapped?",
    # what does not go together
    "jar_against_jar": "The jars differ: one alone says {clay_pct} % clay, the other {other_clay_pct} %.",
    "jar_against_wash": "The jar and the sieved sample do not go together in sand.",
    "jar_against_hydrometer": "The jar says {clay_pct} % clay, the laboratory’s grading {other_clay_pct} %, or they differ as much in sand.",
    "jar_against_limits": "The jar says {clay_pct} % clay; limits like these usually go with about {other_clay_pct} %.",
    "jar_against_shrinkage": "The jar says {clay_pct} % clay; such shrinkage usually goes with about {other_clay_pct} %.",
    "jar_against_guess": "The jar says {clay_pct} % clay, and by hand it was called {says}.",
    "jar_against_thread": "The jar says {clay_pct} % clay, and yet the thread: {says}.",
    "jar_against_ribbon": "The jar says {clay_pct} % clay, and yet the ribbon: {says}.",
    "jar_against_dry_strength": "The jar says {clay_pct} % clay, and yet the dry ball: {says}.",
    "jar_against_shaking": "The jar says {clay_pct} % clay, and yet the shaken pat: {says}.",
    "jar_against_shine": "The jar says {clay_pct} % clay, and yet the cut ball: {says}.",
    "laboratory_against_laboratory": "Two laboratory results do not go together: one would mean {clay_pct} % clay, the other "
    "{other_clay_pct} %, or as different a plasticity.",
    "laboratory_against_hands": "The laboratory’s result would mean {clay_pct} % clay, and yet by hand: {says}.",
    "hands_against_hands": "Two tests by hand do not go together: one would mean {clay_pct} % clay, the other {other_clay_pct} % ({says}).",
    # what to do next
    "settled_by": "Cheapest to settle it: {test}.",
    "next_test_said": "To {test}: it would take about {gain_pct} % off the doubt whether the soil alone lies in the window ({time}).",
    # why that may be
    "reason_glued_clay": "Clay that sticks together, as in red or laterite soil, falls as sand or silt where no dispersant parts it.",
    "reason_read_early": "The jar may have been read before all clay was down.",
    "reason_fluffed_clay": "Salt or hard water makes clay settle loose, so its layer looks thicker than its mass.",
    "reason_fine_silt": "Fine silt falls with the clay and may have been taken for it.",
    "reason_active_clay": "A little of a very active clay behaves like much of a common one.",
    "reason_idle_clay": "Much of an inactive clay, as kaolin, behaves like little of a common one.",
    "reason_other_sample": "The two may not be of one sample, or one of them is a slip.",
}
