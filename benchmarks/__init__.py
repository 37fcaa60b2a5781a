"""How fast and how large the program is, measured against what we promise."""
