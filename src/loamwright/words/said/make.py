"""Sentences of recipes, proving batches and the morning check; of the yard and of curing."""

from collections.abc import Mapping

SAID: Mapping[str, str] = {
    # what a recipe still needs
    "lacks_choice": "Choose a mix first",
    "lacks_mixer": "Name the mixer or mixing floor and what it holds",
    "lacks_press": "Name the press that makes the blocks",
    "lacks_press_rate": "Say how many blocks the press really makes",
    "lacks_press_size": "Say how high the blocks are as they leave the mould",
    "lacks_pail": "Name the pail the crew fills",
    "lacks_pail_volume": "Say what the pail holds, struck level",
    "lacks_pails_weighed": "{name}: weigh three struck pails",
    "lacks_bag": "{name}: weigh a bag",
    "lacks_stabiliser": "The chosen mix has no stabiliser: there are no bags to reckon. Fill the pails as the blend says",
    "recipe_lacks": "This recipe cannot be reckoned: {lacks} missing. The page Make says how to add it.",
    "pail_of_other_volume": "{source} was weighed in another pail whose volume is not known. Weigh three pails of it in the "
    "recipe's pail.",
    "recipe_without_choice": "The choice this recipe stands on is not there any more.",
    # the search for pails and bags
    "dose_not_reachable": "{wanted_pct} % cannot be reached with these pails and bags: the nearest is {nearest_pct} %. Take "
    "another pail, or weigh the stabiliser.",
    "no_recipe_fits": "No number of whole pails and half bags fits: the mixer holds too little, or the press is too slow for "
    "one set. Weigh the stabiliser for smaller batches, or press faster.",
    "split_before_stabiliser": "Nearer to the dose, but too slow for one go: mix the soil dry, part it into {heaps} equal "
    "heaps, and give each its stabiliser only when the heap before is pressed.",
    "press_too_slow": "The press does not make one block within the {hold_limit_minutes} min a mix may wait.",
    "not_half_bags": "Bags are counted in halves, from half a bag up; {value} is not.",
    "bag_count_on_edge": "On the edge: a hair in the mass of a block makes it {fewer} or {more} bags. Have {more}.",
    "soil_too_wet": "Stop: the stock already holds more water than the batch wants. Dry it first; add none.",
    # a recipe that is a draft
    "recipe_stops_open": "{n} stop questions of its soils are open.",
    "recipe_tells_no_figure": "The recipe was kept without its figures, so nothing can be held against it. Keep it again.",
    "proving_none": "No proving batch was made yet.",
    "proving_tally": "Its tally of pails and bags was not exact.",
    "proving_no_mass": "None of its blocks was weighed.",
    "proving_no_height": "None of its blocks was measured.",
    "proving_mass_off": "A block misses its mass by {worst} %; {most} % is allowed.",
    "proving_height_off": "A block misses its height by {worst} mm; {most} mm is allowed.",
    "proving_not_soaked": "Its blocks were not soaked yet: from {day}.",
    "proving_soak_early": "The soak was looked at before {day}: look again on day 7.",
    "proving_fell_apart": "{fell} of {soaked} soaked blocks did not stay whole.",
    "proving_counts": "{names}: more blocks stayed whole than were soaked.",
    "why_proving_counts": "One of the two counts is wrong. The proof hangs on it.",
    "bag_changed": "{names}: the recipe was made for bags of {told} kg, a bag now weighs {now} kg.",
    "why_bag_changed": "With the same pails and bags the dose is {now_pct} % instead of {told_pct} %. Keep a new recipe.",
    # the morning
    "scale_off": "The scale is {error_pct} % off against water; {tolerance_pct} % is allowed. Weigh nothing on it today.",
    "pail_off": "{source}: a struck pail is {error_pct} % off its recipe; {tolerance_pct} % is allowed. Weigh three again "
    "before the first batch.",
    "morning_no_pan": "No pan of {names} this morning: the water counts on the newest pan test there was.",
    "morning_rain": "Rain since yesterday: test a pan of each pile, and again at noon.",
    "morning_hot": "Above 30 °C a mix may wait 30 min, and this batch takes {minutes} min to press: part it into {heaps} heaps "
    "before the stabiliser.",
    "due_make_proving": "Make the proving batch of {name}",
    "due_proving_soak": "Look at the soaked blocks of the proving batch. {name}",
    "due_morning_check": "Morning check of {name}",
    # curing and shape of blocks
    "unknown_shape_table": "There is no table of shape factors called {table}. Known are: {known}.",
    "below_shape_table": "The block is flatter than the table of shape factors goes: its factor is drawn on beyond it.",
    "above_shape_table": "The block is taller than the table of shape factors goes: its last factor is taken.",
    "recipe_misses_dose": "It reaches {reached_pct} % where {wanted_pct} % was chosen: another mix. Weigh the stabiliser, or take other pails or bags.",
}
