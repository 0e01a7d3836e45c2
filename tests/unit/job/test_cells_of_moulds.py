"""Keys of blocks and trays: what is refused, what a family sets by itself, what stays as it was."""

from __future__ import annotations

from pathlib import Path

import pytest

from mouldgen.answer import answer_job
from mouldgen.errors import JobError
from mouldgen.job.cells import fills_evenly, pieces_per_blank
from mouldgen.job.load import load_job
from mouldgen.job.model import Mould, Piece
from mouldgen.memo import digest

BARE = Path(__file__).parents[2] / "bare_job.toml"
BAR = ("insert.shape=bar", "insert.width=20 mm", "insert.thickness=10 mm")
ROD = ("insert.diameter=20 mm",)


def load(*sets: str):
    return load_job(BARE, sets=list(sets)).job


@pytest.mark.parametrize(
    ("sets", "says"),
    [
        (["mould.cells=[2, 2]"], r"\[mould\] cells: a cup mould has one cell.*block.*tray"),
        (["mould.family=block"], r"\[mould\] cells: a block needs its cells.*cells = \[2, 3\]"),
        (["piece.per_blank=2"], r"\[piece\] per_blank: one piece comes out of a blank of a cup"),
        (["piece.saw=[2, 2]"], r"\[piece\] saw: one piece comes out of a blank of a cup"),
        (["mould.family=tray", "piece.saw=[2, 2]", "piece.per_blank=2"],
         "cannot lie end to end and stand side by side"),
        (["mould.family=tray", "pour.sequence=bottom-feed"],
         r"\[pour\] sequence: a tray has no runner to feed it from the bottom"),
        (["mould.family=block", "mould.cells=[1, 2]", "pour.sequence=bottom-feed"],
         r"\[pour\] sequence: a block has no runner"),
        (["mould.family=tray", "mould.lid_screws=2"], r"lid_screws: a tray mould is not made with"),
        (["mould.family=tray", "mould.tenon=10 mm"], r"a tray mould is not made with a tenon"),
        (["mould.family=block", "mould.cells=[0, 2]"], r"\[mould\] cells: .*at least 1"),
        (["mould.family=block", "mould.cells=[2, 13]"], r"\[mould\] cells: .*at most 12"),
        (["mould.family=block", "mould.cells=[2]"], r"\[mould\] cells: "),
        (["mould.family=tray", "piece.per_blank=0"], r"\[piece\] per_blank: .*at least 1"),
    ],
)  # fmt: skip
def test_what_cannot_be_meant_is_refused(sets, says):
    with pytest.raises(JobError, match=says):
        load(*BAR, *sets)


@pytest.mark.parametrize("family", ["block", "tray"])
def test_a_pot_rack_takes_no_rectangle(family, tmp_path):
    job = tmp_path / "job.toml"
    text = BARE.read_text(encoding="utf-8") + '\n[extras]\npot_rack = true\n[pot]\ncard="pot-228"\n'
    job.write_text(text, encoding="utf-8")
    sets = [*BAR, f"mould.family={family}", "mould.cells=[1, 2]"]
    with pytest.raises(JobError, match=r"\[extras\] pot_rack: the seats of a pot rack are round"):
        load_job(job, sets=sets)


@pytest.mark.parametrize("shape", [
    ("twist", "insert.width=20 mm", "insert.thickness=20 mm", "insert.turn_length=90 mm"),
    ("flute", "insert.diameter=20 mm", "insert.flutes=6", "insert.flute_area=0.2"),
    ("coil", "insert.diameter=20 mm", "insert.wire=4 mm", "insert.pitch=8 mm"),
    ("taper", "insert.diameter=20 mm", "insert.small=10 mm"),
    ("outline", 'insert.profile=[["0 mm", "9 mm"], ["50 mm", "10 mm"]]'),
])  # fmt: skip
def test_a_tray_says_which_inserts_it_does_not_take_and_why(shape):
    name, *sets = shape
    job = load(f"insert.shape={name}", *sets, "mould.family=tray")
    with pytest.raises(JobError, match=f'does not take an insert of shape "{name}": .*in a cup or'):
        answer_job(job)


def test_a_tray_leans_its_sides_unless_told_otherwise():
    assert load(*BAR, "mould.family=tray").mould.draft == 1.0
    assert load(*BAR, "mould.family=tray", "mould.draft=0 deg").mould.draft == 0.0
    assert load(*BAR).mould.draft == 0.0
    assert load(*ROD, "mould.family=block", "mould.cells=[1, 2]").mould.draft == 0.0


def test_jobs_without_the_new_keys_keep_their_fingerprint():
    assert digest(Mould()) == digest(Mould(cells=None))
    assert digest(Mould()) != digest(Mould(cells=(1, 2)))
    piece = {"diameter": "20 mm", "length": "30 mm"}
    plain, several = Piece.model_validate(piece), Piece.model_validate(piece | {"per_blank": 2})
    assert digest(plain) != digest(several)


def test_pieces_out_of_a_blank():
    tray = (*BAR, "mould.family=tray")
    assert pieces_per_blank(load(*tray)) == 1
    assert pieces_per_blank(load(*tray, "piece.per_blank=3")) == 3
    assert pieces_per_blank(load(*tray, "piece.saw=[2, 3]")) == 6


def test_a_honeycomb_and_a_heap_fill_evenly():
    heap = ("insert.shape=bundle", "insert.width=20 mm", "insert.thickness=10 mm")
    assert fills_evenly(load(*heap, "insert.displaced=6 ml").insert)
    assert not fills_evenly(load(*BAR).insert)


def test_a_heap_fits_in_a_round_or_in_a_box():
    sets = ("insert.shape=bundle", "insert.displaced=6 ml")
    with pytest.raises(JobError, match=r"\[insert\] thickness: .*needs thickness"):
        load(*sets, "insert.width=20 mm")
    with pytest.raises(JobError, match=r"\[insert\] diameter: .*has no diameter"):
        load(*sets, "insert.width=20 mm", "insert.thickness=9 mm", "insert.diameter=20 mm")


def test_pieces_decide_how_many_blanks_are_started():
    sets = (*BAR, "mould.family=tray", "order.pieces=11", "order.customers_wood=true")
    assert answer_job(load(*sets, "piece.per_blank=4")).moulds == 3
    answer = answer_job(load(*sets, "mould.cells=[1, 4]"))
    assert (answer.moulds, answer.fillings, answer.printed) == (11, 3, 3)
    assert answer_job(load(*sets, "mould.cells=[1, 4]", "mould.sets=2")).printed == 2
