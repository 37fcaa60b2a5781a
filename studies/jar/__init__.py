"""How often the belief of a source holds the truth: soils and jars made by a simulator that shares no code with the belief."""
