"""Limits of the fines and shrinkage."""

from loamwright.verify.names import Given, Named
from loamwright.verify.operation import Operation, Output, Results, each, outputs


def _flow_curve(x: Given) -> Results:
    from loamwright.engine.soil import liquid_limit

    waters = x["water"]
    fitted = liquid_limit.liquid_limit_flow_curve(waters, blows=x["blows"])
    found: dict[str, object] = {
        "LL_least_squares": fitted.liquid_limit,
        "flow_index_least_squares": fitted.slope,
        "must_flag_blows": fitted.rising,
    }
    if "PL" in x:
        found.update(_with_plastic(x, fitted.liquid_limit))
    return found


def _with_plastic(x: Given, fitted: float) -> Results:
    from loamwright.engine.soil import consistency, liquid_limit, plasticity

    by_hand = liquid_limit.liquid_limit_two_points(x["water"], blows=x["blows"])
    index = plasticity.plasticity_index(fitted, plastic_limit=x["PL"])
    index_by_hand = plasticity.plasticity_index(by_hand, plastic_limit=x["PL"])
    flow = liquid_limit.flow_index_of_ends(x["water"], blows=x["blows"])
    labels = x.labels["w"] if "w" in x else ()
    liquidity = {
        f"LI_at_{label}": consistency.liquidity_index(x["w"], plastic_limit=x["PL"], plasticity_index=index) for label in labels
    }
    return {
        **liquidity,
        "LL_published": by_hand,
        "two_point_LL_published": by_hand,
        "PI_least_squares": index,
        "PI_published": index_by_hand,
        "flow_index_published": flow,
        "toughness_index_published": consistency.toughness_index(index_by_hand, flow_index=flow),
    }


def _limits_of_masses(x: Given) -> Results:
    from loamwright.engine.bench import moisture
    from loamwright.engine.soil import consistency, liquid_limit, plasticity

    def one(wet: float, dry: float) -> float:
        return moisture.water_content(wet, dry_mass=dry)

    waters = each(one, x["ll_wet"], x["ll_dry"])
    threads = consistency.plastic_limit_threads(each(one, x["pl_wet"], x["pl_dry"]))
    fitted = liquid_limit.liquid_limit_flow_curve(waters, blows=x["blows"]).liquid_limit
    index = plasticity.plasticity_index(fitted, plastic_limit=threads.plastic_limit)
    return {"ll_water": waters, "PL": threads.plastic_limit, "LL_least_squares": fitted, "PI": index}


def _flow_curve_of_tins(x: Given) -> Results:
    from loamwright.engine.bench import moisture
    from loamwright.engine.soil import liquid_limit

    def one(wet: float, dry: float, tare: float) -> float:
        return moisture.water_content(wet, dry_mass=dry, tare_mass=tare)

    waters = each(one, x["wet_plus_tare"], x["dry_plus_tare"], x["tare"])
    fitted = liquid_limit.liquid_limit_flow_curve(waters, blows=x["blows"])
    return {"water": waters, "LL_least_squares": fitted.liquid_limit, "flow_index_least_squares": fitted.slope}


def _threads(x: Given) -> Results:
    from loamwright.engine.soil import consistency

    found = consistency.plastic_limit_threads(x["trial_water"])
    return {"PL": found.plastic_limit, "range": found.apart}


def _indices(x: Given) -> Results:
    from loamwright.engine.soil import consistency, plasticity

    index = plasticity.plasticity_index(x["LL"], plastic_limit=x["PL"])
    return {
        "PI": index,
        "LI": consistency.liquidity_index(x["w"], plastic_limit=x["PL"], plasticity_index=index),
        "CI": consistency.consistency_index(x["w"], liquid_limit=x["LL"], plasticity_index=index),
    }


def _pat(x: Given) -> Results:
    from loamwright.engine.soil import shrinkage

    found = shrinkage.shrinkage_limit(x["M_wet"], dry_mass=x["M_dry"], wet_volume=x["V_wet"], dry_volume=x["V_dry"])
    return {"SL": found.shrinkage_limit, "SR": found.shrinkage_ratio}


def _box(x: Given) -> Results:
    from loamwright.engine.soil import shrinkage

    length, *_ = x["box"]
    steps = [step for gap in x["gap"] for step in shrinkage.cement_steps(gap) if step.table == x["table"]]
    return {
        "ratio_soil_parts_per_cement": tuple(step.soil_parts for step in steps),
        "bands": tuple((step.gap_from, step.gap_to) for step in steps),
        "cement_of_loose_soil": tuple(step.per_loose_soil for step in steps),
        "linear_shrinkage": each(lambda gap: shrinkage.box_shrinkage(gap, wet_length=length), x["gap"]),
    }


def _bar(x: Given) -> Results:
    from loamwright.engine.soil import shrinkage

    return {"LS": each(lambda dry, wet: shrinkage.linear_shrinkage(dry, wet_length=wet), x["Ld"], x["L0"])}


_BLOWS = Named("blows", many=True, about="blows that closed the groove")
_FITTED = (
    Named("LL_least_squares", "share", "pct", about="liquid limit by the least-squares flow curve"),
    Named("flow_index_least_squares", "share", "pct", about="flow index of that curve"),
)

OPERATIONS = (
    Operation(
        "flow_curve",
        "liquid-limit",
        "Liquid limit by the flow curve and by two points; with a plastic limit the indices that follow",
        (
            _BLOWS,
            Named("water", "share", many=True, about="water content of each trial"),
            Named("PL", "share", "pct", about="plastic limit", optional=True),
            Named("w", "share", about="water content as it lies", optional=True),
        ),
        (
            *outputs(
                *_FITTED,
                Named("LL_published", "share", "pct", about="liquid limit between the two trials next to 25 blows"),
                Named("two_point_LL_published", "share", "pct", about="the same"),
                Named("PI_least_squares", "share", "pct", about="plasticity index with the fitted limit"),
                Named("PI_published", "share", "pct", about="plasticity index with the limit between two trials"),
                Named("flow_index_published", "share", "pct", about="flow index between fewest and most blows"),
                Named("toughness_index_published", about="plasticity index over flow index, both by hand"),
                Named("must_flag_blows", many=True, about="blows of trials wetter than one with fewer blows"),
            ),
            Output(Named("LI_at", about="liquidity index at a water content, with the fitted limit"), family="w"),
        ),
        _flow_curve,
    ),
    Operation(
        "limits_of_masses",
        "liquid-limit",
        "Liquid limit, plastic limit and plasticity index from masses without tare",
        (
            Named("ll_wet", "mass", many=True, about="damp paste of each trial"),
            Named("ll_dry", "mass", many=True, about="the same dried"),
            _BLOWS,
            Named("pl_wet", "mass", many=True, about="damp threads"),
            Named("pl_dry", "mass", many=True, about="the same dried"),
        ),
        outputs(
            Named("ll_water", "share", many=True, about="water content of each trial"),
            Named("PL", "share", "pct", about="plastic limit"),
            _FITTED[0],
            Named("PI", "share", "pct", about="plasticity index"),
        ),
        _limits_of_masses,
    ),
    Operation(
        "flow_curve_of_tins",
        "liquid-limit",
        "Liquid limit by the flow curve from tins weighed wet and dry",
        (
            Named("tare", "mass", many=True, about="empty tin"),
            Named("wet_plus_tare", "mass", many=True, about="tin with damp soil"),
            Named("dry_plus_tare", "mass", many=True, about="tin with dry soil"),
            _BLOWS,
        ),
        outputs(Named("water", "share", many=True, about="water content of each trial"), *_FITTED),
        _flow_curve_of_tins,
    ),
    Operation(
        "plastic_limit",
        "plastic-limit",
        "Plastic limit as the mean of threads, and how far they lie apart",
        (Named("trial_water", "share", many=True, about="water content of each thread"),),
        outputs(
            Named("PL", "share", "pct", about="plastic limit"), Named("range", "share", "pct", about="wettest less driest thread")
        ),
        _threads,
    ),
    Operation(
        "indices",
        "plastic-limit",
        "Plasticity, liquidity and consistency index from the limits and a water content",
        (
            Named("LL", "share", "pct", about="liquid limit"),
            Named("PL", "share", "pct", about="plastic limit"),
            Named("w", "share", "pct", about="water content as it lies"),
        ),
        outputs(
            Named("PI", "share", "pct", about="plasticity index"),
            Named("LI", "share", about="liquidity index"),
            Named("CI", "share", about="consistency index"),
        ),
        _indices,
    ),
    Operation(
        "shrinkage_limit",
        "shrinkage",
        "Shrinkage limit and ratio of a dried pat",
        (
            Named("V_wet", "volume", about="volume of the wet pat"),
            Named("M_wet", "mass", about="its mass"),
            Named("V_dry", "volume", about="volume of the dry pat"),
            Named("M_dry", "mass", about="its mass"),
        ),
        outputs(Named("SL", "share", about="shrinkage limit"), Named("SR", about="shrinkage ratio")),
        _pat,
    ),
    Operation(
        "shrinkage_box",
        "shrinkage",
        "Shrinkage in the long box, and what one classic table says of each gap",
        (
            Named("box", "length", many=True, about="inner length, width and depth"),
            Named("gap", "length", many=True, about="gap of each box"),
            Named("table", shape="text", about="key of the table"),
        ),
        outputs(
            Named("ratio_soil_parts_per_cement", many=True, about="loose soil to one of cement"),
            Named("bands", "length", many=True, about="band of the table each gap lies in"),
            Named("cement_of_loose_soil", "share", many=True, about="cement over loose soil by volume"),
            Named("linear_shrinkage", "share", many=True, about="gap over length"),
        ),
        _box,
    ),
    Operation(
        "linear_shrinkage",
        "shrinkage",
        "Linear shrinkage of bars",
        (Named("L0", "length", about="length of the mould"), Named("Ld", "length", many=True, about="length of each dry bar")),
        outputs(Named("LS", "share", many=True, about="linear shrinkage")),
        _bar,
    ),
)
