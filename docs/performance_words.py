"""What docs/performance.md says whatever was measured."""

HEAD = """# Performance

What mouldgen takes beside other ways to the same result, measured by programs that anyone can run.
This page and its plots are written from the figures that they keep, by `make performance`; a test
holds the one to the other. A ratio says more than a time: both sides were taken in turn on one
machine, and the best of some rounds counts.
"""

BODY_AND_LID = """The demo's body and lid, with ribs, grooves, legs, holes and lettering, from the
same numbers and at a chord of 0.01 mm. `mouldgen, whole build` is `mouldgen build boathouse-pegs`:
the job read, the gap found, the same two parts made, poured in three attitudes, checked, laid out
on beds and written as STL and 3MF. All others make body and lid alone and write two STL files.
"""

UNDER_BODY_AND_LID = """Warm is body and lid once everything is loaded. The bare kernel calls are
the limit: written by hand, nothing checked, in the quickest order of cuts that was found; a test
holds their solids to ours within 1e-9 of the volume. Ours are then snapped to what files hold, put
in order, closed and of the declared genus. The booleans of trimesh are the same kernel's. Volumes
are off the exact solids of the OCC script: ours are drawn around their circles, its facets within
them.
"""

GROWTH = """Time grows with size to the power of the exponent, a least-squares line through the
logarithms over the range that is told; the last column is how far a point lies off it at the most.
Below 1, what does not grow still counts in that range.
"""

UNDER_GROWTH = """Voxels are those that the box round the hollow would have at the same pitch: the
pour keeps runs along x, whose number grows with the square of the fineness, where voxels grow with
its cube. Below ten thousand rows the time of the castings file is that of its draws.
"""

CATALOGUE = """{count} diameters of the demo's stick, each a whole build, by workers that are
started and loaded before the clock runs. The cluster is a scheduler and two workers on the same two
cores, with the setting that [the catalogue's page](catalogue.md) gives. Tables are the same to the
byte, and one worker is killed in the middle of a shorter run.
"""

POUR = """A cup with a drilled, grooved stick, cut into the same voxels for both. The plain way
labels what lies above each height with scipy, the quicker of two that were tried.
"""

BEDS = """Parts 3 mm apart on beds of 220 x 220 mm or 250 mm round, and in a pot of 250 mm, as
`tests/house_beds.py` has them. Plates stand beside those of an independent prototype, which
searched for 5 to 20 s a case, counts of equal discs beside the best known (Graham, Lubachevsky,
Nurmela and Ostergard 1998; Specht's tables).
"""

TUNE = """Rows of a shop whose truth is known, a slope of -4, in loads of twenty that share luck.
`posterior` with next to no belief finds the coefficients of `Logit` of statsmodels to the digits in
the fourth column, and draws from what is believed besides. With luck of every load, ours stands
beside its `BinomialBayesMixedGLM`, which approximates the same by variational Bayes. `tune` goes on
to costs and the gap of least cost.
"""

RUN = """## Run it yourself

`make bench` compares what needs nothing but the test tools, in a few minutes, and fails over a
bar. `make performance` measures everything anew and writes this page; the OCC script needs the
environment that `make test-heavy` sets up, and without it says that its bars are not measured.
One at a time:

| program | what it compares |
| --- | --- |
| `python -m benchmarks.body_and_lid` | body and lid by mouldgen, bare kernel, trimesh, OCC script |
| `python -m benchmarks.shares` | what a whole build spends its time on |
| `python -m benchmarks.growth` | time against size, five ways to grow |
| `python -m benchmarks.pour_and_reconstruction` | the pour and a plain reconstruction on voxels |
| `python -m benchmarks.beds_and_pots` | plates and counts, and the best known |
| `python -m benchmarks.tune_and_statsmodels` | what castings teach, and fits by statsmodels |
| `python -m benchmarks.start_up` | commands, and the imports that they cannot do without |
| `python -m benchmarks.many_variants` | a catalogue on one core, two cores and a cluster |
"""
