"""Grains falling through still water."""

from loamwright.verify.names import Given, Named
from loamwright.verify.operation import Operation, Output, Results, each, outputs


def _settling_times(x: Given) -> Results:
    from loamwright.engine.soil import settling

    def one(diameter: float) -> float:
        velocity = settling.stokes_velocity(diameter, temperature=x["temp"], grain_density=x["particle_density"])
        return float(settling.settling_minutes(x["depth"], velocity=velocity))

    diameters = x["diameter"] if isinstance(x["diameter"], tuple) else (x["diameter"],)
    return {f"time_{label}": one(diameter) for label, diameter in zip(x.labels["diameter"], diameters, strict=True)}


def _effective_depth(x: Given) -> Results:
    from loamwright.engine.soil import settling

    return {"L": each(lambda reading: float(settling.hydrometer_effective_depth(reading)), x["R"])}


def _hydrometer_table(x: Given) -> Results:
    from loamwright.engine.soil import hydrometer, sedimentation_tests, settling

    def corrected(reading: float) -> float:
        return float(hydrometer.corrected_reading(reading, blank_reading=x["zero_corr"], temperature_correction=x["temp_corr"]))

    def finer(reading: float) -> float:
        return float(sedimentation_tests.finer_by_152h(corrected(reading), grain_density=x["Gs"], dry_mass=x["Ws"]))

    def diameter(reading: float, minutes: float) -> float:
        depth = hydrometer.effective_depth_152h(reading, meniscus=x["meniscus_corr"])
        return float(settling.settled_diameter(depth, minutes=minutes, temperature=x["temp"], grain_density=x["Gs"]))

    readings = x["reading_R"]
    return {
        "Rcp": each(corrected, readings),
        "percent_finer": each(finer, readings),
        "D": each(diameter, readings, x["time"]),
    }


def _settled_diameter(x: Given) -> Results:
    from loamwright.engine.soil import hydrometer, settling

    size = settling.settled_diameter(x["L"], minutes=x["t"], temperature=x["temp"], grain_density=x["Gs"])
    return {"K": float(hydrometer.diameter_factor(x["temp"], grain_density=x["Gs"])), "D": float(size)}


def _of_total(x: Given) -> Results:
    from loamwright.engine.soil import sieving

    share = sieving.passing_of_whole(x["P_of_suspension_fraction"], coarse_share=x["retained_on_2mm"])
    return {"percent_of_total": share}


def _suspension_density(x: Given) -> Results:
    from loamwright.engine.soil import sedimentation_tests

    return {
        "fluid_density": sedimentation_tests.fluid_density(x["water_density_22C"], agent_density=x["agent_density"]),
        "suspension_density": sedimentation_tests.suspension_density(
            x["reading"], meniscus=x["meniscus_corr"], calibration_density=x["water_density_calibration"]
        ),
    }


def _diameter_factor(x: Given) -> Results:
    from loamwright.engine.soil import hydrometer

    def one(temperature: float, grain_density: float) -> float:
        return float(hydrometer.diameter_factor(temperature, grain_density=grain_density))

    return {"K": each(one, x["temp"], x["Gs"])}


def _correction_factor(x: Given) -> Results:
    from loamwright.engine.soil import hydrometer

    return {"a": each(hydrometer.hydrometer_correction_factor, x["Gs"])}


_GS = Named("Gs", "density", "kg_l", about="specific gravity of the grains, read as kg per litre")
_TEMPERATURE = Named("temp", "temperature", about="temperature of the suspension")

OPERATIONS = (
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
        outputs(Named("L", "length", many=True, about="effective depth")),
        _effective_depth,
    ),
    Operation(
        "hydrometer_table",
        "hydrometer",
        "Readings of a 152H to shares finer and sizes; depth and K computed, tables only listed",
        (
            Named("Ws", "mass", about="dry soil in one litre"),
            _GS,
            _TEMPERATURE,
            Named("meniscus_corr", about="added to a reading for the depth"),
            Named("zero_corr", about="reading in water with dispersant"),
            Named("temp_corr", about="added to a reading for the temperature"),
            Named("time", "duration", many=True, about="since the suspension came to rest"),
            Named("reading_R", many=True, about="readings in g/l"),
            Named("A_factor", about="K of the source's table, stated and not computed with", optional=True),
            Named(
                "L_cm_table", "length", "cm", many=True, about="depths of the source's table, not computed with", optional=True
            ),
        ),
        outputs(
            Named("Rcp", many=True, about="corrected reading"),
            Named("percent_finer", "share", "pct", many=True, about="share finer"),
            Named("D", "length", many=True, about="grain size"),
        ),
        _hydrometer_table,
    ),
    Operation(
        "settled_diameter",
        "hydrometer",
        "Grain that has just fallen past a depth, and the factor K",
        (
            _GS,
            _TEMPERATURE,
            Named("L", "length", about="effective depth"),
            Named("t", "duration", about="since the suspension came to rest"),
        ),
        outputs(Named("K", about="factor for cm and min"), Named("D", "length", about="grain size")),
        _settled_diameter,
    ),
    Operation(
        "passing_of_whole",
        "hydrometer",
        "Share of the whole sample, where a coarse part was taken off before",
        (
            Named("P_of_suspension_fraction", "share", "pct", about="share of what was in the cylinder"),
            Named("retained_on_2mm", "share", about="share of the whole that was taken off"),
        ),
        outputs(Named("percent_of_total", "share", "pct", about="share of the whole")),
        _of_total,
    ),
    Operation(
        "suspension_density",
        "hydrometer",
        "Density of a suspension and of its water with dispersant",
        (
            Named("reading", about="reading of a density hydrometer"),
            Named("meniscus_corr", about="added for the meniscus"),
            Named("water_density_calibration", "density", about="water the scale is made for"),
            Named("water_density_22C", "density", about="water at the temperature of the test"),
            Named("agent_density", "density", about="what the dispersant adds"),
            Named("t", "duration", about="stated, not computed with", optional=True),
        ),
        outputs(
            Named("fluid_density", "density", about="water with dispersant"),
            Named("suspension_density", "density", about="suspension"),
        ),
        _suspension_density,
    ),
    Operation(
        "diameter_factor",
        "hydrometer",
        "Factor K of the hydrometer test from temperature and grains",
        (_GS, Named("temp", "temperature", many=True, about="temperature of the suspension")),
        outputs(Named("K", many=True, about="factor for cm and min")),
        _diameter_factor,
    ),
    Operation(
        "hydrometer_correction_factor",
        "hydrometer",
        "Factor a of a 152H for the density of the grains",
        (Named("Gs", "density", "kg_l", many=True, about="specific gravity of the grains, read as kg per litre"),),
        outputs(Named("a", many=True, about="factor")),
        _correction_factor,
    ),
)
