"""The long trials of job files, builds, measures and logs, in short: what of each must come."""

from __future__ import annotations

from collections import Counter

import pytest

from trials import built_jobs, job_files, log_imports, tally, typed_units


def outcomes(case: tally.Case, count: int) -> Counter[str]:
    found = tally.each(case, range(count))
    assert [told for _, told in found.troubles] == []
    assert found.count == count
    return found.outcomes


def test_spoilt_job_files_are_refused_in_plain_words_or_get_a_gap() -> None:
    # Of 4000: 84 % refused, 14 % answered, 1.1 % by the command, 0.7 % a conflict.
    found = outcomes(job_files.case, 250)
    assert found["refused"] >= 150
    assert found["answered"] >= 15
    assert found["answered"] + found["conflict"] + found["answered by the command"] >= 20


def test_drawn_jobs_are_refused_or_get_moulds_that_are_sound() -> None:
    found = outcomes(built_jobs.case, 40)
    assert found["refused"] >= 8
    assert found["sound"] >= 4
    assert found["told to be mended first"] >= 3
    assert found["conflict"] >= 1


def test_measures_are_read_as_they_are_meant_or_refused() -> None:
    # Of 30000: 41 % read as meant, 9 % too large or below nothing, 25 % refused.
    found = outcomes(typed_units.case, 4000)
    assert found["read as meant"] >= 1400
    assert found["refused as it should be"] >= 250
    assert found["refused"] >= 700
    assert found["read"] >= 1


def test_rows_are_taken_in_whole_or_not_at_all_and_sentences_read_as_meant() -> None:
    # Of 4000: 32 % sentences as meant, 31 % asked back, 22 % of files refused, 9 % taken in.
    found = outcomes(log_imports.case, 300)
    assert found["read as meant"] >= 75
    assert found["asked back"] >= 50
    assert found["understood"] >= 3
    assert found["refused"] >= 40
    assert found["taken in"] >= 12
    assert found["was there already"] >= 2


@pytest.mark.parametrize(
    ("case", "seed", "comes"),
    [
        # A coarse chord on a bore of 320 mm: the ribs' backs shut pockets off in the pour lines.
        (built_jobs.case, 702, "told to be mended first"),
        # Leaning bores in a block: a slit beside the web, shut by the back of a vent groove.
        (built_jobs.case, 337, "told to be mended first"),
        # A scan a fifth of a millimetre long.
        (built_jobs.case, 1406, "refused"),
        # A shared ring between a runner's channel and its funnel left slivers there.
        (built_jobs.case, 20143, "told to be mended first"),
        # Gaps of 848 mm and 1.4 m: the solids' grid does not go on for ever.
        (built_jobs.case, 86, "no answer"),
        (built_jobs.case, 325, "no answer"),
        # Wires thinner than a hair in a split mould.
        (built_jobs.case, 330, "refused"),
        (built_jobs.case, 368, "refused"),
        # A confidence of so many nines that whole numbers counted for hours.
        (job_files.case, 44230, "refused"),
        # A resin that is hard at once: its gel time, twice as long, still rounds to nothing.
        (job_files.case, 58174, "conflict"),
        # The leaning floor of a split mould rises into an insert a metre wide.
        (built_jobs.case, 3199, "refused"),
        (built_jobs.case, 4932, "refused"),
        # A gap of a third of a millimetre round a scan: a grid of thirty million points.
        (built_jobs.case, 3921, "refused"),
        # Ribs of few sides left a line's groove open behind them.
        (built_jobs.case, 4276, "told to be mended first"),
        # Corners that fell together on the grid tied the surface into a knot.
        (built_jobs.case, 7186, "sound"),
        # A tab's side a hair beside the back of a vent groove.
        (built_jobs.case, 7340, "sound"),
        # A score line beside a corner that stands off by more than the line is deep.
        (built_jobs.case, 11320, "told to be mended first"),
        # A half round a hair, thinner than the hollow for a key is deep.
        (built_jobs.case, 13325, "refused"),
        # A shell whose piece is wider than its scan and the gap round it: no wall beside it.
        (built_jobs.case, 14154, "sound"),
        # A block too low for the ramps of its tabs.
        (built_jobs.case, 16379, "told to be mended first"),
        # Facets of a quarter of a millimetre: slits between the walls of bores hardly wider.
        (built_jobs.case, 28113, "told to be mended first"),
        # Two thousand sevens, and a word as long: a question quotes what it is about.
        (log_imports.case, 6829, "asked back"),
        (log_imports.case, 9759, "asked back"),
        # Good, scrapped and repaired at once.
        (log_imports.case, 35306, "asked back"),
    ],
)
def test_what_once_went_wrong(case: tally.Case, seed: int, comes: str) -> None:
    assert case(seed) == comes
