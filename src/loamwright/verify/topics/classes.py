"""Texture classes, unified groups and road groups of soils."""

from typing import Any

from loamwright.verify.names import Given, Named
from loamwright.verify.operation import Operation, Results, each, outputs

# --- texture ---


def _triangle(x: Given) -> Results:
    from loamwright.engine.soil import usda

    return usda.whole_triangle()


def _textures(x: Given) -> Results:
    from loamwright.engine.soil import usda

    def one(sand: float, silt: float, clay: float) -> str:
        return usda.texture(sand, silt=silt, clay=clay)

    return {"texture": each(one, *zip(*x["sand_silt_clay"], strict=True))}


def _texture_without_gravel(x: Given) -> Results:
    from loamwright.engine.soil import usda

    fine = usda.without_gravel(x["gravel"], sand=x["sand"], silt=x["silt"], clay=x["clay"])
    found = usda.texture(fine[0], silt=fine[1], clay=fine[2])
    return {"modified": fine, "texture": found, "name_with_gravel": usda.name_with_gravel(found, gravel=x["gravel"])}


# --- unified ---


def _uscs(x: Given) -> Results:
    from loamwright.engine.soil import plasticity, uscs

    names = ("gravel", "sand", "fines", "passing_4_75", "passing_0_075", "retained_4_75", "retained_0_075")
    grading = uscs.gravel_sand_fines(**{name: x[name] for name in names if name in x})
    liquid, index = _limits(x)
    ratio = uscs.oven_ratio(x["LL_oven_dried"], liquid_limit=liquid) if liquid and "LL_oven_dried" in x else None
    organic = x["organic"] == "yes" if "organic" in x else ratio is not None and ratio < uscs.ORGANIC_RATIO
    fines = uscs.Fines(liquid, index, x.get("fines_class"), organic)
    shape = _shape(x)
    found = uscs.uscs_group(grading, fines=fines, shape=shape, d10=x.get("D10"))
    return {
        "symbol": found.symbol,
        "group_name": found.name,
        "fines": grading.fines,
        "sand": grading.sand,
        "Cu": None if shape is None else shape.uniformity,
        "Cc": None if shape is None else shape.curvature,
        "PI": index,
        "A_line_PI": None if liquid is None else plasticity.a_line(liquid),
        "ratio": ratio,
    }


def _limits(x: Given) -> tuple[float | None, float | None]:
    from loamwright.engine.soil import plasticity

    liquid = x.get("LL")
    if "PI" in x:
        return liquid, x["PI"]
    return liquid, plasticity.plasticity_index(liquid, plastic_limit=x["PL"]) if liquid is not None and "PL" in x else None


def _shape(x: Given) -> Any:
    from loamwright.engine.soil import uscs

    if "D10" in x:
        return uscs.shape_of_sizes(x["D10"], d30=x["D30"], d60=x["D60"])
    return uscs.Shape(x["Cu"], x["Cc"]) if "Cu" in x else None


def _chart(x: Given) -> Results:
    from loamwright.engine.soil import uscs

    found = each(lambda liquid, index: uscs.fine_symbol(liquid, plasticity_index=index), x["LL"], x["PI"])
    agree = [own == label for own, label in zip(found, x["labels"], strict=True)] if "labels" in x else []
    return {
        "symbol": found,
        "rows": float(len(agree)),
        "agree": float(agree.count(True)),
        "disagree": float(agree.count(False)),
    }


# --- roads ---


def _aashto(x: Given) -> Results:
    from loamwright.engine.soil import aashto

    liquid, index = _limits(x)
    assert liquid is not None and index is not None
    found = aashto.aashto_group(
        x["p200"],
        liquid_limit=liquid,
        plasticity_index=index,
        passing_0_425=x.get("p40"),
        passing_2=x.get("p10"),
    )
    return {
        "group": found.group,
        "group_index": float(found.group_index),
        "group_index_raw": found.group_index_raw,
        "group_index_current_form": float(found.group_index),
        "group_index_capped_old_form": float(found.group_index_capped),
    }


def _share(name: str, about: str, *, optional: bool = True, many: bool = False) -> Named:
    return Named(name, "share", "pct", about=about, optional=optional, many=many)


_LL, _PI = _share("LL", "liquid limit", optional=False), _share("PI", "plasticity index")
_PL = _share("PL", "plastic limit")
_TEXTURE = Named("texture", shape="text", many=True, about="class")

OPERATIONS = (
    Operation(
        "texture_triangle",
        "usda",
        "How many soils of whole per cents lie in each class",
        (Named("points", shape="text", about="which soils, not computed with"),),
        outputs(
            *(
                Named(name, about="soils in this class")
                for name in (
                    "sand",
                    "loamy sand",
                    "sandy loam",
                    "loam",
                    "silt loam",
                    "silt",
                    "sandy clay loam",
                    "clay loam",
                    "silty clay loam",
                    "sandy clay",
                    "silty clay",
                    "clay",
                )
            )
        ),
        _triangle,
    ),
    Operation(
        "texture_classes",
        "usda",
        "Texture class of each soil",
        (Named("sand_silt_clay", "share", "pct", rows=True, about="sand, silt and clay, one row a soil"),),
        outputs(_TEXTURE),
        _textures,
    ),
    Operation(
        "texture_without_gravel",
        "usda",
        "Texture class of what is finer than 2 mm, with the word for its gravel",
        tuple(_share(name, f"{name}, of the whole soil", optional=False) for name in ("gravel", "sand", "silt", "clay")),
        outputs(
            Named("modified", "share", "pct", many=True, about="sand, silt, clay of what is finer than 2 mm"),
            _TEXTURE,
            Named("name_with_gravel", shape="text", about="class with the word for its gravel"),
        ),
        _texture_without_gravel,
    ),
    Operation(
        "unified_group",
        "uscs",
        "Group symbol and name by D2487 from shares or sieves, limits, and the shape of the curve",
        (
            _share("gravel", "kept on 4.75 mm"),
            _share("sand", "between 4.75 and 0.075 mm"),
            _share("fines", "passing 0.075 mm"),
            _share("passing_4_75", "passing 4.75 mm"),
            _share("passing_0_075", "passing 0.075 mm"),
            _share("retained_4_75", "kept on 4.75 mm"),
            _share("retained_0_075", "kept on 0.075 mm and above"),
            _share("LL", "liquid limit, not dried"),
            _PL,
            _PI,
            _share("LL_oven_dried", "liquid limit after the oven"),
            Named("D10", "length", about="size of 10 % finer", optional=True),
            Named("D30", "length", about="size of 30 % finer", optional=True),
            Named("D60", "length", about="size of 60 % finer", optional=True),
            Named("Cu", about="uniformity", optional=True),
            Named("Cc", about="curvature", optional=True),
            Named("organic", shape="text", about="yes or no", optional=True),
            Named("fines_class", shape="text", about="silty, clayey or silty clay", optional=True),
        ),
        outputs(
            Named("symbol", shape="text", about="group symbol"),
            Named("group_name", shape="text", about="group name"),
            _share("fines", "passing 0.075 mm"),
            _share("sand", "sand"),
            Named("Cu", about="uniformity"),
            Named("Cc", about="curvature"),
            _PI,
            _share("A_line_PI", "plasticity index of the A-line"),
            Named("ratio", about="liquid limit oven-dried over not dried"),
        ),
        _uscs,
    ),
    Operation(
        "plasticity_chart",
        "uscs",
        "Symbols of fines on the plasticity chart, and how many printed labels they agree with",
        (
            _share("LL", "liquid limit", optional=False, many=True),
            _share("PI", "plasticity index", optional=False, many=True),
            Named("labels", shape="text", many=True, about="symbols as printed", optional=True),
        ),
        outputs(
            Named("symbol", shape="text", many=True, about="symbols"),
            Named("rows", about="labels compared"),
            Named("agree", about="labels that agree"),
            Named("disagree", about="labels that do not"),
        ),
        _chart,
    ),
    Operation(
        "road_group",
        "aashto",
        "Group and group index by M 145, in both forms",
        (
            _share("p200", "passing 0.075 mm", optional=False),
            _share("p40", "passing 0.425 mm"),
            _share("p10", "passing 2 mm"),
            _LL,
            _PL,
            _PI,
        ),
        outputs(
            Named("group", shape="text", about="group"),
            Named("group_index", about="group index, present form"),
            Named("group_index_raw", about="the same before rounding"),
            Named("group_index_current_form", about="group index, present form"),
            Named("group_index_capped_old_form", about="group index, older form with capped terms"),
        ),
        _aashto,
    ),
)
