"""Two-dimensional packing of footprints on a print bed.

`shapes` holds the values, `pack` the one function most callers want, `verify` the check that
shares no code with it.  Sources of patterns are one a file: `square`, `hexagonal`, `shelves`,
`raster`.
"""
