"""The keys of each insert shape: what is needed, what is refused, what the message says."""

from __future__ import annotations

from pathlib import Path

import pytest

from mouldgen.errors import JobError
from mouldgen.job.load import load_job
from mouldgen.job.model import Insert
from mouldgen.job.shapes import MAY, NEEDS

BARE = (Path(__file__).parents[2] / "bare_job.toml").read_text(encoding="utf-8")
GIVEN = {
    "tube": ("diameter=12 mm", "inside=8 mm"),
    "twist": ("width=20 mm", "thickness=16 mm", "turn_length=60 mm"),
    "coil": ("diameter=18 mm", "wire=4 mm", "pitch=6 mm"),
    "taper": ("diameter=26 mm", "small=12 mm"),
    "outline": ('profile=[["0 mm", "8 mm"], ["50 mm", "11 mm"]]',),
    "bundle": ('member=[{shape="rod", diameter="9 mm", at=["0 mm", "0 mm"]}]',),
}


def load(tmp_path: Path, text: str, *sets: str):
    path = tmp_path / "job.toml"
    path.write_text(text, encoding="utf-8")
    return load_job(path, sets=sets).job.insert


def of(tmp_path: Path, shape: str, *more: str):
    sets = [f"insert.shape={shape}", *(f"insert.{key}" for key in (*GIVEN[shape], *more))]
    return load(tmp_path, BARE, *sets)


def test_every_shape_is_told_what_it_needs() -> None:
    shapes = set(Insert.model_fields["shape"].annotation.__args__)
    assert set(NEEDS) <= shapes
    assert set(MAY) >= set(NEEDS) - {"bundle"}


@pytest.mark.parametrize("shape", GIVEN)
def test_a_whole_insert_is_read(tmp_path: Path, shape: str) -> None:
    assert of(tmp_path, shape).shape == shape


@pytest.mark.parametrize("shape", [shape for shape in GIVEN if shape != "bundle"])
def test_each_missing_key_is_named(tmp_path: Path, shape: str) -> None:
    for left_out in NEEDS[shape]:
        sets = [f"insert.{key}" for key in GIVEN[shape] if not key.startswith(f"{left_out}=")]
        article = "an" if shape == "outline" else "a"
        with pytest.raises(
            JobError, match=rf"\[insert\] {left_out}: {article} {shape} needs {left_out}"
        ):
            load(tmp_path, BARE, f"insert.shape={shape}", *sets)


@pytest.mark.parametrize(
    ("shape", "more", "match"),
    [
        ("tube", "pitch=3 mm", r"\[insert\] pitch: a tube has no pitch\. Allowed: for a tube:"),
        ("tube", "hole=3 mm", "a tube has no hole"),
        ("tube", "inside=12 mm", "inside is 12 mm and diameter is 12 mm.*less than 12 mm"),
        ("taper", "plugged=true", "a taper has no plugged"),
        ("taper", "small=26 mm", "small is 26 mm and diameter is 26 mm"),
        ("taper", "hole=13 mm", "hole is 13 mm and small is 12 mm"),
        ("taper", "hole_plugged=true", "there is no hole to plug"),
        ("twist", "point=down", "a twist has no point"),
        ("twist", 'measured=["26 mm"]', "more than a fifth off the width of 20 mm"),
        ("coil", "hole=3 mm", "a coil has no hole"),
        ("outline", 'profile=[["0 mm", "8 mm"], ["40 mm", "9 mm"]]',
         r"from 0 to 40 mm\. Allowed: points from 0 mm to the length of 50 mm"),
        ("outline",
         'profile=[["0 mm", "8 mm"], ["30 mm", "9 mm"], ["20 mm", "9 mm"], ["50 mm", "9 mm"]]',
         "goes back from 30 to 20 mm"),
        ("outline", 'profile=[["0 mm", "8 mm"], ["50 mm", "0 mm"]]', "profile: .*more than 0 mm"),
        ("outline", "hole=16 mm", "a hole of 16 mm is wider than the insert in some place"),
        ("bundle", "cell=5 mm", "a bundle of members has no cell"),
        ("bundle", 'measured=["9 mm"]', "readings of a whole bundle are not used"),
        ("bundle", 'member=[{shape="tube", diameter="9 mm", at=["0 mm", "0 mm"]}]',
         r"\[insert\] member: member 1: a tube needs inside\. Allowed: for a tube: diameter,"),
        ("bundle", 'member=[{shape="rod", diameter="9 mm", at=["0 mm", "0 mm"], hole="3 mm"}]',
         r"\[\[insert.member\]\] 1 hole: there is no key hole in this table"),
        ("bundle", 'member=[{shape="rod", diameter="9 mm"}]',
         r'\[\[insert.member\]\] 1 at: the key at is missing\. Allowed: two lengths'),
        ("bundle", 'member=[{shape="rod", diameter="9", at=["0 mm", "0 mm"]}]',
         r"\[\[insert.member\]\] 1 diameter: .*has no unit"),
        ("bundle", "member=3", r"insert.member is not a list of tables"),
    ],
)  # fmt: skip
def test_what_cannot_be_meant_is_refused(tmp_path: Path, shape: str, more: str, match: str) -> None:
    with pytest.raises(JobError, match=match):
        of(tmp_path, shape, more)


def test_a_bundle_of_nothing_asks_what_it_is(tmp_path: Path) -> None:
    with pytest.raises(JobError, match="neither members nor cells, and a heap needs a volume"):
        load(tmp_path, BARE, "insert.shape=bundle", "insert.diameter=30 mm")


def test_tables_of_members_are_read_on_either_side_of_the_axis(tmp_path: Path) -> None:
    text = BARE.replace('shape = "rod"', 'shape = "bundle"').replace(
        "[piece]",
        '[[insert.member]]\nshape = "rod"\ndiameter = 9\nat = [6, -3.5]\n\n'
        '[[insert.member]]\nshape = "bar"\nwidth = 8\nthickness = "1/4 in"\n'
        'at = ["-6 mm", 0]\nturn = "30 deg"\n\n[piece]',
    )
    insert = load(tmp_path, text.replace('name = "bare-job"', 'name = "bare-job"\nunit = "mm"'))
    one, other = insert.member
    assert (one.diameter, one.at) == (9.0, (6.0, -3.5))
    assert (other.width, other.thickness, other.at, other.turn) == (8.0, 6.35, (-6.0, 0.0), 30.0)


def test_a_weight_and_a_volume_need_no_density(tmp_path: Path) -> None:
    text = BARE.replace('density = "0.68 g/ml"\n', "")
    rod = ("insert.diameter=26 mm", "insert.weight=15 g", "insert.displaced=25 ml")
    assert load(tmp_path, text, *rod).density is None
    with pytest.raises(JobError, match=r"neither \[insert\] wood nor density is given"):
        load(tmp_path, text, *rod[:2])
