"""Masses, volumes and water of moist soil."""

from loamwright.verify.names import Given, Named
from loamwright.verify.operation import Operation, Results, each, outputs


def _phases_of_unit_weight(x: Given) -> Results:
    from loamwright.engine.bench import phases

    density = phases.density_from_unit_weight(x["moist_unit_weight"])
    found = phases.phases(density, water_content=x["w"], specific_gravity=x["Gs"])
    return {
        "dry_unit_weight": phases.dry_unit_weight(x["moist_unit_weight"], water_content=x["w"]),
        "e": found.void_ratio,
        "n": found.porosity,
        "S": found.saturation,
    }


def _phases_of_volume(x: Given) -> Results:
    from loamwright.engine.bench import density, phases

    bulk = density.bulk_density(x["W"], volume=x["V"])
    found = phases.phases(bulk, water_content=x["w"], specific_gravity=x["Gs"])
    volumes = phases.phase_volumes(x["V"], void_ratio=found.void_ratio, saturation=found.saturation)
    return {
        "dry_unit_weight": found.dry_density,
        "e": found.void_ratio,
        "n": found.porosity,
        "S": found.saturation,
        "Vs": volumes.solids,
        "Vw": volumes.water,
        "Va": volumes.air,
    }


def _water_content(x: Given) -> Results:
    from loamwright.engine.bench import moisture

    def one(wet: float, dry: float, tare: float) -> float:
        return moisture.water_content(wet, dry_mass=dry, tare_mass=tare)

    return {"w": each(one, x["wet_plus_tare"], x["dry_plus_tare"], x["tare"])}


def _dry_mass(x: Given) -> Results:
    from loamwright.engine.bench import moisture

    dry = each(lambda mass, water: moisture.dry_mass(mass, water_content=water), x["air_dry"], x["w"])
    return {"dry": dry, "dry_g_printed": dry, "dry_g_formula": dry}


def _starting_water(x: Given) -> Results:
    from loamwright.engine.bench import density, moisture, pressing

    length, width, height = x["bag_box"]
    box = pressing.block_volume(length, block_width=width, block_height=height)
    return {
        "water_buckets": moisture.water_volume_to_start(x["dry_mix_buckets"], water_per_mix_volume=x["water_pct_by_volume"]),
        "cement_density": density.bulk_density(x["cement_bag"], volume=box),
    }


_PHASES = (
    Named("e", about="void ratio"),
    Named("n", about="porosity"),
    Named("S", "share", about="degree of saturation"),
)

OPERATIONS = (
    Operation(
        "phases_of_unit_weight",
        "phase",
        "Dry unit weight, void ratio, porosity and saturation from moist unit weight",
        (
            Named("moist_unit_weight", "unit_weight", about="unit weight with its water"),
            Named("w", "share", about="water content on dry mass"),
            Named("Gs", about="specific gravity of the grains"),
        ),
        outputs(Named("dry_unit_weight", "unit_weight", about="unit weight without its water"), *_PHASES),
        _phases_of_unit_weight,
    ),
    Operation(
        "phases_of_volume",
        "phase",
        "Dry density, void ratio, saturation and the volumes of solids, water and air in a weighed volume",
        (
            Named("W", "mass", about="mass of the moist soil"),
            Named("V", "volume", about="its volume"),
            Named("w", "share", about="water content on dry mass"),
            Named("Gs", about="specific gravity of the grains"),
        ),
        outputs(
            Named("dry_unit_weight", "density", about="dry mass over volume"),
            *_PHASES,
            Named("Vs", "volume", about="volume of solids"),
            Named("Vw", "volume", about="volume of water"),
            Named("Va", "volume", about="volume of air"),
        ),
        _phases_of_volume,
    ),
    Operation(
        "water_content",
        "phase",
        "Water content on dry mass from tins weighed wet and dry",
        (
            Named("wet_plus_tare", "mass", many=True, about="tin with moist soil"),
            Named("dry_plus_tare", "mass", many=True, about="tin with dried soil"),
            Named("tare", "mass", many=True, about="empty tin"),
        ),
        outputs(Named("w", "share", many=True, about="water content")),
        _water_content,
    ),
    Operation(
        "dry_mass",
        "phase",
        "Dry mass of moist or air-dry soil",
        (
            Named("air_dry", "mass", many=True, about="mass as weighed"),
            Named("w", "share", many=True, about="water content on dry mass"),
        ),
        outputs(
            Named("dry", "mass", many=True, about="dry mass"),
            Named("dry_g_printed", "mass", "g", many=True, about="the same, as a source prints it"),
            Named("dry_g_formula", "mass", "g", many=True, about="the same, by the formula"),
        ),
        _dry_mass,
    ),
    Operation(
        "starting_water_and_box_density",
        "phase",
        "Water to begin with as a share of the loose volume of the dry mix, and the density of a bag that fills a box",
        (
            Named("dry_mix_buckets", about="buckets of dry mix"),
            Named("water_pct_by_volume", "share", "pct", about="water over loose volume"),
            Named("cement_bag", "mass", about="mass of a bag"),
            Named("bag_box", "length", many=True, about="three inner sizes of the box that one bag fills"),
            Named("press_compaction_ratio", about="stated by the source, not computed with", optional=True),
        ),
        outputs(Named("water_buckets", about="buckets of water"), Named("cement_density", "density", about="mass over volume")),
        _starting_water,
    ),
)
