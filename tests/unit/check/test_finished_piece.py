"""The finished piece on the solids: its resin, its hole, and what a maker is told about them."""

from __future__ import annotations

import math
from typing import Any

import pytest

from mouldgen.build import build_moulds
from mouldgen.check.finished import finished_solid, thread_sleeve
from mouldgen.check.hole import hole_findings, pocket_findings
from mouldgen.check.lengths import length_findings
from mouldgen.check.piece import PieceMeasure, ends_mm
from mouldgen.finding import Finding
from mouldgen.job.lathe import lathe_habits
from mouldgen.job.model import Piece
from mouldgen.job.outline import outline_of, volume_mm3
from mouldgen.mould_set import MouldSet
from mouldgen.pour.attitudes import attitudes
from mouldgen.pour.space import Space
from mouldgen.size.hole import Hole, hole_of
from mouldgen.size.stack_up import StackUp
from mouldgen.solid.kernel import cylinder, revolve
from tests.demo_set import demo_set, job_with

PLAIN = {"thread": None, "hole_depth": None}
ROD = {"shape": "rod", "diameter": 20.0, "flutes": None, "flute_area": None, "measured": ()}
BAR = {
    "shape": "bar", "diameter": None, "width": 24.0, "thickness": 8.0,
    "flutes": None, "flute_area": None, "measured": (),
}  # fmt: skip
NECK = (("0 mm", "5 mm"), ("20 mm", "5 mm"), ("30 mm", "13 mm"), ("60 mm", "13 mm"))


def built(insert: dict[str, Any], **piece: Any) -> MouldSet:
    return build_moulds(job_with(insert=insert, piece=piece))


def of(found: MouldSet, start: str) -> list[Finding]:
    return [finding for finding in found.findings if finding.id.startswith(start)]


def piece(**keys: object) -> Piece:
    return Piece.model_validate({"diameter": "26 mm", "length": "60 mm", **keys})


def told(wood: float = 1.0, **keys: object) -> list[Finding]:
    """What is said of a hole, with this share of its wall in wood."""
    shape = piece(**keys)
    lathe = lathe_habits()
    hole = hole_of(shape, lathe)
    assert hole is not None
    return list(hole_findings(hole, in_wood=wood, piece=shape, lathe=lathe))


# ------------------------------------------------------------------------------- the solids


def test_the_finished_solid_has_the_volume_of_its_outline() -> None:
    for keys in ({}, {"outline": NECK}, {"outline": (("0 mm", "13 mm"), ("60 mm", "0 mm"))}):
        shape = piece(**keys)
        exact = volume_mm3(outline_of(shape))
        same = finished_solid(shape, middle_mm=37.0, chord_mm=0.05, same_volume=True)
        drawn = finished_solid(shape, middle_mm=37.0, chord_mm=0.05)
        assert same.volume_mm3() == pytest.approx(exact, rel=1e-9)
        # Drawn around: larger by up to 2 t/(3 R).
        assert 1.0 < drawn.volume_mm3() / exact < 1.0 + 1.05 * 2.0 * 0.05 / (3.0 * 13.0)


def test_the_sleeve_of_a_thread_is_what_the_tap_cuts_into() -> None:
    hole = hole_of(piece(thread="M6", hole_depth="15 mm", hole_from="top"), lathe_habits())
    assert hole is not None
    sleeve = thread_sleeve(hole, foot_mm=7.0, thick_mm=0.5, chord_mm=0.001)
    assert sleeve.volume_mm3() == pytest.approx(math.pi * (9.0 - 6.25) * 15.0, rel=5e-4)
    assert sleeve.any_mesh().bounds[0][2] == pytest.approx(52.0, abs=1e-4)
    assert sleeve.any_mesh().bounds[1][2] == pytest.approx(67.0, abs=1e-4)


def test_resin_in_a_piece_round_a_rod() -> None:
    """13 mm of radius round 10 mm: 1 - 100/169 of it is resin."""
    found = built(ROD, **PLAIN)
    assert found.piece.volume_ml == pytest.approx(math.pi * 169.0 * 0.060, rel=1e-12)
    # The insert's corners are on its surface, a chord of 0.01 mm: up to 0.13 % less wood.
    assert found.piece.wood_ml == pytest.approx(math.pi * 100.0 * 0.060, rel=2e-3)
    assert found.piece.resin_share == pytest.approx(1.0 - 100.0 / 169.0, abs=1e-3)
    per_mould = found.amounts.per_mould_ml
    assert found.piece.ribbons_ml(per_mould) == pytest.approx(per_mould - found.piece.resin_ml)


def test_resin_in_the_demo_from_its_section() -> None:
    """Six flutes of radius r centred on the rim of 15 mm, seen out to 13 mm: two-circle lenses."""
    found = demo_set()
    flute, rim, out = found.answer.insert.flute_mm, 15.0, 13.0
    # The lens of circles of radius `out` and `flute`, `rim` apart (any geometry text).
    a = math.acos((rim**2 + flute**2 - out**2) / (2 * rim * flute))
    b = math.acos((rim**2 + out**2 - flute**2) / (2 * rim * out))
    heron = (-rim + flute + out) * (rim + flute - out) * (rim - flute + out) * (rim + flute + out)
    lens = flute**2 * a + out**2 * b - 0.5 * math.sqrt(heron)
    assert found.piece.resin_share == pytest.approx(6 * lens / (math.pi * out**2), abs=1e-3)


@pytest.mark.parametrize(
    ("displaced", "wood"),
    [
        # 22 ml as drawn and 18 displaced: so much less of the rod's 18.85 ml in the piece.
        ("18 ml", math.pi * 100.0 * 0.060 * 18.0 / (math.pi * 100.0 * 0.070)),
        ("20 ml", math.pi * 100.0 * 0.060 * 20.0 / (math.pi * 100.0 * 0.070)),
    ],
)
def test_resin_where_less_is_displaced_than_is_drawn(displaced: str, wood: float) -> None:
    """What the mould takes more is resin in the piece too, by the share of the length in it."""
    drawn, known = built(ROD, **PLAIN), built({**ROD, "displaced": float(displaced[:2])}, **PLAIN)
    assert known.piece.wood_ml == pytest.approx(wood, rel=2e-3)
    more = known.piece.resin_ml - drawn.piece.resin_ml
    took = known.answer.size.net_ml - drawn.answer.size.net_ml
    assert more == pytest.approx(took * 60.0 / 70.0, rel=2e-3)


def test_resin_where_more_is_displaced_than_is_drawn() -> None:
    """A bar of 24 x 8 mm holds 13.44 ml; of the 21.75 ml beside it in its round half is filled."""
    drawn = (math.pi * 13.0**2 - 24.0 * 8.0) * 0.060
    room = math.pi * (12.0**2 + 4.0**2) * 0.070
    for filled in (0.5, 0.75, 1.0):
        known = built({**BAR, "displaced": 13.44 + filled * (room - 13.44)}, **PLAIN)
        assert known.piece.resin_ml == pytest.approx((1.0 - filled) * drawn, rel=1e-3, abs=1e-9)


def test_an_outline_changes_what_is_resin() -> None:
    outline = ((0.0, 9.0), (30.0, 9.0), (60.0, 13.0))
    found = built(ROD, **PLAIN, outline=outline)
    # Only above the place where the cone is wider than the rod is there resin.
    start = 30.0 + 30.0 / 4.0
    cone = math.pi * (60.0 - start) * ((100.0 + 130.0 + 169.0) / 3.0 - 100.0)
    assert found.piece.resin_ml == pytest.approx(cone / 1000.0, abs=0.02)


# ------------------------------------------------------------------------------- the thread


def test_the_demos_thread_is_wood_all_round() -> None:
    assert demo_set().piece.thread_wood == pytest.approx(1.0, abs=1e-9)
    assert of(demo_set(), "piece.") == []


def test_a_thread_round_a_thin_bar_is_cut_into_both() -> None:
    """M10 round a bar 8 mm thick: the part of the ring from 4.25 to 5 mm within 4 mm of y = 0."""
    found = built(BAR, diameter=24.0, thread="M10", hole_depth=25.0)

    def slab(radius: float) -> float:
        half = 4.0
        chord = half * math.sqrt(radius**2 - half**2)
        return 2.0 * (chord + radius**2 * math.asin(half / radius))

    share = (slab(5.0) - slab(4.25)) / (math.pi * (25.0 - 4.25**2))
    assert found.piece.thread_wood == pytest.approx(share, abs=2e-3)
    (note,) = of(found, "piece.")
    assert (note.id, note.severity) == ("piece.thread-mixed", "note")
    assert f"cut {100 * share:.0f} % into the insert" in note.message


def test_a_thread_above_a_bars_end_is_resin() -> None:
    """The blank reaches past the insert; the piece does by 2 mm at each end, and there is resin."""
    found = built({**ROD, "length": 56.0}, thread="M6", hole_depth=12.0)
    assert found.piece.thread_wood == pytest.approx(10.0 / 12.0, abs=1e-3)
    (note,) = of(found, "piece.")
    assert note.id == "piece.thread-mixed"


@pytest.mark.parametrize("wood", [0.0, 0.004, 0.996, 1.0])
def test_a_thread_in_one_of_the_two_is_not_worth_a_word(wood: float) -> None:
    assert told(wood, thread="M6", hole_depth="15 mm") == []


@pytest.mark.parametrize(("wood", "says"), [(0.02, "2 % into the insert and 98 %"),
                                             (0.98, "98 % into the insert and 2 %")])  # fmt: skip
def test_a_fiftieth_in_the_other_is_worth_one(wood: float, says: str) -> None:
    (note,) = [f for f in told(wood, thread="M6", hole_depth="15 mm") if "mixed" in f.id]
    assert says in note.message


def test_a_plain_hole_may_be_in_both() -> None:
    assert told(0.5, hole="8 mm", hole_depth="15 mm") == []


def test_a_short_thread_is_told() -> None:
    (note,) = told(thread="M10", hole_depth="15 mm")
    assert (note.id, note.severity) == ("piece.thread-short", "note")
    assert "1.5 of its diameters deep" in note.message


# -------------------------------------------------------------------------- walls and floors


@pytest.mark.parametrize(("neck", "severity", "says"), [
    # M6 asks for 2 mm of wall (5 mm), and for twice its diameter outside (6 mm).
    ("6 mm", None, ""),
    ("5.9 mm", "warn", "11.8 mm across round a thread of 6 mm, 2.0 times"),
    ("5 mm", "warn", "leaves 2 mm of wall"),
    ("4.9 mm", "stop", "leaves 1.9 mm of wall to the finished outline; at least 2 mm"),
    ("2.9 mm", "stop", "breaks out of the finished outline"),
])  # fmt: skip
def test_the_wall_round_a_thread(neck: str, severity: str | None, says: str) -> None:
    outline = [["0 mm", neck], ["20 mm", neck], ["30 mm", "13 mm"], ["60 mm", "13 mm"]]
    found = told(thread="M6", hole_depth="15 mm", outline=outline)
    assert [f.severity for f in found] == ([severity] if severity else [])
    assert says in "".join(f.message for f in found)
    assert {f.id for f in found} <= {"piece.wall"}


def test_a_plain_hole_has_no_boss() -> None:
    """34 mm round a hole of 30 mm leaves 2 mm (told as an account of the trade)."""
    wide = {"diameter": "34 mm", "hole": "30 mm", "hole_depth": "60 mm"}
    assert told(**wide) == []
    (stop,) = told(**{**wide, "diameter": "33.9 mm"})
    assert (stop.id, stop.severity, stop.measured) == ("piece.wall", "stop", pytest.approx(1.95))


@pytest.mark.parametrize(("depth", "severity", "says"), [
    # 1.3 times and 1.5 mm of point: 43.4 mm leaves 2.08 mm, 44 leaves 1.3, 45 comes out.
    ("43.4 mm", None, ""),
    ("44 mm", "warn", "leave 1.3 mm of a piece 60 mm long. At most 43.4 mm deep"),
    ("45 mm", "stop", "58.5 mm of drilling and 1.5 mm of drill point, which come out"),
    ("60 mm", None, ""),
])  # fmt: skip
def test_how_deep_a_thread_may_be(depth: str, severity: str | None, says: str) -> None:
    found = told(thread="M6", hole_depth=depth)
    assert [f.severity for f in found] == ([severity] if severity else [])
    assert says in "".join(f.message for f in found)
    assert {f.id for f in found} <= {"piece.too-deep"}


def test_a_piece_too_short_for_any_blind_hole_can_only_be_drilled_through() -> None:
    (stop,) = told(length="3 mm", hole="6 mm", hole_depth="2 mm")
    assert stop.id == "piece.too-deep"
    assert "Or let it go through: hole_depth = 3 mm." in stop.message


# ----------------------------------------------------------------------------- shut-in air


def bell_hole(**keys: object) -> Hole:
    found = hole_of(piece(length="30 mm", **keys), lathe_habits())
    assert found is not None
    return found


def test_a_thread_that_runs_into_a_pocket_must_be_fixed() -> None:
    hollow = cylinder(20.0, bottom_mm=0.0, top_mm=40.5, chord_mm=0.01).any_mesh()
    bell = revolve(
        [(10.0, 5.0), (12.0, 5.0), (12.0, 17.0), (0.0, 17.0), (0.0, 15.0), (10.0, 15.0)], sides=200
    ).any_mesh()
    poured = attitudes(Space(hollow, (bell,), 40.0), level_mm=38.0).pours[0]
    below = bell_hole(thread="M6", hole_depth="12 mm")
    (stop,) = pocket_findings(below, poured, foot_mm=2.0)
    assert (stop.id, stop.severity) == ("piece.thread-in-pocket.1", "stop")
    # pi 10^2 x 10 mm3 are 3.142 ml; layers and rows of half a millimetre say 3.15.
    assert "a pocket of 3.15 ml round x 0, y 0, z 10 mm" in stop.message
    # From 5 to 14 mm of the thread's wall lie in it.
    assert 1000.0 * stop.measured == pytest.approx(math.pi * 2.75 * 9.0, rel=0.15)
    assert stop.message.startswith("The thread M6, 12 mm deep, from the bottom runs into")
    above = bell_hole(thread="M6", hole_depth="12 mm", hole_from="top")
    assert pocket_findings(above, poured, foot_mm=8.0) == ()
    plain = bell_hole(hole="8 mm", hole_depth="12 mm")
    (stop,) = pocket_findings(plain, poured, foot_mm=2.0)
    assert stop.message.startswith("The hole of 8 mm, 12 mm deep")
    # One pocket may reach into two pieces of a blank: each has an id of its own.
    (other,) = pocket_findings(plain, poured, foot_mm=2.0, number=2)
    assert (stop.id, other.id) == ("piece.thread-in-pocket.1", "piece.thread-in-pocket.1.2")


# ---------------------------------------------------------------------------------- lengths


def lengths(ends: tuple[float, float], **changes: float) -> list[Finding]:
    values = {
        "blank_mm": 80.0, "pieces": 1, "piece_mm": 60.0, "facing_mm": 2.0,
        "grip_mm": 0.0, "kerf_mm": 3.2, **changes,
    }  # fmt: skip
    return list(length_findings(StackUp(**values), ends))


def test_a_blank_that_is_long_enough_at_both_ends() -> None:
    assert lengths((7.0, 13.0)) == []
    assert lengths((2.0, 2.0), blank_mm=64.0) == []


def test_a_short_blank_says_what_takes_its_length() -> None:
    (stop,) = lengths((7.0, 13.0), grip_mm=15.0, facing_mm=2.5)
    assert (stop.id, stop.severity) == ("clear.length", "stop")
    assert stop.limit == pytest.approx(60.0 + 5.0 + 3.2 + 15.0)
    assert (
        "80 mm long and 3.2 mm short: a piece of 60 mm, 2 facings of 2.5 mm, a cut of 3.2 mm and a"
        " grip of 15 mm are 83.2 mm in all"
    ) in stop.message


@pytest.mark.parametrize(("changes", "says"), [
    ({}, "a piece of 60 mm is all that it takes."),
    ({"facing_mm": 2.0}, "a piece of 60 mm and 2 facings of 2 mm are 64 mm in all."),
    ({"pieces": 2, "kerf_mm": 0.0}, "2 pieces of 60 mm are 120 mm in all."),
])  # fmt: skip
def test_one_thing_or_several_take_the_length(changes: dict[str, float], says: str) -> None:
    (stop,) = lengths((0.0, 0.0), **{"blank_mm": 59.0, "facing_mm": 0.0, **changes})
    assert says in stop.message


@pytest.mark.parametrize(("ends", "changes", "says"), [
    ((19.0, 1.0), {}, "the other end has 1 mm beyond the piece, and facing takes 2 mm"),
    ((1.0, 19.0), {}, "the end that is faced first has 1 mm"),
    ((13.0, 7.0), {"grip_mm": 10.0}, "facing and grip take 15.2 mm: set the piece 8.2 mm towards"),
])  # fmt: skip
def test_an_end_that_is_short_is_looked_at(
    ends: tuple[float, float], changes: dict[str, float], says: str
) -> None:
    if changes:
        changes = {**changes, "facing_mm": 2.0}
        assert StackUp(80.0, 1, 60.0, 2.0, 10.0, 3.2).spare_mm > 0.0
    (warn,) = lengths(ends, **changes)
    assert (warn.id, warn.severity) == ("clear.length-end", "warn")
    assert says in warn.message


def test_the_grip_is_reckoned_in_a_whole_build() -> None:
    found = built(ROD, **PLAIN, grip=15.0)
    (stop,) = of(found, "clear.length")
    assert stop.limit == pytest.approx(60.0 + 2 * 2.0 + 3.2 + 15.0)


def test_which_end_of_a_cups_blank_is_faced_first() -> None:
    """On pips of 2 mm, 5 mm into an insert of 70: 7 mm below the piece, 13 of the 80 above."""
    plan = demo_set().plan
    assert plan.size.fill_mm == 80.0
    assert ends_mm(plan, piece(), from_top=False) == pytest.approx((7.0, 13.0))
    assert ends_mm(plan, piece(), from_top=True) == pytest.approx((13.0, 7.0))


def test_every_piece_of_a_mould_keeps_its_resin() -> None:
    """Three pieces of 4 ml out of 20 ml leave 8 ml of ribbons."""
    assert PieceMeasure(10.0, 4.0, None, count=3).ribbons_ml(20.0) == pytest.approx(8.0)
    assert PieceMeasure(10.0, 4.0, None).wood_ml == 6.0


# --------------------------------------------------------------------------------- outlines


def test_mould_parts_stay_clear_of_the_outline_not_of_the_cylinder_round_it() -> None:
    """Ends thinner than the sockets leave them room that a cylinder does not."""
    insert = {**ROD, "diameter": 24.0, "length": 62.0}
    waisted = ((0.0, 11.0), (10.0, 13.0), (50.0, 13.0), (60.0, 11.0))
    plain, turned = built(insert, **PLAIN), built(insert, **PLAIN, outline=waisted)
    assert not plain.plan.sockets.lower
    assert turned.plan.sockets.lower
    assert turned.plan.sockets.depth_mm > 1.0
    assert of(plain, "clear.") == of(turned, "clear.") == []


def test_a_socket_in_the_outline_is_found() -> None:
    """The check must be able to fail: hold a wider outline against the mould that was made."""
    from mouldgen.check.clear import clear

    insert = {**ROD, "diameter": 24.0, "length": 62.0}
    waisted = ((0.0, 11.0), (10.0, 13.0), (50.0, 13.0), (60.0, 11.0))
    found = built(insert, **PLAIN, outline=waisted)
    cylinder_ = found.answer.job.piece.model_copy(update={"outline": None})
    ids = [f.id for f in clear(found.parts, found.plan, piece=cylinder_).findings]
    assert "clear.outline-body" in ids
