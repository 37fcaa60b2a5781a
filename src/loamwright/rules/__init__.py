"""Building rules as data: read, compiled to acceptance criteria, held against what was tested."""
