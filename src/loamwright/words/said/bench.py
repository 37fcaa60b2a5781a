"""Sentences of bench."""

from collections.abc import Mapping

SAID: Mapping[str, str] = {
    "unknown_basis": "A dose needs its basis: of the total dry mix, of the dry soil, or by volume.",
    "densities_needed": "A dose by volume needs the loose densities of soil and stabiliser: weigh three struck pails first.",
    "dry_not_above_tare": "The dry mass {dry_mass} kg is not above the empty pan’s {tare_mass} kg. Weigh pan and soil again.",
    "wet_below_dry": "The damp mass {wet_mass} kg is below the dry mass {dry_mass} kg. Are the two swapped?",
    "soil_above_total": "The soil is more than the whole mix. Look at both readings.",
    "too_few": "Only {count} given where at least {least} are needed.",
    "denser_than_solids": "The block comes out denser than solid grains. Look at mass, size and moisture.",
    "filled_not_above_tare": "The full pail {filled_mass} kg is not above the empty one’s {tare_mass} kg. Look at both weighings.",
    "not_overdosed": "There is no overdose to put right.",
    "same_source_twice": "A source stands twice in this blend: {sources}.",
    "rod_not_below_bore": "The rod is not thinner than the bore. Look at both diameters.",
    "loose_below_pressed": "The loose fill is not higher than the pressed block. Look at both heights.",
    "not_digits": "A mark has digits only.",
    "no_offset": "The moment has no offset from UTC.",
    "before_start": "The moment lies before the stabiliser went in. Look at the clock.",
    "rig_too_weak": "This rig gives {rig_capacity} kN; {load_needed} kN should be at hand to break these blocks.",
    "rig_near_its_limit": "This rig gives {rig_capacity} kN; a strong block may need more than it has. {load_needed} kN would be safe.",
}
