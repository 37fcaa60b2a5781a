"""What is said of block tests. Sizes, density, shrinkage and swell of a block."""

from collections.abc import Mapping

SAID: Mapping[str, str] = {
    "fewer_than_three_readings": "{count} readings of one side; three or more show whether it is even.",
    "voids_fill_block": "The holes, {voids} {unit}, are not smaller than the block, {whole} {unit}. Look at their sizes and units.",
    "dry_above_mass": "Dried it weighs {dry_mass} kg, and {mass} kg as measured: dry cannot be the heavier. Are the two swapped?",
    "side_uneven": "Readings of the {side} lie {spread} mm apart; up to {most} mm is usual.",
    "why_side_uneven": "The mean is computed with. A figure may have slipped, or the block is wedge-shaped: look at the mould.",
    "cured_density_strange": "The block comes out at {density} kg/m³; {least} to {most} is usual for cured earth.",
    "why_cured_density_strange": "It is computed with as it stands. Look at the mass, the three sizes and their units.",
    "size_out_of_tolerance": "The {side} is {off} mm off; {tolerance} mm either way is allowed.",
    "block_is_hollow": "Holes take {share_pct} % of the face, and a full block has up to {most_pct} %: it is a hollow block, and its "
    "strength is told on gross area unless somebody says otherwise.",
    "length_change_strange": "A cured block would have changed in length by {change_pct} %; more than {most_pct} % is not to be expected.",
    "why_length_change_strange": "It is computed with as it stands. A line was misread, or before and after are of two lines.",
    "block_swells": "It swelled by {swell_pct} % on soaking; IS 1725:2013 allows {most_pct} % (from memory): more stabiliser, or less clay.",
    "block_swells_little": "It swelled by {swell_pct} % on soaking, within the {most_pct} % of IS 1725:2013 (from memory).",
    "method_setting_other": "The {setting} was {value}, and {wanted} in the method: the figure does not compare with its limits as it is.",
}
