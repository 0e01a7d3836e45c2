"""Two-dimensional packing of footprints on a print bed.

`shapes` holds the values, `pack` the one function most callers want, `verify` the check that
shares no code with it.  Sources of patterns are one a file: `square`, `hexagonal`, `shelves`,
`five_block`, `circle_rows`, `raster` and, for discs of any sizes in a rectangle or a circle,
`overlap`.  `search` looks for fewer plates than those find alone, with a set cover over all
plates that were built (`cover`); `bound` says how few no layout can do without.
"""
