"""Compaction: points, the top of their curve, the line without air."""

from typing import Any

from loamwright.verify.names import Given, Named
from loamwright.verify.operation import Operation, Results, each, outputs


def _curve_of_masses(x: Given) -> Results:
    from loamwright.engine.bench import density, phases

    def one(mass: float, water: float) -> float:
        return phases.dry_density(density.bulk_density(mass, volume=x["mould"]), water_content=water)

    return _curve(each(one, x["wet_mass"], x["water"]), x["water"])


def _curve_of_densities(x: Given) -> Results:
    return _curve(x["dry_density"], x["water"])


def _curve_of_tins(x: Given) -> Results:
    from loamwright.engine.bench import density, moisture
    from loamwright.engine.soil import compaction

    def content(wet: float, dry: float, tare: float) -> float:
        return moisture.water_content(wet, dry_mass=dry, tare_mass=tare)

    def one(filled: float, water: float) -> float:
        return density.loose_dry_density(filled, tare_mass=x["mould_mass"], pail_volume=x["mould"], water_content=water)

    waters = each(content, x["wet_plus_tare"], x["dry_plus_tare"], x["tare"])
    densities = each(one, x["filled"], waters)
    beyond = compaction.impossible_points(densities, water_contents=waters, specific_gravity=x["Gs"])
    return {**_curve(densities, waters), "water": waters, "points_without_air": len(beyond)}


def _curve(densities: tuple[float, ...], waters: tuple[float, ...]) -> dict[str, Any]:
    from loamwright.engine.soil import compaction_curve

    top = compaction_curve.compaction_peak(densities, water_contents=waters)
    point = compaction_curve.compaction_peak(densities, water_contents=waters, form="highest_point")
    return {
        "dry_density": densities,
        "OMC_parabola": top.optimum_water_content,
        "MDD_parabola": top.most_dry_density,
        "OMC_published_peak": point.optimum_water_content,
        "OMC_published": point.optimum_water_content,
        "peak_point_w": point.optimum_water_content,
        "MDD_published_peak": point.most_dry_density,
        "MDD_published": point.most_dry_density,
    }


def _without_air(x: Given) -> Results:
    from loamwright.engine.bench import phases
    from loamwright.engine.soil import compaction

    densities = each(lambda water: compaction.zero_air_density(water, specific_gravity=x["Gs"]), x["w"])
    return {"zav_density": densities, "zav_unit_weight": each(phases.unit_weight, densities)}


def _effort(x: Given) -> Results:
    from loamwright.engine.soil import compaction

    def one(key: str) -> float:
        row = compaction.efforts()[key]
        return compaction.compaction_effort(
            row["rammer_mass"],
            rammer_drop=row["drop"],
            blows_per_layer=row["blows"],
            layers=row["layers"],
            mould_volume=row["mould_volume"],
        )

    return {"effort_kJ_per_m3": each(one, x["efforts"])}


_WATER = Named("water", "share", many=True, about="water content of each point")
_MOULD = Named("mould", "volume", about="volume of the mould")
_TOP = (
    Named("dry_density", "density", many=True, about="dry density of each point"),
    Named("OMC_parabola", "share", "pct", about="optimum by a parabola of least squares"),
    Named("MDD_parabola", "density", about="greatest dry density by that parabola"),
    Named("OMC_published_peak", "share", "pct", about="water content of the densest point"),
    Named("OMC_published", "share", "pct", about="the same"),
    Named("peak_point_w", "share", "pct", about="the same"),
    Named("MDD_published_peak", "density", about="dry density of the densest point"),
    Named("MDD_published", "density", about="the same"),
)

OPERATIONS = (
    Operation(
        "compaction_curve_of_masses",
        "proctor",
        "Dry densities and the top of the curve from moist masses in one mould",
        (_WATER, _MOULD, Named("wet_mass", "mass", many=True, about="moist soil of each point")),
        outputs(*_TOP),
        _curve_of_masses,
    ),
    Operation(
        "compaction_curve",
        "proctor",
        "The top of a curve from dry densities",
        (_WATER, Named("dry_density", "density", many=True, about="dry density of each point")),
        outputs(*_TOP),
        _curve_of_densities,
    ),
    Operation(
        "compaction_curve_of_tins",
        "proctor",
        "Dry densities, the top of the curve and points beyond the line without air from moulds and tins",
        (
            _MOULD,
            Named("mould_mass", "mass", about="empty mould"),
            Named("filled", "mass", many=True, about="mould with soil"),
            Named("tare", "mass", many=True, about="empty tin"),
            Named("wet_plus_tare", "mass", many=True, about="tin with damp soil"),
            Named("dry_plus_tare", "mass", many=True, about="tin with dry soil"),
            Named("Gs", about="specific gravity of the grains"),
        ),
        outputs(*_TOP, _WATER, Named("points_without_air", about="how many points lie beyond the line without air")),
        _curve_of_tins,
    ),
    Operation(
        "zero_air_voids",
        "proctor",
        "Density and unit weight of soil whose voids hold water only",
        (Named("Gs", about="specific gravity of the grains"), Named("w", "share", many=True, about="water content")),
        outputs(
            Named("zav_unit_weight", "unit_weight", many=True, about="dry unit weight without air"),
            Named("zav_density", "density", many=True, about="dry density without air"),
        ),
        _without_air,
    ),
    Operation(
        "compaction_effort",
        "proctor",
        "Work of a published effort over the volume it compacts",
        (Named("efforts", many=True, shape="text", about="keys of published efforts"),),
        outputs(Named("effort_kJ_per_m3", many=True, about="work over volume, kN·m/m³")),
        _effort,
    ),
)
