"""The operations a case can name. An adapter renames inputs, calls the engine and renames results; it computes nothing itself."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from itertools import repeat
from typing import Any, Literal

from loamwright.errors import InputError
from loamwright.verify.names import Given, Named

Results = Mapping[str, Any]
Check = Literal["value", "band"]


@dataclass(frozen=True, slots=True)
class Output:
    """One result: its name and unit, and whether the published figure is a value or a band the value should lie in.

    `family` marks a name that is completed by an input as written, such as "time_<diameter>".
    """

    named: Named
    check: Check = "value"
    family: str = ""


@dataclass(frozen=True, slots=True)
class Operation:
    """One thing the engine can be asked to do with a case.

    Attributes
    ----------
    key, topic, about : str
        Its name in a case file, the topic it belongs to, and what it does in words.
    inputs : tuple of Named
    outputs : tuple of Output
    run : callable
        Inputs in engine units to results in engine units.
    """

    key: str
    topic: str
    about: str
    inputs: tuple[Named, ...]
    outputs: tuple[Output, ...]
    run: Callable[[Given], Results]


def _each(kernel: Callable[..., Any], *columns: Any) -> Any:
    """A kernel of single numbers over lists of equal length; single numbers stay single and go with every row."""
    lengths = {len(column) for column in columns if isinstance(column, tuple)}
    if not lengths:
        return kernel(*columns)
    if len(lengths) > 1:
        raise InputError("case_lengths_differ", lengths=", ".join(map(str, sorted(lengths))))
    (length,) = lengths
    rows = zip(*(column if isinstance(column, tuple) else repeat(column, length) for column in columns), strict=True)
    return tuple(kernel(*row) for row in rows)


# --- phase ---


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

    return {"w": _each(one, x["wet_plus_tare"], x["dry_plus_tare"], x["tare"])}


def _dry_mass(x: Given) -> Results:
    from loamwright.engine.bench import moisture

    dry = _each(lambda mass, water: moisture.dry_mass(mass, water_content=water), x["air_dry"], x["w"])
    return {"dry": dry, "dry_g_printed": dry, "dry_g_formula": dry}


def _starting_water(x: Given) -> Results:
    from loamwright.engine.bench import density, moisture, pressing

    length, width, height = x["bag_box"]
    box = pressing.block_volume(length, block_width=width, block_height=height)
    return {
        "water_buckets": moisture.water_volume_to_start(x["dry_mix_buckets"], water_per_mix_volume=x["water_pct_by_volume"]),
        "cement_density": density.bulk_density(x["cement_bag"], volume=box),
    }


# --- sedimentation ---


def _settling_times(x: Given) -> Results:
    from loamwright.engine.soil import settling

    def one(diameter: float) -> float:
        velocity = settling.stokes_velocity(diameter, temperature=x["temp"], grain_density=x["particle_density"])
        return float(settling.settling_minutes(x["depth"], velocity=velocity))

    diameters = x["diameter"] if isinstance(x["diameter"], tuple) else (x["diameter"],)
    return {f"time_{label}": one(diameter) for label, diameter in zip(x.labels["diameter"], diameters, strict=True)}


def _effective_depth(x: Given) -> Results:
    from loamwright.engine.soil import settling

    return {"L": _each(lambda reading: float(settling.hydrometer_effective_depth(reading)), x["R"])}


# --- characteristic values and scatter ---


def _fractile_factors(x: Given) -> Results:
    from loamwright.engine.evidence import characteristic

    unknown = _each(lambda n: characteristic.kn_scatter_unknown(int(n)), x["n"])
    known = _each(lambda n: characteristic.kn_scatter_known(int(n)), x["n"])
    return {"kn_V_unknown": unknown, "kn_V_known": known, "formula_unknown": unknown}


def _tolerance_factor_of_fractile(x: Given) -> Results:
    from loamwright.engine.evidence import characteristic

    def one(n: float, content: float, confidence: float) -> float:
        return characteristic.tolerance_factor(int(n), content=content, confidence=confidence)

    return {"ks": _each(one, x["n"], x["p"], x["confidence"])}


def _tolerance_factors(x: Given) -> Results:
    from loamwright.engine.evidence import characteristic

    n, content, confidence = int(x["n"]), x["p"], x["confidence"]
    return {
        "k_exact": characteristic.tolerance_factor(n, content=content, confidence=confidence),
        "k_approximate": characteristic.tolerance_factor_approximate(n, content=content, confidence=confidence),
    }


def _small_sample(x: Given) -> Results:
    from loamwright.engine.evidence import characteristic

    return {**_spread(x), "characteristic": characteristic.small_sample_value(x["strength"])}


def _spread(x: Given) -> Results:
    from loamwright.engine.evidence import spread

    found = spread.spread(x["strength"])
    return {
        "mean": found.mean,
        "sd": found.standard_deviation,
        "cov": found.coefficient_of_variation,
        "least": found.least,
        "most": found.most,
    }


# --- outliers ---

_SIDES: Mapping[float | str, Literal["both", "most", "least"]] = {
    1.0: "most",
    2.0: "both",
    "max": "most",
    "min": "least",
    "both": "both",
}


def _side(value: float | str) -> Literal["both", "most", "least"]:
    if value not in _SIDES:
        raise InputError("case_value_not_read", name="side", found=str(value))
    return _SIDES[value]


def _grubbs_critical(x: Given) -> Results:
    from loamwright.engine.evidence import outliers

    def one(n: float, alpha: float, sides: float) -> float:
        return outliers.grubbs_critical(int(n), alpha=alpha, side=_side(sides))

    return {"G": _each(one, x["n"], x["alpha"], x["sides"])}


def _grubbs(x: Given) -> Results:
    from loamwright.engine.evidence import outliers

    found = outliers.grubbs(x["data"], alpha=x["alpha"], side=_side(x["side"]))
    return {"G": found.statistic, "critical": found.critical, "reject": found.value if found.flagged else "nothing"}


def _generalised_esd(x: Given) -> Results:
    from loamwright.engine.evidence import outliers

    found = outliers.generalised_esd(x["data"], alpha=x["alpha"], most_outliers=int(x["max_outliers"]))
    return {
        "R": found.statistics,
        "lambda_": found.criticals,
        "outliers": float(len(found.flagged)),
        "outlier_values": found.flagged,
    }


# --- blocks ---


def _shape_factor(table: str) -> Callable[[Given], Results]:
    def run(x: Given) -> Results:
        from loamwright.engine.block import shape

        return {"factor": _each(lambda ratio: shape.shape_factor(ratio, table=table).factor, x["height_to_thickness"])}

    return run


def _bending(x: Given) -> Results:
    from loamwright.engine.bench import bending

    return {"bending": bending.bending_strength(x["F"], span=x["span"], block_width=x["b"], thickness=x["h"])}


def _crushing(x: Given) -> Results:
    from loamwright.engine.bench import strength

    return {"crushing": strength.compressive_strength(x["F"], block_length=x["l"], block_width=x["b"])}


# --- blending ---


def _three_materials(x: Given) -> Results:
    from loamwright.engine.blend import grading

    names = ("coarse", "intermediate", "fine")
    shares = dict(zip(names, x["relative"], strict=True)) if len(x["relative"]) == len(names) else {}
    passing = grading.combined_passing({name: x[name] for name in names}, shares=shares)
    return {
        "combined_passing": tuple(map(float, passing)),
        "combined_retained": tuple(map(float, grading.individual_retained(passing))),
    }


def _one_sieve(x: Given) -> Results:
    from loamwright.engine.blend import grading

    if len(set(x["names"])) != len(x["names"]):
        raise InputError("case_value_not_read", name="names", found=", ".join(x["names"]))
    shares = dict(zip(x["names"], x["used"], strict=True))
    passing = {name: (value,) for name, value in zip(x["names"], x["passing_no200"], strict=True)}
    contributed = grading.contributed_passing(passing, shares=shares)
    (blend,) = (float(value) for value in grading.combined_passing(passing, shares=shares))
    return {
        "contributions": tuple(float(contributed[name][0]) for name in x["names"]),
        "blend_no200": blend,
        "desired": blend,
    }


# --- the table ---


def _outputs(*named: Named) -> tuple[Output, ...]:
    return tuple(Output(each) for each in named)


_MPA_LIST = Named("strength", "pressure", many=True, about="results of single blocks")
_SPREAD = (
    Named("mean", "pressure", "MPa", about="mean"),
    Named("sd", "pressure", "MPa", about="sample standard deviation, n - 1"),
    Named("cov", "share", about="coefficient of variation"),
    Named("least", "pressure", "MPa", about="lowest result"),
    Named("most", "pressure", "MPa", about="highest result"),
)
_PHASES = (
    Named("e", about="void ratio"),
    Named("n", about="porosity"),
    Named("S", "share", about="degree of saturation"),
)
_RATIO = Named("height_to_thickness", many=True, about="height in the direction of the load over the least size across it")
_FACTOR = Named("factor", many=True, about="shape factor, interpolated")


@cache
def operations() -> Mapping[str, Operation]:
    """Every operation by its key, by topic."""
    return {each.key: each for each in _OPERATIONS}


_OPERATIONS = (
    Operation(
        "phases_of_unit_weight",
        "phase",
        "Dry unit weight, void ratio, porosity and saturation from moist unit weight",
        (
            Named("moist_unit_weight", "unit_weight", about="unit weight with its water"),
            Named("w", "share", about="water content on dry mass"),
            Named("Gs", about="specific gravity of the grains"),
        ),
        _outputs(Named("dry_unit_weight", "unit_weight", about="unit weight without its water"), *_PHASES),
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
        _outputs(
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
        _outputs(Named("w", "share", many=True, about="water content")),
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
        _outputs(
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
        _outputs(Named("water_buckets", about="buckets of water"), Named("cement_density", "density", about="mass over volume")),
        _starting_water,
    ),
    Operation(
        "settling_time",
        "sedimentation",
        "Time a grain needs to fall through a depth of still water, by Stokes' law",
        (
            Named("temp", "temperature", about="water temperature"),
            Named("depth", "length", about="depth"),
            Named("particle_density", "density", about="density of the grain"),
            Named("diameter", "length", many=True, about="grain diameter"),
        ),
        (Output(Named("time", "duration", "min", about="time, one for each diameter as written"), family="diameter"),),
        _settling_times,
    ),
    Operation(
        "hydrometer_effective_depth",
        "hydrometer",
        "Depth at which a 152H hydrometer measures",
        (Named("R", many=True, about="reading in g/l"),),
        _outputs(Named("L", "length", many=True, about="effective depth")),
        _effective_depth,
    ),
    Operation(
        "fractile_factor_en1990",
        "characteristic",
        "Factor k_n of the 5 % characteristic value by EN 1990 annex D",
        (Named("n", many=True, about="number of results"),),
        _outputs(
            Named("kn_V_unknown", many=True, about="scatter known from these results alone"),
            Named("kn_V_known", many=True, about="coefficient of variation known beforehand"),
            Named("formula_unknown", many=True, about="t(0.95, n - 1) sqrt(1 + 1/n)"),
        ),
        _fractile_factors,
    ),
    Operation(
        "tolerance_factor_of_fractile",
        "characteristic",
        "One-sided tolerance factor of a low fractile",
        (
            Named("n", many=True, about="number of results"),
            Named("p", "share", "below", about="share of results below the value"),
            Named("confidence", "share", "fraction", about="confidence"),
        ),
        _outputs(Named("ks", many=True, about="factor of the standard deviation")),
        _tolerance_factor_of_fractile,
    ),
    Operation(
        "tolerance_factor_of_content",
        "characteristic",
        "One-sided tolerance factor of a content, exact and by the handbook's approximation",
        (
            Named("n", about="number of results"),
            Named("p", "share", "fraction", about="content: share of results on the safe side"),
            Named("confidence", "share", "fraction", about="confidence"),
        ),
        _outputs(Named("k_exact", about="noncentral t"), Named("k_approximate", about="handbook approximation")),
        _tolerance_factors,
    ),
    Operation(
        "small_sample_value",
        "characteristic",
        "Characteristic value of a small sample: its lowest result, lowered by its scatter",
        (_MPA_LIST,),
        _outputs(*_SPREAD, Named("characteristic", "pressure", "MPa", about="characteristic value")),
        _small_sample,
    ),
    Operation(
        "spread_of_results",
        "block-tests",
        "Mean, standard deviation and coefficient of variation",
        (_MPA_LIST,),
        _outputs(*_SPREAD),
        _spread,
    ),
    Operation(
        "grubbs_critical",
        "outlier",
        "Critical value of the largest normed residual",
        (
            Named("n", many=True, about="number of results"),
            Named("alpha", about="chance of flagging good results"),
            Named("sides", about="1 or 2"),
        ),
        _outputs(Named("G", many=True, about="critical value")),
        _grubbs_critical,
    ),
    Operation(
        "grubbs_test",
        "outlier",
        "Grubbs' test of the value farthest out",
        (
            Named("data", many=True, about="results in any one unit"),
            Named("alpha", about="chance of flagging good results"),
            Named("side", shape="text", about="max, min or both"),
        ),
        _outputs(
            Named("G", about="statistic"),
            Named("critical", about="critical value"),
            Named("reject", about="the flagged value, or the word nothing"),
        ),
        _grubbs,
    ),
    Operation(
        "generalised_esd",
        "outlier",
        "Generalised extreme studentised deviate test",
        (
            Named("data", many=True, about="results in any one unit"),
            Named("alpha", about="chance of flagging good results"),
            Named("max_outliers", about="most outliers looked for"),
        ),
        _outputs(
            Named("R", many=True, about="statistics, step by step"),
            Named("lambda_", many=True, about="critical values, step by step"),
            Named("outliers", about="number flagged"),
            Named("outlier_values", many=True, about="flagged values, farthest first"),
        ),
        _generalised_esd,
    ),
    Operation(
        "shape_factor_krefeld",
        "block-tests",
        "Factor from strength as crushed to unconfined strength, Krefeld's table",
        (_RATIO,),
        _outputs(_FACTOR),
        _shape_factor("krefeld"),
    ),
    Operation(
        "shape_factor_heathcote_jankulovski",
        "block-tests",
        "Factor from strength as crushed to unconfined strength, table of Heathcote and Jankulovski",
        (_RATIO,),
        _outputs(_FACTOR),
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
        _outputs(Named("bending", "pressure", about="bending strength")),
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
        _outputs(Named("crushing", "pressure", about="strength")),
        _crushing,
    ),
    Operation(
        "combine_three_materials",
        "blending",
        "Grading of three materials combined by their shares",
        (
            Named("coarse", "share", "pct", many=True, about="passing, sieve by sieve"),
            Named("intermediate", "share", "pct", many=True, about="passing, sieve by sieve"),
            Named("fine", "share", "pct", many=True, about="passing, sieve by sieve"),
            Named("relative", "share", "fraction", many=True, about="shares of coarse, intermediate and fine"),
            Named("sieve_in", shape="text", many=True, about="names of the sieves, not computed with", optional=True),
        ),
        _outputs(
            Named("combined_passing", "share", "pct", many=True, about="passing of the blend"),
            Named("combined_retained", "share", "pct", many=True, about="retained on each sieve"),
        ),
        _three_materials,
    ),
    Operation(
        "combine_on_one_sieve",
        "blending",
        "What each material adds to the passing of a blend on one sieve",
        (
            Named("names", shape="text", many=True, about="names of the materials"),
            Named("passing_no200", "share", "pct", many=True, about="passing of each"),
            Named("used", "share", many=True, about="share of each in the blend"),
        ),
        (
            *_outputs(
                Named("contributions", "share", "pct", many=True, about="what each adds"),
                Named("blend_no200", "share", "pct", about="passing of the blend"),
            ),
            Output(Named("desired", "share", "pct", many=True, about="least and most the blend should pass"), "band"),
        ),
        _one_sieve,
    ),
)
