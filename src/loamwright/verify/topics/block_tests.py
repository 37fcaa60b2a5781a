"""Blocks broken, and the scatter of their results."""

from collections.abc import Callable

from loamwright.verify.names import Given, Named
from loamwright.verify.operation import Operation, Results, each, outputs


def spread_of(x: Given) -> Results:
    """Mean, standard deviation, coefficient of variation, least and most of single results."""
    from loamwright.engine.evidence import spread

    found = spread.spread(x["strength"])
    return {
        "mean": found.mean,
        "sd": found.standard_deviation,
        "cov": found.coefficient_of_variation,
        "least": found.least,
        "most": found.most,
    }


def _shape_factor(table: str) -> Callable[[Given], Results]:
    def run(x: Given) -> Results:
        from loamwright.engine.block import shape

        return {"factor": each(lambda ratio: shape.shape_factor(ratio, table=table).factor, x["height_to_thickness"])}

    return run


def _bending(x: Given) -> Results:
    from loamwright.engine.bench import bending

    return {"bending": bending.bending_strength(x["F"], span=x["span"], block_width=x["b"], thickness=x["h"])}


def _crushing(x: Given) -> Results:
    from loamwright.engine.bench import strength

    return {"crushing": strength.compressive_strength(x["F"], block_length=x["l"], block_width=x["b"])}


def _spray(x: Given) -> Results:
    from loamwright.engine.block import erosion

    return {"index": each(lambda rate: float(erosion.erodibility_index(rate).index), x["depth_mm_per_h"])}


def _drip(x: Given) -> Results:
    from loamwright.engine.block import erosion

    return {"index": each(lambda depth: float(erosion.drip_index(depth).index), x["pit"])}


def _absorption(x: Given) -> Results:
    from loamwright.engine.block import absorption

    return {"absorption": each(lambda wet, dry: absorption.water_absorption(wet, dry_mass=dry), x["wet"], x["dry"])}


def _capillary(x: Given) -> Results:
    from loamwright.engine.block import absorption, size

    area = size.gross_area(x["l"], block_width=x["b"])
    found = absorption.capillary_coefficient(x["before"], block_mass_after=x["after"], contact_area=area, contact_minutes=x["t"])
    return {"Cb": found}


def _brushing(x: Given) -> Results:
    from loamwright.engine.block import brushing

    bound = brushing.bound_water(x["soil_group"])
    corrected = brushing.corrected_dry_mass(x["final_dry"], bound_water=bound)
    return {"corrected": corrected, "loss": brushing.brushing_loss(x["original_dry"], corrected_dry_mass=corrected)}


def _abrasion(x: Given) -> Results:
    from loamwright.engine.block import erosion, size

    area = size.gross_area(x["l"], block_width=x["b"])
    return {"Ca": erosion.abrasion_coefficient(area, block_mass_before=x["before"], block_mass_after=x["after"])}


def _splitting(x: Given) -> Results:
    from loamwright.engine.block import splitting

    return {"splitting": splitting.splitting_strength(x["F"], split_length=x["L"], split_depth=x["D"])}


_BEFORE = Named("before", "mass", about="mass before")
_AFTER = Named("after", "mass", about="mass after")
_FACE = (Named("l", "length", about="length of the face"), Named("b", "length", about="width of the face"))
RESULTS = Named("strength", "pressure", many=True, about="results of single blocks")
SPREAD = (
    Named("mean", "pressure", "MPa", about="mean"),
    Named("sd", "pressure", "MPa", about="sample standard deviation, n - 1"),
    Named("cov", "share", about="coefficient of variation"),
    Named("least", "pressure", "MPa", about="lowest result"),
    Named("most", "pressure", "MPa", about="highest result"),
)
_RATIO = Named("height_to_thickness", many=True, about="height in the direction of the load over the least size across it")
_FACTOR = Named("factor", many=True, about="shape factor, interpolated")

OPERATIONS = (
    Operation(
        "spread_of_results",
        "block-tests",
        "Mean, standard deviation and coefficient of variation",
        (RESULTS,),
        outputs(*SPREAD),
        spread_of,
    ),
    Operation(
        "shape_factor_krefeld",
        "block-tests",
        "Factor from strength as crushed to unconfined strength, Krefeld's table",
        (_RATIO,),
        outputs(_FACTOR),
        _shape_factor("krefeld"),
    ),
    Operation(
        "shape_factor_heathcote_jankulovski",
        "block-tests",
        "Factor from strength as crushed to unconfined strength, table of Heathcote and Jankulovski",
        (_RATIO,),
        outputs(_FACTOR),
        _shape_factor("heathcote-jankulovski"),
    ),
    Operation(
        "bending_strength",
        "block-tests",
        "Three-point bending strength, simple beam",
        (
            Named("F", "force", about="load at the middle"),
            Named("span", "length", about="between the bars"),
            Named("b", "length", about="width"),
            Named("h", "length", about="thickness in the direction of the load"),
        ),
        outputs(Named("bending", "pressure", about="bending strength")),
        _bending,
    ),
    Operation(
        "crushing_strength",
        "block-tests",
        "Crushing strength as tested, on gross area",
        (
            Named("F", "force", about="load when it broke"),
            Named("l", "length", about="length under load"),
            Named("b", "length", about="width under load"),
        ),
        outputs(Named("crushing", "pressure", about="strength")),
        _crushing,
    ),
    Operation(
        "spray_index",
        "block-tests",
        "Erodibility index by the depth a spray wears in an hour",
        (Named("depth_mm_per_h", many=True, about="depth worn in an hour, in mm"),),
        outputs(Named("index", many=True, about="index, 1 best to 5 failed")),
        _spray,
    ),
    Operation(
        "drip_index",
        "block-tests",
        "Erodibility index by the pit under a drip",
        (Named("pit", "length", many=True, about="depth of the pit"),),
        outputs(Named("index", many=True, about="index, 2 best to 5 failed")),
        _drip,
    ),
    Operation(
        "water_absorption",
        "block-tests",
        "Water taken up by a block over its dry mass",
        (
            Named("wet", "mass", many=True, about="block out of the water"),
            Named("dry", "mass", many=True, about="block dried before"),
        ),
        outputs(Named("absorption", "share", many=True, about="absorption")),
        _absorption,
    ),
    Operation(
        "capillary_coefficient",
        "block-tests",
        "Capillary coefficient, 100 M over face and root of time, in g, cm² and min",
        (_BEFORE, _AFTER, *_FACE, Named("t", "duration", about="time in the water")),
        outputs(Named("Cb", about="coefficient in g/(100 cm² √min)")),
        _capillary,
    ),
    Operation(
        "brushing_loss",
        "block-tests",
        "Loss by brushing after cycles, freed of the water that cement bound",
        (
            Named("original_dry", "mass", about="dry mass as pressed"),
            Named("final_dry", "mass", about="dried in the oven after the last cycle"),
            Named("soil_group", shape="text", about="road group of the soil, A-1 to A-7"),
        ),
        outputs(Named("corrected", "mass", about="final mass freed of bound water"), Named("loss", "share", about="loss")),
        _brushing,
    ),
    Operation(
        "abrasion_coefficient",
        "block-tests",
        "Area brushed for each gram that came off",
        (_BEFORE, _AFTER, *_FACE),
        outputs(Named("Ca", about="coefficient in cm²/g")),
        _abrasion,
    ),
    Operation(
        "splitting_strength",
        "block-tests",
        "Tensile strength by splitting, 2 F/(π L D)",
        (
            Named("F", "force", about="load when it split"),
            Named("L", "length", about="length of the strip"),
            Named("D", "length", about="from strip to strip"),
        ),
        outputs(Named("splitting", "pressure", about="strength")),
        _splitting,
    ),
)
