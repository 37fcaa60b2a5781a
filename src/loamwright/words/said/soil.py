"""Sentences of soil: what cannot be computed of a jar, pail or pan, and the notes beside a soil's shares."""

from collections.abc import Mapping

SAID: Mapping[str, str] = {
    # what no kernel takes
    "fill_above_water": "The dry mark at {fill_height} mm is not below the water surface at {water_height} mm. Are "
    "the two swapped?",
    "jar_without_readings": "This jar has no reading yet.",
    "boundaries_out_of_order": "The layers stand at {heights} mm, from the sand up: one must lie above the other. "
    "Look at each height.",
    "unknown_class": "There is no class of soil called {soil_class}. Choose one of: {known}.",
    "key_twice": "One reading is named twice: {keys}.",
    "pails_differ": "These pails hold different volumes ({volumes} m³), so they give no mean. Weigh all in one pail.",
    "pail_without_weighings": "No pail of this one was weighed.",
    "retained_above_total": "More stayed on the screen ({retained_mass} kg) than was put on it. Are the two swapped?",
    "bad_identifier": "“{value}” cannot name a source or a project.",
    "lengths_differ": "The heights and the densities are not the same in number.",
    "grain_does_not_sink": "A grain of {value} kg/m³ does not sink in water. Look at its density.",
    "denser_than_grains": "{value} kg of soil in one m³ of the jar’s water is more than solid grains weigh. Look at "
    "the dry mark, "
    "the water surface and the pail’s volume.",
    # what a reader of a share must know
    "moisture_assumed": "No pan test yet: the pail is taken as air-dry, with what that may be off. Dry a pan to know.",
    "clay_still_floating": "Clay still floated at the last reading, so its share stays wide. Read the jar again tomorrow.",
    "salt_added": "Salt makes clay settle fast and loose: its layer looks thicker than its mass. The range allows for that.",
    "swelling_questioned": "It settled well above its dry mark.",
    "bed_above_water": "One height lies above the water surface and was left out.",
    "times_not_increasing": "Two readings are written down for one time.",
    "guess_disagrees": "The guess and the jar do not agree; both count, the jar for more.",
    "jar_fits_badly": "The heights of this jar do not go together well.",
}
