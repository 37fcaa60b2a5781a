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
)
