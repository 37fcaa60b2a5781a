"""What a clause of a rule is about, in words: properties, subjects, conditions, comparators, uses."""

from loamwright.rules.properties import unit
from loamwright.words.language import later, tr

CONDITIONS = {
    "wet": later("soaked"),
    "dry": later("dry"),
    "air_dry": later("air-dry"),
    "damp_plate": later("on a damp plate"),
    "spray": later("under a spray"),
    "drip": later("under drips"),
    "dip": later("dipped"),
    "cycles": later("wetted and dried"),
}
SUBJECTS = {
    "block": later("blocks"),
    "mix": later("the mix"),
    "soil": later("the soil"),
    "lot": later("the lot"),
    "wall": later("the wall"),
    "cement": later("the cement"),
    "air": later("the air"),
}
COMPARATORS = {">=": later("at least"), ">": later("more than"), "<=": later("at most"), "<": later("less than")}
UNITS = {
    "storeys": later("storeys"),
    "pieces": later("pieces"),
    "cycles": later("cycles"),
    "per_25000": later("in 25 000"),
    "sets_per_5000": later("sets in 5 000"),
}
"""Units of rules that are words, and no signs."""
PROPERTIES = {
    "compressive_strength": later("Crushing strength"),
    "modulus_of_rupture": later("Bending strength"),
    "water_absorption": later("Water taken up"),
    "damp_plate_absorption": later("Water taken up from a damp plate"),
    "dry_density": later("Dry density"),
    "air_dry_density": later("Density, air-dry"),
    "moisture_when_laid": later("Water in it when laid"),
    "shrinkage_cracks": later("Shrinkage cracks in one"),
    "drop_height_survived": later("Height of drop that it stands"),
    "erosion_rate": later("Erosion under a spray"),
    "drip_pit_depth": later("Pit under drips"),
    "continuous_drip_pit_depth": later("Pit under a continuous drip"),
    "moisture_penetration": later("Depth that water reached"),
    "cycles_without_damage": later("Cycles of wetting and drying without damage"),
    "mass_loss_wet_dry": later("Mass lost on wetting, drying and brushing"),
    "dip_mass_loss": later("Mass lost on dipping"),
    "linear_expansion": later("Expansion when soaked"),
    "dimension_deviation": later("Dimension, off by"),
    "length_above_nominal": later("Length, too great by"),
    "length_below_nominal": later("Length, too small by"),
    "width_above_nominal": later("Width, too great by"),
    "width_below_nominal": later("Width, too small by"),
    "height_deviation": later("Height, off by"),
    "abrasion_loss": later("Mass lost under the brush"),
    "abrasion_coefficient": later("Area brushed for a gram lost"),
    "capillary_coefficient": later("Water drawn up"),
    "void_share": later("Holes in the face"),
    "elastic_modulus": later("Elastic modulus"),
    "block_mass": later("Mass to lift"),
    "cement_content": later("Cement in the dry mix"),
    "stabiliser_content": later("Stabilisers in the dry mix"),
    "drying_shrinkage": later("Shrinkage on drying"),
    "cylinder_strength": later("Crushing strength of cylinders"),
    "cylinder_mass_loss": later("Mass cylinders lose in cycles and brushing"),
    "cylinder_volume_change": later("Change of volume of cylinders in cycles"),
    "cube_strength": later("Crushing strength of cubes"),
    "unconfined_strength": later("Unconfined strength"),
    "splitting_strength": later("Splitting strength"),
    "mortar_bond_tension": later("Bond of the mortar in tension"),
    "prism_strength": later("Crushing strength of small walls"),
    "optimum_moisture": later("Best water content"),
    "damp_curing": later("Damp curing"),
    "sampling_rate": later("Drawn for testing"),
    "sampling_sets": later("Sets of tests"),
    "clay_content": later("Clay"),
    "silt_content": later("Silt"),
    "sand_content": later("Sand"),
    "gravel_content": later("Gravel"),
    "liquid_limit": later("Liquid limit"),
    "plasticity_index": later("Plasticity index"),
    "organic_content": later("Organic matter"),
    "soluble_salts": later("Soluble salts"),
    "sulfate_content": later("Sulfate"),
    "soluble_sulfate": later("Soluble sulfate"),
    "soil_ph": later("pH of the soil"),
    "soil_cement_ph": later("pH of soil and cement after a quarter of an hour"),
    "passing_4_75_mm": later("Passing 4.75 mm"),
    "passing_0_075_mm": later("Passing 0.075 mm"),
    "storeys": later("Storeys"),
    "lateral_support_spacing": later("Between lateral supports"),
    "wall_height": later("Height of the wall"),
    "wall_thickness": later("Thickness of the wall"),
    "wall_thickness_lower_storey": later("Thickness of the wall, lower of two storeys"),
    "wall_thickness_upper_storey": later("Thickness of the wall, upper of two storeys"),
    "wall_slenderness": later("Height of the wall over its thickness"),
    "height_above_floor": later("Height of the first course above the floor"),
    "joint_lap": later("Lap of the joints, of a block’s length"),
    "footing_thickness": later("Thickness of the footing"),
    "first_lift_strength": later("Concrete of the first lift"),
    "respirable_silica": later("Fine silica dust in the air"),
    "soluble_chromium_6": later("Soluble chromium(VI) in the cement"),
}


def property_words(key: str) -> str:
    """What a clause measures; the key in plain words where a rule of one's own names a new property.

    >>> property_words("erosion_rate"), property_words("roots_in_a_spadeful")
    ('Erosion under a spray', 'Roots in a spadeful')
    """
    known = PROPERTIES.get(key)
    return key.replace("_", " ").capitalize() if known is None else tr(known)


def condition_words(key: str) -> str:
    """How it is tested; empty where nothing is said."""
    return tr(CONDITIONS[key]) if key in CONDITIONS else key.replace("_", " ")


def subject_words(key: str) -> str:
    """What it is measured on."""
    return tr(SUBJECTS[key]) if key in SUBJECTS else key.replace("_", " ")


def unit_words(key: str) -> str:
    """The sign of a unit of a rule; its word where it has none."""
    return tr(UNITS[key]) if key in UNITS else unit(key).label
