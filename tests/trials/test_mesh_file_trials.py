"""A short run of the mesh files' trial, and the seeds that once found something."""

from __future__ import annotations

import pytest

from trials import mesh_files, tally


def test_a_short_trial() -> None:
    """Every sort of file ends in every way that it can."""
    found = tally.each(mesh_files.case, range(200))

    assert found.troubles == []
    assert found.outcomes["sound refused"] == found.outcomes["sound told"] == 0
    assert found.outcomes["sound clean"] >= 15
    assert found.outcomes["damaged refused"] >= 5
    assert found.outcomes["damaged told"] >= 40
    assert found.outcomes["spoiled refused"] >= 30
    assert found.outcomes["spoiled told"] + found.outcomes["spoiled clean"] >= 8


@pytest.mark.parametrize(
    ("seed", "came_of_it"),
    [
        # A solid thinner than the grid that files are written on came out without a corner.
        (34, "damaged clean"),
        # The axis was looked for without end along a sharp valley.
        (154, "damaged told"),
        # A number too large for the file's own kind was warned of.
        (171, "spoiled refused"),
        # A sound solid of 3e38 mm had its edges walked along in steps of a printed line.
        (234, "damaged clean"),
        # Text in capitals was read as binary.
        (324, "damaged told"),
        # The directory of a zip led to a place before the file.
        (510, "spoiled refused"),
        # A rim ran into a face that was wound the other way, at an edge that had been crowded.
        (938, "damaged told"),
        # A number of a damaged file signals that it is none.
        (4214, "spoiled refused"),
        (13409, "damaged clean"),  # 1e38 mm: told to be too large, which says nothing against it
        (15539, "damaged clean"),  # flat as paper: refused as a scan, as the next
        (33808, "damaged clean"),
        (35100, "spoiled clean"),
    ],
)
def test_what_once_went_wrong(seed: int, came_of_it: str) -> None:
    assert mesh_files.case(seed) == came_of_it
