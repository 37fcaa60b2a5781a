"""Where entries and engine meet: facts folded from entries, findings computed from facts, one module a stage."""
