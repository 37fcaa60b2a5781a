"""Which stabiliser and how much: tables of road building, lime by pH, screening limits."""

from loamwright.verify.names import Given, Named
from loamwright.verify.operation import Operation, Results, each, outputs

# How a manual words its screening limits, and the rows that hold them.
_GATES = {
    "organic matter max %": "ufc-organic",
    "soil pH min": "ufc-ph",
    "soil-cement pH after 15 min min": "ufc-soil-cement-ph",
    "sulphate max %": "ufc-sulfate",
}


def _suitable(x: Given) -> Results:
    from loamwright.engine.soil import plasticity, stabiliser_choice, uscs

    grading = uscs.gravel_sand_fines(passing_4_75=x["passing_no4"], passing_0_075=x["passing_no200"])
    index = plasticity.plasticity_index(x["LL"], plastic_limit=x["PL"])
    group = uscs.uscs_group(grading, fines=uscs.Fines(x["LL"], index))
    found = stabiliser_choice.suitable(
        group.symbol, fines=grading.fines, plasticity_index=index, liquid_limit=x["LL"], passing_4_75=x["passing_no4"]
    )
    return {
        "symbol": group.symbol,
        "area": found.area,
        "PI": index,
        "cement_PI_limit": stabiliser_choice.cement_index_limit(grading.fines),
        "cement_PI_limit_older": stabiliser_choice.cement_index_limit_older(grading.fines),
        "cement": found.cement,
        "lime": found.lime,
        "lime_cement_fly_ash": found.lime_cement_fly_ash,
        "bitumen_or_polymer": found.bitumen,
    }


def _first_trial(x: Given) -> Results:
    from loamwright.engine.soil import stabiliser_choice

    return {"cement": each(stabiliser_choice.first_trial_cement, x["groups"])}


def _pavement(x: Given) -> Results:
    from loamwright.engine.soil import stabiliser_choice

    return {"strength": each(stabiliser_choice.pavement_strength, x["layer"])}


def _of_whole(x: Given) -> Results:
    from loamwright.engine.soil import stabiliser_choice

    whole = stabiliser_choice.cement_of_whole(x["cement_on_fraction"], passing_0_425=x["passing_no40"])
    return {"cement_on_total": whole}


def _lime(x: Given) -> Results:
    from loamwright.engine.soil import lime_demand

    return {"lime_requirement": lime_demand.lime_demand(x["lime"], phs=x["pH"]).lime_of_soil}


def _limits(x: Given) -> Results:
    from loamwright import tables

    table = tables.load("salt_limits", required=("about", "bound", "value", "unit", "extract", "who", "says"))
    return {"value": each(lambda limit: table[_GATES[limit]]["value"], x["limit"])}


def _ranges(x: Given) -> Results:
    from loamwright.engine.soil import stabiliser_choice

    found = each(stabiliser_choice.cement_range, x["groups"])
    return {
        "range": tuple((one.least, one.most) for one in found),
        "moisture_density_trial": tuple(one.first for one in found),
    }


_GROUPS = Named("groups", shape="text", many=True, about="groups of soils")

OPERATIONS = (
    Operation(
        "stabilisers_allowed",
        "stabiliser",
        "Which stabilisers a road manual's table allows for a soil",
        (
            Named("passing_no4", "share", "pct", about="passing 4.75 mm"),
            Named("passing_no200", "share", "pct", about="passing 0.075 mm"),
            Named("LL", "share", "pct", about="liquid limit"),
            Named("PL", "share", "pct", about="plastic limit"),
        ),
        outputs(
            Named("symbol", shape="text", about="unified group"),
            Named("area", shape="text", about="area of soils"),
            Named("PI", "share", "pct", about="plasticity index"),
            Named("cement_PI_limit", "share", "pct", about="limit of the index for cement, copy of 2020"),
            Named("cement_PI_limit_older", "share", "pct", about="the same in older editions"),
            Named("cement", about="whether cement is allowed"),
            Named("lime", about="whether lime is allowed"),
            Named("lime_cement_fly_ash", about="whether the three together are allowed"),
            Named("bitumen_or_polymer", about="whether bitumen or polymer is allowed"),
        ),
        _suitable,
    ),
    Operation(
        "first_trial_cement",
        "stabiliser",
        "Cement of a first trial by unified group",
        (_GROUPS,),
        outputs(Named("cement", "share", many=True, about="cement over dry soil")),
        _first_trial,
    ),
    Operation(
        "pavement_strength",
        "stabiliser",
        "Least strength of stabilised pavement layers",
        (Named("layer", shape="text", many=True, about="which layer"),),
        outputs(Named("strength", "pressure", many=True, about="least unconfined strength")),
        _pavement,
    ),
    Operation(
        "cement_of_whole",
        "stabiliser",
        "Cement on the whole soil from cement on what passes 0.425 mm",
        (
            Named("passing_no40", "share", "fraction", about="passing 0.425 mm"),
            Named("cement_on_fraction", "share", "fraction", about="cement over that fraction"),
        ),
        outputs(Named("cement_on_total", "share", about="cement over the whole dry soil")),
        _of_whole,
    ),
    Operation(
        "lime_by_ph",
        "stabiliser",
        "Least lime that brings a slurry to pH 12.4",
        (
            Named("lime", "share", many=True, about="lime over dry soil of each bottle"),
            Named("pH", many=True, about="pH of each bottle at 25 °C"),
        ),
        outputs(Named("lime_requirement", "share", about="least lime that is enough")),
        _lime,
    ),
    Operation(
        "screening_limits",
        "stabiliser",
        "Limits of a manual before any cement or lime",
        (Named("limit", shape="text", many=True, about="which limit, in its words"),),
        outputs(Named("value", many=True, about="the limit as it is printed")),
        _limits,
    ),
    Operation(
        "cement_by_road_group",
        "stabiliser",
        "Usual cement of soil-cement by road group",
        (_GROUPS,),
        outputs(
            Named("range", "share", many=True, about="least and most, of each group"),
            Named("moisture_density_trial", "share", many=True, about="cement of the first density test"),
        ),
        _ranges,
    ),
)
