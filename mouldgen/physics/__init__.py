"""Physics: small pure formulas in SI units, one topic a file."""
