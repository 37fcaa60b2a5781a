"""What is said of soil tests. Salts, acids, organic matter, lime demand."""

from collections.abc import Mapping

SAID: Mapping[str, str] = {
    # what no kernel takes
    "more_salt_than_soil": "{extract_concentration} kg/m³ in {water_per_soil} parts of water would be more salt than soil. Look at the "
    "unit of the reading.",
    "more_salt_than_kilogram": "{value} mg in one kilogram of soil is more than the kilogram itself. Look at its unit.",
    "water_saltier_than_extract": "The water alone reads {water} mg/l, more than the extract with {read} mg/l. Are the two swapped?",
    "sulfate_above_sulfur": "There is more sulfate than all sulfur could make. One of the two figures is wrong.",
    "nothing_in_dish": "The dish weighs {ignited} kg after the furnace and {tare} kg empty: nothing is in it. Look at both.",
    "ignited_heavier": "After the furnace it weighs {ignited} kg, more than the {dried} kg before. Are the two swapped?",
    "dish_became_lighter": "The dish weighs {filled} kg with its salts and {dish} kg empty. Are the two swapped?",
    "group_not_known": "“{group}” is no group of this table. Known are: {known}.",
    "layer_not_known": "“{layer}” is no layer of this table. Known are: {known}.",
    "lengths_of_bottles": "There are {limes} shares of lime and {phs} readings of pH: each bottle has one of each.",
    "lime_twice": "Two bottles hold the same share of lime ({limes}). Keep one, or correct a share.",
    "lime_not_reached": "No bottle reached pH 12.4; the highest is {highest}, at up to {richest_pct} % lime.",
    # sulfate
    "sulfate_over": "{mg_kg} mg/kg of sulfate is beyond {count} of {of} known limits: {says}.",
    "sulfate_stays_open": "A {ratio}:1 extract of a soil with gypsum can show {least} to {most} mg/kg and no more, however much is in it. "
    "Sulfate stays open: no mix of this soil with cement or lime is chosen or approved until a 10:1 or an acid extract is in.",
    "sulfate_weak_unknown": "Signs of gypsum, and how much water was used is not said. Sulfate stays open: no mix of this soil with cement or "
    "lime is chosen or approved until a 10:1 or an acid extract is in.",
    "sulfate_ratio_not_said": "How much water the extract had is not said, so {mg_kg} mg/kg can be held against no limit. Sulfate stays open: add the "
    "parts of water, or ask the laboratory.",
    "sulfate_at_its_end": "The extract was full, so there may be more than {mg_kg} mg/kg. Sulfate stays open until an acid extract, or one with "
    "more water, is in.",
    "sulfate_screened": "{mg_kg} mg/kg at {ratio}:1, far from what gypsum would show, and no crystals seen. Trials may begin; a {ratio}:1 "
    "extract still does not show the limits met. Before walls are built, have a 10:1 extract made.",
    "sulfate_passed": "{mg_kg} mg/kg of sulfate: inside every limit this extract can be held against.",
    "sulfide_open": "Signs of sulfides: in air and water they turn to sulfate long after the block is made, and no extract shows them. Sulfate "
    "stays open until the total sulfur is found.",
    "potential_over": "If all its sulfur turned to sulfate it would hold {potential_pct} %, above {limit_pct} %: no lime and no cement "
    "without a specialist.",
    "potential_inside": "If all its sulfur turned to sulfate it would hold {potential_pct} %, inside {limit_pct} %.",
    "extract_water_not_tested": "The water that was used is taken as free of this salt. Put a strip in the water alone to know.",
    "extract_stood_short": "The extract stood for less than {hours} h: there may be more.",
    "extract_stood_not_said": "How long the extract stood is not said; a strip wants {hours} h.",
    "reading_off_scale": "The reading was at the end of its scale: there is this much or more. Thin the extract and read again.",
    "sulfides_not_asked": "Nobody looked for sulfides: smell it damp, look for blue-grey clay and brassy grains, ask what was there before.",
    # other salts
    "chloride_inside": "{mg_kg} mg/kg of chloride: inside what a rule for concrete allows at 5 % cement, steel or none. Test the mixing water too.",
    "chloride_over": "{mg_kg} mg/kg of chloride: {says}. Steel in a wall wants an engineer’s word; salt near a coast makes walls powder. Wash the "
    "sand, and test the mixing water too.",
    "salts_over": "{salts_pct} % of soluble salts, above {limit_pct} %: {says}. Wash the sand, or leave this soil out.",
    "salts_inside": "{salts_pct} % of soluble salts; one standard for blocks takes up to {limit_pct} %. Which salts they are it does not say.",
    # acid, organic matter
    "ph_acid": "pH {ph} is below {limit}: no cement or lime with this soil until its organic matter is found.",
    "ph_fine": "pH {ph}, not below {limit}.",
    "ph_sodic": "Above pH {least}, here {ph}, sodium may be at work, which makes clay go into water by itself. Put a crumb in still water.",
    "ph_by_strip": "A strip reads pH to about half a unit, and dark soil stains it.",
    "ph_apart": "The readings of pH lie {apart} apart; {most} is as far as two readings of one soil should.",
    "why_ph_apart": "Their mean is computed with. Rinse and set the meter, and read again.",
    "colour_suspect": "Darker than tea: organic matter that keeps cement from setting is suspected. No cement with this soil until the pH of soil "
    "and cement, or a laboratory, has settled it.",
    "colour_light": "Not darker than straw: nothing against it by colour. Not all that harms colours.",
    "colour_between": "Like tea: one rule lets it pass, another calls all that is darker than straw suspect. Read the pH of soil and cement before "
    "cement is chosen.",
    "colour_early": "The colour deepens for a day: read it after {hours} h.",
    "caustic_other": "The colours are known for {usual_pct} % caustic soda; this was {caustic_pct} %.",
    "organic_inside": "{organic_pct} %: inside every limit of organic matter known here.",
    "organic_over": "{organic_pct} % of organic matter is beyond {count} of the limits: no cement or lime with this soil beyond trials; strip "
    "deeper and test again.",
    "ignition_over": "{organic_pct} % is beyond {count} of the limits, but the furnace takes water of clay as well. It stays open: have the "
    "organic carbon found, or read the pH of soil and cement.",
    "furnace_hot": "Above {most} °C, here {degrees} °C, clay gives up water of its own: the loss is not all organic matter.",
    "ignition_of_gypsum": "Crystals were seen in this soil: gypsum loses a fifth of its mass as water in a furnace.",
    "paste_fine": "pH {ph}: organic matter does not keep this cement from working.",
    "paste_between": "pH {ph} lies between {least} and {most}, which one manual prints in two places for the same limit. Take it as too low "
    "until a second paste says otherwise.",
    "paste_low": "pH {ph} is below {limit}: organic matter is likely to keep cement from hardening. No cement with this soil until a "
    "laboratory has found its organic matter, or trial blocks have hardened.",
    "paste_parts_not_said": "The limit is for {parts} parts of soil to one of cement; what was taken is not said.",
    "paste_parts_other": "{parts} parts of soil to one of cement were taken; the limit is for {wanted}.",
    "paste_time": "The limit is for a paste {minutes} min old.",
    # lime, carbonate
    "lime_says": "{lime_pct} % of lime on dry soil satisfies the soil; only more than that builds strength. It promises none: some soils do not "
    "react at all, so break blocks before you choose.",
    "lime_go_on": "The highest bottle reads pH {highest} at up to {richest_pct} % lime. Go on with richer bottles, and test the lime itself: old "
    "lime has turned to carbonate.",
    "lime_by_two_at_12_3": "No bottle reached 12.4 (highest {highest}); two in a row stopped at 12.3, and the lower of them counts.",
    "lime_confirm": "Only the richest bottle, {richest_pct} %, reached 12.4. Make one with more to confirm it.",
    "lime_first_enough": "The leanest bottle, {leanest_pct} %, was enough already: the demand may be lower. Make leaner ones.",
    "lime_temperature_not_said": "How warm the slurry was is not said; 12.4 holds at 25 °C, and cold slurry reads higher.",
    "lime_ph_falls": "The bottle with {lime_pct} % lime reads lower than one with less.",
    "why_lime_ph_falls": "Two bottles may be swapped, or one was not shaken. It is computed with as it stands.",
    "fizz_none": "No fizz: no carbonate to speak of.",
    "fizz_weak": "A weak fizz: some carbonate, or old lime. It does no harm to a block; acid water will eat it.",
    "fizz_strong": "A strong fizz: much carbonate, or lime that was here before. If it is lime in a bag, it has turned to carbonate and is "
    "spent.",
    "vinegar_is_weak": "Vinegar is weak and misses some carbonates. Warm it, or try dilute hydrochloric acid with goggles on.",
}
