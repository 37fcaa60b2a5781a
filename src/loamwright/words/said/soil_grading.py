"""Sentences for tests of soils: sieves, hydrometer, pipette, grading curves."""

from collections.abc import Mapping

SAID: Mapping[str, str] = {
    # sieves
    "sieve_without_figure": "The sieve of {size} mm has neither a mass nor a share. Type 0 if nothing lay on it.",
    "sieves_mixed": "Some sieves are given by mass, some by share on them, some by share passing. Give all of them in one way.",
    "sieve_twice": "The size {size} mm stands there twice. Is one of the two another size?",
    "lengths_of_sieves": "{sieves} sizes and {masses} figures: each size needs one.",
    "cumulative_falls": "The masses are added up down the stack, yet sieve {sieve} from the top shows {after} kg below {before} kg "
    "above it. Is each mass what lies on that sieve alone?",
    "start_mass_missing": "Without the pan, or after washing, the dry mass put to the sieves is needed. Weigh or look it up, and add it.",
    "washed_above_start": "The dry mass after washing, {washed_mass} kg, is above the {start_mass} kg before it. Are the two "
    "swapped, or was it not yet dry?",
    "retained_above_start": "The sieves hold {retained_mass} kg, more than the {start_mass} kg put to them. Look at each mass and at the start.",
    "sieving_loss_too_great": "{put_on} kg went on the sieves and {found} kg came off: {loss_pct} % is lost, and {most_pct} % is "
    "the most the method allows. No curve is given until it is found: look for a sieve not weighed, or sieve again.",
    "sieving_gain_too_great": "{put_on} kg went on the sieves and {found} kg came off: {gain_pct} % too much, and {most_pct} % is "
    "the most the method allows. No curve is given until it is found: look for a tare not taken off, or damp soil.",
    "not_one_whole": "The shares on the sieves and in the pan sum to {total_pct} %, so they are not shares of one whole. Is one "
    "missing, or are some of the whole soil and some of a part of it?",
    "stones_and_shares_unlike": "The coarsest sieve is reported to pass {passing_pct} %. With the stones it would be {rest_pct} %, "
    "without them 100 %: so it is not told of which whole the shares are. Ask the laboratory.",
    "screen_below_sieves": "Stones were taken off on {screen} mm, but every sieve is coarser than that. Look at the size of the screen.",
    "finer_above_screen": "{passing_pct} % is said to be finer than a size that {passing_screen_pct} % passes a coarser screen of. "
    "Look at both.",
    "loss_not_known_no_start": "The dry mass before sieving was not weighed: shares are of what was found, and no loss can be told.",
    "loss_not_known_no_pan": "The pan was not weighed: what passes the finest sieve is taken as the rest, and no loss can be told.",
    "specimen_small": "{mass} kg were sieved; for grains up to {largest} mm the method wants {least} kg at least. One stone more or "
    "less would shift the curve.",
    "stones_without_size": "The screen the stones were taken off on is not said: they are counted above the coarsest sieve.",
    # curves
    "curve_wrong_way": "{passing_finer_pct} % is finer than {finer_size} mm, yet only {passing_coarser_pct} % finer than "
    "{coarser_size} mm: a curve cannot fall towards the coarse side. Look at these two.",
    "share_below_curve": "{passing_pct} % is finer than {size} mm, the finest size measured, so {share_pct} % lies somewhere below it. "
    "A hydrometer test would tell.",
    "share_above_curve": "Only {passing_pct} % is finer than {size} mm, the coarsest size measured, so {share_pct} % lies above it. "
    "Add a coarser sieve.",
    "size_off_curve": "{size} mm lies outside the sizes that were measured, {finest} to {coarsest} mm.",
    "curve_too_short": "{points} point is no curve: two different ones are needed.",
    "sizes_swapped": "D10 is {d10} mm and D60 {d60} mm: D10 cannot be the coarser.",
    "largest_size_not_known": "Even the sieve of {size} mm held something ({passing_pct} % passes), so the largest grain is not known "
    "and no packing curve can be drawn. Add a coarser sieve.",
    "packing_nearest": "Nearest of the packing curves is the one with exponent {exponent}, {meant_for}; largest grain {largest} mm. The "
    "distance hangs on which sieves were used: compare soils of one set.",
    # joining
    "no_fine_points": "No size of this test, the finest being {coarsest} mm, is finer than the finest sieve of {finest} mm: nothing to join.",
    "curves_do_not_meet": "{share_pct} % is finer than {size} mm here, yet only {passing_pct} % passed the sieve of {sieve} mm. The two "
    "are shares of different wholes, or one is wrong. Say which sieve the soil in the cylinder had passed.",
    "curves_step": "{passing_pct} % passes the sieve of {sieve} mm, but only {share_pct} % is finer than {size} mm, close below it.",
    "why_curves_step": "A step like this is rare in soil: the two may be shares of different wholes, or grains stuck together. They "
    "are joined as they stand.",
    "fine_points_left_out": "{count} reading gave sizes not finer than the sieve of {sieve} mm: there the sieve counts.",
    "cut_missing": "Which sieve had the soil in the cylinder passed? Without it these shares cannot be told of the whole soil; usual "
    "is 2 mm.",
    "reported_of_missing": "Are the reported shares of the whole soil, or of what was in the cylinder? Say which; until then they are "
    "kept and not used.",
    "shares_of_portion": "These are shares of what was in the cylinder, not of the whole soil.",
    "shares_of_portion_no_sieving": "This soil has no sieving to join with: these are shares of what was in the cylinder.",
    # hydrometer and pipette
    "no_readings": "There is no reading and no reported size in this test yet.",
    "temperature_missing": "How warm was the suspension? Without its temperature no size can be worked out: from 15 to 30 °C it "
    "shifts by a sixth. Measure it and add it.",
    "blank_missing": "What did the hydrometer read in water with the same dispersant? Without it the dispersant counts as soil, some "
    "5 g per litre of it. Read a second cylinder and add it.",
    "below_blank": "A reading of {reading} is below the {blank} of water without soil. Are the two swapped, or was the water warmer?",
    "more_than_whole": "{share_pct} % of the soil would still be afloat: more than was put in. Look at the reading, the dry mass and "
    "the blank.",
    "residue_below_agent": "The residue of {residue_mass} kg is below the {agent_mass} kg of dispersant in a sample. Are the two swapped?",
    "meniscus_not_given": "The height of the meniscus is not given: 0 is taken, which makes sizes up to one per cent too large.",
    "agent_not_weighed": "No blank sample was weighed: the dispersant counts as soil.",
    "grain_density_usual": "The density of the grains is not measured: {density} kg/m³ is taken as usual.",
    "suspension_thick": "{grams} g of soil in a litre: above {most} g grains hinder each other and all sizes read too small.",
}
