"""What is said of soil tests. What hands, eyes and nose can tell, and fines by washing."""

from collections.abc import Mapping

SAID: Mapping[str, str] = {
    "feel_says": "{test}: {says}.",
    "feel_between": "The pieces do not all belong to one grade. Roll some more at the water at which they hold best.",
    "length_beyond_test": "{length} mm is no piece that a hand makes. Look at the length and its unit.",
    "roll_thickness": "A roll of {thickness} mm; the lengths are known for {least} to {most} mm, and a thicker roll breaks off longer.",
    "drop_height": "Dropped from {height} mm; the grades are known for {least} to {most} mm.",
    "wash_says": "{fines_pct} % fines by mass, clay and silt together. This beats a jar for the sand; only settling tells clay from silt.",
    "wash_sieve_not_said": "Which sieve it was washed through is not said, so it is not known where these fines begin.",
    "wash_sieve_other": "Washed through {size} mm: this share holds fine sand too, or leaves out coarse silt, and is not held against "
    "limits of fines.",
    "wash_sample_small": "{mass} kg were washed; for grains up to {largest} mm the method wants {least} kg.",
}
