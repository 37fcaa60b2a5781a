"""What is said of soil tests. Swelling, slaking, activity of the clay."""

from collections.abc import Mapping

SAID: Mapping[str, str] = {
    # cylinder and jar
    "swell_without_second_volume": "The volume in water alone says nothing. Add the volume in kerosene, or that of the dry powder.",
    "jar_swell_loose": "It moved by {swell_pct} % of its dry height; loose soil moves by up to {loose_pct} % without any swelling.",
    "jar_swells": "It stands {swell_pct} % above its dry mark, more than pouring explains: the clay swells. Make a free swell test, and do "
    "not trust its clay from a jar.",
    # crumb and ball
    "crumb_says": "Grade {grade}: {says}.",
    "crumb_dispersive": "Its clay goes into clear water by itself: rain will carry it out of a block. Try lime, or leave this soil out.",
    "crumb_again": "A faint cloud settles nothing. Try three more crumbs in distilled or rain water.",
    "crumb_water": "Salts in the water hold a cloud back: only distilled or rain water tells for sure.",
    "crumb_clears": "A later look saw less of a cloud than an earlier one.",
    "why_crumb_clears": "The worst grade counts. If two looks are swapped, correct them.",
    "slake_not_dipped": "Half of it still stood after 5 min, so its class hangs on what is left after dipping it five times. Dip it and add that.",
    "slake_at_once": "It fell apart within {minutes} min: little clay, or clay that binds nothing. It needs a stabiliser, and a leaner dose "
    "will not do.",
    "slake_swells": "It swelled and opened before it fell: active clay. Make a free swell test before any block.",
    "slake_stands": "It stood whole: it holds together without a stabiliser for as long as this, which is no promise for rain.",
    "slake_stood_and_fell": "It says that it stood whole, and also when half of it was gone.",
    "why_slake_stood_and_fell": "The time counts. Correct one of the two.",
    # ring, blue
    "expansion_not_half": "How full of water its voids were before is not said, so the index is not brought to half saturation.",
    "blue_of_whole_taken": "Taken as the whole soil. If stones were left out, add the share that was tested: the value falls with it.",
    "blue_says": "By methylene blue (a table recalled from a French road guide): {says}.",
    # all criteria
    "expansive_one": "One criterion so far: {highest}. Others may say something else; a second kind of test is worth making.",
    "expansive_agree": "{count} criteria can all be right at once: {lowest} to {highest}.",
    "expansive_disagree": "{count} criteria do not agree: from {lowest} to {highest}. They are not averaged. Act on the worst until a swelling "
    "test of this soil settles it.",
    "expansive_high": "Where any of them says high: blend it far down with sand, try lime, and soak trial blocks before anything is built.",
}
