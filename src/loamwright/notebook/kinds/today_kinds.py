"""Kinds of Today: the project itself, its brief, answers to questions, notes on clocks."""

from loamwright.notebook.fields import choice, date, moment, number, quantity, ref, refs, text, told, whole
from loamwright.notebook.kinds import Kind

BASIS = {"of_total_dry_mix": "share of the total dry mix", "of_dry_soil": "share of the dry soil"}

KINDS = (
    Kind(
        "project",
        "Project",
        "today",
        (
            text("name", "Name", required=True),
            choice("dose_basis", "A dose means", BASIS, hint="asked once and printed everywhere"),
            choice("mass_unit", "Masses in", {"kg": "kg", "lb": "lb"}),
            choice("length_unit", "Lengths in", {"mm": "mm", "in": "in"}),
            choice("pressure_unit", "Pressures and strengths in", {"MPa": "MPa", "psi": "psi", "kgf_cm2": "kgf/cm²"}),
            choice("volume_unit", "Volumes in", {"l": "l", "gal": "gal", "ft3": "ft³"}),
            choice("force_unit", "Loads in", {"kN": "kN", "kgf": "kgf", "lbf": "lbf"}),
            choice("density_unit", "Densities in", {"kg_m3": "kg/m³", "kg_l": "kg/l", "lb_ft3": "lb/ft³"}),
            choice("temperature_unit", "Temperatures in", {"degC": "°C", "degF": "°F"}),
            text("currency", "Money in", hint="such as EUR; any word you use"),
        ),
    ),
    Kind(
        "brief",
        "Brief",
        "today",
        (
            text("place", "Where is it built"),
            text("approver", "Who approves", hint="engineer, official, owner, nobody yet"),
            choice(
                "exposure",
                "Walls exposed to",
                {"inside": "dry inside", "rendered": "rain, rendered", "rain": "driving rain, bare", "splash": "splash or damp"},
            ),
            choice("by", "Judged by", {"own": "our own figures", "rule": "a published rule", "undecided": "not decided"}),
            text("rule", "Which rule", hint="its key in the list of rules"),
            text("grade", "Which grade or class", hint="as the rule writes it"),
            text("uses", "Uses that bring further clauses", hint="as in the list of rules, with commas"),
            quantity("mean_least", "Mean strength at least", "pressure"),
            quantity("each_least", "Each block at least", "pressure"),
            choice("condition", "Tested", {"wet": "soaked", "dry": "dry"}),
            quantity("soak_least", "Soaked at least", "duration"),
            whole("age_days", "At an age of how many days"),
            whole("n", "Number of blocks"),
            quantity("scatter", "Scatter to expect", "share", hint="coefficient of variation; 10 % if you do not know"),
            whole("blocks", "Blocks the work needs", hint="for bags and trips; spares included"),
            quantity("block_mass", "One block of the work weighs, dry", "mass", hint="empty: the mould of your press"),
            text(
                "other_cost",
                "Labour, machine, water and cure of one block",
                hint="a number in your money; left out, only materials count",
            ),
        ),
    ),
    Kind(
        "answer",
        "Answer to a question",
        "today",
        (
            text("question", "Question", required=True),
            refs("about", "About"),
            choice("verdict", "Answer", {"stands": "it stands", "leave_out": "leave it out"}, required=True),
            text("reason", "Because"),
        ),
    ),
    Kind("note", "Note", "today", (text("text", "Note", required=True), ref("about", "About"))),
    Kind(
        "clock_note",
        "Clock was wrong",
        "today",
        (
            text("device", "Device", required=True),
            moment("since", "From"),
            moment("until", "Until"),
            number("shift_minutes", "Minutes to add", required=True),
            date("noticed", "Noticed on"),
        ),
    ),
    # The picture itself is kept beside the entries under its SHA-256, which stands in "blob".
    Kind(
        "photo",
        "Photo",
        "today",
        (ref("of", "Photo of", required=True), told("blob", "Picture"), text("note", "What it shows")),
        asked=False,
    ),
    # A paper that was given out: what it said, and the root hash of all it stood on.
    Kind(
        "printed",
        "Paper given out",
        "today",
        (text("paper", "Paper", required=True), ref("about", "About"), text("size", "On"), told("said", "What it said")),
        asked=False,
    ),
)
