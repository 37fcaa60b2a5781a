"""Statistics of block results: spread, cautious values, outliers, comparison of mixes, power, acceptance rules as values."""
