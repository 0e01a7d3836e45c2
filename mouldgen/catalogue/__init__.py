"""Many variants of one job: read from a table or a grid, made on many cores, kept row by row."""
