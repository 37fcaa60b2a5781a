"""What is said of soil tests. Water against density."""

from collections.abc import Mapping

SAID: Mapping[str, str] = {
    "point_without_density": "Point {row} has neither a weighed mould nor a dry density. Add one of them; the other points count.",
    "mould_not_filled": "Point {row}: the full mould, {filled} kg, is not above the empty one. Are the two swapped?",
    "no_peak_within": "The curve does not turn between {driest_pct} and {wettest_pct} % of water, so no optimum can be read off. Make points "
    "further out on the side that is still rising.",
    "curve_by_parabola": "A parabola of least squares through {points} points; other forms stand in the table. The range is their scatter "
    "about it, and knows nothing of a form that does not fit.",
    "curve_few_points": "{have} points; {asked} or more are needed before scatter can be seen.",
    "curve_fits_badly": "The point at {water_pct} % lies {off} kg/m³ off the curve: either it is off, or the true curve is sharper than this form.",
    "point_without_air": "Points {points} lie to the right of the line without air: their water and grains would fill more than the volume.",
    "why_point_without_air": "It cannot be, so they are left out until settled. Look at the masses, the mould and the tins of these points.",
    "point_without_air_perhaps": "Points {points} lie to the right of the line without air, if the grains are as heavy as usual.",
    "why_point_without_air_perhaps": "They are computed with. Heavier grains would allow them: weigh the grains in a pycnometer, or look at "
    "these points again.",
    "stones_many": "{stones_pct} % of stones were left out; the correction is not meant for more than {most_pct} %.",
    "press_effort_unknown": "The gauge was not read, so it is not known at which pressure this curve holds.",
    "press_curve_says": "Under this press it packs best at {water_pct} % of water. A rammer's optimum is another.",
    "rammer_curve_says": "Its optimum under the rammer is {water_pct} %. A press works otherwise: its own optimum differs and falls as pressure "
    "rises, so begin the water ladder here and let the press tell.",
}
