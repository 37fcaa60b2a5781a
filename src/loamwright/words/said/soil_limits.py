"""What is said of soil tests. Limits, shrinkage."""

from collections.abc import Mapping

SAID: Mapping[str, str] = {
    # rows of tins
    "row_without_water": "Row {row} has neither a damp and a dry tin nor a water content. Add one of them; the other rows count.",
    # liquid limit
    "flow_curve_not_falling": "The paste with more blows is not drier: {blows} blows go with {water_contents_pct} % of water. Fewer "
    "blows mean wetter paste, so no limit can be read off. Are blows and tins in the right rows?",
    "flow_curve_rises": "The paste that took {blows} blows is wetter than one that took fewer.",
    "why_flow_curve_rises": "Wetter paste closes with fewer blows, so one of the two is off. All trials are computed with until you "
    "settle it; dry that tin again or make another trial.",
    "cone_line_not_rising": "The cone did not sink deeper into wetter paste: {penetrations} mm go with {water_contents_pct} % of water, so "
    "no limit can be read off. Are depths and tins in the right rows?",
    "cone_line_falls": "The cone sank {penetrations} mm into paste that is drier than one it sank less into.",
    "why_cone_line_falls": "It should sink deeper the wetter the paste, so one of the two is off. All trials are computed with until "
    "you settle it.",
    "blows_on_one_side": "All trials ({blows} blows) lie on one side of 25: a line between two needs one on either side.",
    "unknown_cone": "There is no cone called {cone}. Choose one of: {known}.",
    "one_point_blows": "One trial alone gives the limit from {least} to {most} blows; this one took {blows}. Make two more trials, and the "
    "flow curve counts.",
    "limit_few_points": "{have} trials; the method asks for {asked} or more, so that scatter can be seen.",
    "limit_points_outside": "Outside the range of the method, {least} to {most}: {what} {outside}. They are computed with.",
    "limit_beyond_points": "The limit is read off beyond your trials: {what} {least} to {most}, the limit at {at}. Make a trial on the other side.",
    "reported_differs": "The report says {reported_pct} %, the readings give {found_pct} %. The readings are computed with.",
    # plastic limit
    "threads_few": "One thread only; the method takes the mean of two.",
    "threads_apart": "The threads lie {apart_pct} % of water apart; within {allowed_pct} % is usual. Roll another pair.",
    "not_plastic": "No thread could be rolled, so this soil is not plastic: it has no plastic limit and no plasticity index.",
    "threads_rolled_after_all": "It says that no thread could be rolled, and yet it holds a plastic limit.",
    "why_threads_rolled_after_all": "It is taken as not plastic. Correct one of the two.",
    "other_limit_needed": "With the liquid limit of this soil the plasticity index follows: make it by the cup or the cone, or copy it "
    "from a report.",
    "above_u_line": "It lies above the U-line ({line_pct} % at this liquid limit), where no natural soil is expected: look at both limits again.",
    "above_a_line": "It lies on or above the A-line ({line_pct} % at this liquid limit): the fines behave as clay.",
    "below_a_line": "It lies below the A-line ({line_pct} % at this liquid limit): the fines behave as silt.",
    "activity_inactive": "Activity {activity}: inactive, as kaolin clays are. They swell little.",
    "activity_normal": "Activity {activity}: normal, as most clays are.",
    "activity_active": "Activity {activity}: active. Such clay swells and shrinks much; a swelling test is worth making.",
    "activity_of_whole": "The clay is that of the whole soil, the limits are of what passed 0.425 mm: with coarse sand in the soil the true "
    "activity is lower.",
    # shrinkage
    "bar_longer_than_mould": "The dry bar, {dry_length} mm, is longer than its mould, {wet_length} mm. Are the two swapped?",
    "gap_longer_than_box": "Gap and cracks, {gap} mm, take up the whole box of {wet_length} mm. Look at the reading and its unit.",
    "shrinkage_strange": "It shrank by {shrinkage_pct} % of its length; soil at its liquid limit shrinks by {most_pct} % at most.",
    "why_shrinkage_strange": "It is computed with as it stands. A slip in a length or its unit is likely.",
    "index_guessed": "2.13 times the shrinkage, a rough rule recalled from practice: a first guess only. Limits rule where they are known.",
    "box_not_classic": "The classic tables are made for a box of 600 × 40 × 40 mm, so they say nothing of this one; the shrinkage holds.",
    "box_dried_short": "It dried for {days} days; about {wanted} days are usual. The gap may still grow.",
    "cracks_counted": "{count} cracks are counted with the gap, as if the soil had been pushed together.",
    "box_tables_differ": "The two tables do not agree on this gap. Neither is better founded: try both doses on small blocks.",
    "box_table_hole": "The table of {document} has a hole at this gap and says nothing.",
    "box_table_ends": "The table of {document} ends before this gap and says nothing.",
    "box_tables_silent": "Neither table gives a ratio for this gap. Blend the soil with a leaner one first.",
    "box_tables_standing": "Both tables are recalled from practice and unverified; they prove nothing to an official. They are by loose "
    "volume: with light soil or light cement the share by mass is another.",
    "shrinks_little": "It shrinks by {shrinkage_pct} %, less than the {least_pct} % from which stabilising alone is advised: it is lean. A blend "
    "with a soil richer in clay is worth trying.",
    "shrinks_much": "It shrinks by {shrinkage_pct} %, more than the {most_pct} % up to which stabilising alone is advised: it is fat. Blend it with "
    "sand first.",
    "pat_grew": "The dry pat, {dry_volume} m³, is larger than the dish it filled, {wet_volume} m³. Are the two swapped?",
    "shrank_more_than_water": "The pat lost {volume_lost} m³ and only {water} kg of water: it cannot lose more room than its water took. "
    "Look at the two volumes.",
}
