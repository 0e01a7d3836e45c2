"""Tubes, tapers, twists, coils, outlines and bundles: closed forms against hand and mesh."""

from __future__ import annotations

import math

import numpy as np
import pytest

from mouldgen.errors import JobError
from mouldgen.insert import displacing_of, facts_of, solid_of
from mouldgen.insert.facts import InsertFacts
from mouldgen.insert.honeycomb import cells
from mouldgen.job.model import Insert
from mouldgen.solid.kernel import Solid
from mouldgen.solid.sweep import sweep, twist_share
from mouldgen.solid.topology import topology_of
from tests.insert_shapes import (
    COIL,
    EVERY,
    HEAP,
    HONEYCOMB,
    LEFT,
    MEMBERS,
    OUTLINE,
    PLUGGED,
    TAPER_DOWN,
    TAPER_UP,
    TUBE,
    TWIST,
    insert,
    members,
)

FACETED = ("tube", "plugged", "taper up", "outline", "coil", "members")
DENSITY = 0.68


def facts(made: Insert) -> InsertFacts:
    return facts_of(made, density_g_ml=DENSITY)


def displacing(made: Insert, chord_mm: float) -> Solid:
    own = displacing_of(made, facts(made), chord_mm=chord_mm)
    return solid_of(made, chord_mm=chord_mm) if own is None else own


@pytest.mark.parametrize("name", EVERY)
def test_volume_worked_by_hand(name: str) -> None:
    made, volume, _, _ = EVERY[name]
    assert facts(made).volume_ml == pytest.approx(volume, abs=6e-6)


@pytest.mark.parametrize("name", EVERY)
def test_slices_and_volume_agree(name: str) -> None:
    found = facts(EVERY[name][0])
    assert found.below_ml(70.0) == pytest.approx(found.volume_ml, rel=1e-12)
    assert found.below_ml(25.0) + found.top_ml(45.0) == pytest.approx(found.volume_ml, rel=1e-12)
    between = found.between_ml(12.0, 40.0, foot_mm=2.0)
    assert between == pytest.approx(found.below_ml(38.0) - found.below_ml(10.0), rel=1e-12)
    assert max(max(p.lower_mm, p.upper_mm) for p in found.pieces) <= found.envelope_mm + 1e-12
    assert found.round_mm(0.0, 70.0) == pytest.approx(found.envelope_mm, rel=1e-12)


@pytest.mark.parametrize("name", [name for name in EVERY if name not in ("heap", "coil")])
@pytest.mark.parametrize("height", [7.0, 23.0, 61.0])
def test_volume_below_a_height_is_what_the_mesh_has_there(name: str, height: float) -> None:
    """A coil's is spread over its length; a winding of 6 mm holds half a millilitre."""
    found = displacing(EVERY[name][0], 0.002)
    whole = found.volume_mm3()
    share = facts(EVERY[name][0]).below_ml(height) / facts(EVERY[name][0]).volume_ml
    assert found.below(height).volume_mm3() / whole == pytest.approx(share, abs=2e-3)


@pytest.mark.parametrize("name", EVERY)
def test_mesh_is_as_closed_and_holed_as_the_shape(name: str) -> None:
    made, _, genus, shells = EVERY[name]
    # A wire that is thickened to the full volume stands out by less than the tolerance.
    for solid, beyond in ((solid_of(made, chord_mm=0.05), 1e-4), (displacing(made, 0.05), 0.05)):
        mesh = solid.any_mesh()
        found = topology_of(mesh)
        assert (found.closed, found.genus, found.shells, found.inward) == (True, genus, shells, 0)
        assert (mesh.bounds[0][2], mesh.bounds[1][2]) == pytest.approx((0.0, 70.0), abs=beyond)


@pytest.mark.parametrize("name", FACETED)
def test_mesh_converges_to_the_closed_form(name: str) -> None:
    """Corners on the surface: of first order in the chord tolerance."""
    made = EVERY[name][0]
    volume = facts(made).volume_ml
    errors = [1.0 - solid_of(made, chord_mm=t).volume_mm3() / 1000.0 / volume for t in (0.05, 0.01)]
    assert 0.0 < errors[1] < 0.012
    # Sides are whole numbers: the order is 1 give or take what that rounds.
    assert math.log(errors[0] / errors[1]) / math.log(5.0) == pytest.approx(1.0, abs=0.2)


@pytest.mark.parametrize("name", ["twist", "left", "coil"])
@pytest.mark.parametrize("chord", [0.05, 0.01])
def test_what_displaces_resin_has_the_volume_of_the_closed_form(name: str, chord: float) -> None:
    """Better than the 0.1 % that the shop can weigh."""
    made, volume, _, _ = EVERY[name]
    assert displacing(made, chord).volume_mm3() / 1000.0 == pytest.approx(volume, rel=1e-5)


def test_coil_is_what_pappus_says() -> None:
    """pi a^2 s, the middle line reckoned by itself: pieces of it added up."""
    slope = math.atan2(6.0, 2.0 * math.pi * 7.0)
    rise = 70.0 - 2.0 * 2.0 * math.cos(slope)
    turn = np.linspace(0.0, 2.0 * math.pi * rise / 6.0, 200_001)
    line = np.column_stack([7 * np.cos(turn), 7 * np.sin(turn), 6.0 * turn / (2 * math.pi)])
    length = np.linalg.norm(np.diff(line, axis=0), axis=1).sum()
    assert facts(COIL).volume_ml == pytest.approx(math.pi * 4.0 * length / 1000.0, rel=1e-7)


@pytest.mark.parametrize(("wire", "pitch", "length"), [(4, 6, 70), (5, 14, 61), (3, 40, 50)])
def test_a_coil_is_touched_where_its_wire_ends(wire: int, pitch: int, length: int) -> None:
    """Its highest and its lowest place on the mesh, seen from the axis; steep ones lean by more."""
    made = insert(
        shape="coil", diameter="18 mm", wire=f"{wire} mm", pitch=f"{pitch} mm",
        length=f"{length} mm",
    )  # fmt: skip
    found = facts(made)
    points = solid_of(made, chord_mm=0.01).any_mesh().vertices.astype(float)
    for end, at in ((found.lower, points[:, 2].argmin()), (found.upper, points[:, 2].argmax())):
        seen = math.degrees(math.atan2(points[at, 1], points[at, 0]))
        assert end.at_deg == pytest.approx(seen % 360.0, abs=0.01)


def test_coil_on_its_surface_never_leaves_its_round() -> None:
    mesh = solid_of(COIL, chord_mm=0.02).any_mesh()
    radii = np.hypot(mesh.vertices[:, 0].astype(float), mesh.vertices[:, 1])
    assert radii.max() == pytest.approx(9.0, abs=1e-4)
    assert radii.min() >= 5.0 - 0.02 - 1e-4


@pytest.mark.parametrize(("made", "sign"), [(TWIST, 1.0), (LEFT, -1.0)], ids=["right", "left"])
def test_twist_winds_as_its_hand_says(made: Insert, sign: float) -> None:
    """A right hand goes counter-clockwise upward: a quarter of a turn on a quarter of 50 mm."""
    mesh = solid_of(made, chord_mm=0.02).any_mesh().vertices.astype(float)
    corner = math.atan2(8.0, 10.0)
    for height in (0.0, 12.5):
        level = np.abs(mesh[:, 2] - height) < 0.3
        rim = mesh[level & (np.hypot(mesh[:, 0], mesh[:, 1]) > math.hypot(10.0, 8.0) - 1e-3)]
        turned = 2.0 * math.pi * rim[:, 2] / 50.0
        angle = np.arctan2(rim[:, 1], rim[:, 0]) - sign * turned
        # The four corners of the section lie at plus and minus one angle and across.
        folded = np.abs((angle + math.pi / 2.0) % math.pi - math.pi / 2.0)
        assert folded == pytest.approx(np.full(len(rim), corner), abs=1e-4)


@pytest.mark.parametrize("sign", [1.0, -1.0])
@pytest.mark.parametrize("step_deg", [30.0, 7.5, 3.75])
def test_sweep_lacks_what_the_formula_says_for_either_hand(sign: float, step_deg: float) -> None:
    """Reference: geometry.md 3, a bar of 12 mm through two turns: -4.47, -0.285, -0.071 %."""
    measured = {30.0: -0.0447, 7.5: -0.00285, 3.75: -0.00071}
    count = round(720.0 / step_deg)
    turn = sign * np.radians(step_deg) * np.arange(count + 1)[:, None]
    x, y = 6.0 * np.array([[1, -1, -1, 1], [1, 1, -1, -1]], float)
    height = np.repeat(np.linspace(0.0, 80.0, count + 1)[:, None], 4, axis=1)
    rings = np.stack(
        [np.cos(turn) * x - np.sin(turn) * y, np.sin(turn) * x + np.cos(turn) * y, height], axis=-1
    )
    share = sweep(rings).volume_mm3() / 11520.0
    assert share == pytest.approx(twist_share(math.radians(step_deg)), rel=1e-12)
    assert share - 1.0 == pytest.approx(measured[step_deg], abs=6e-5)


def test_mass_and_what_floats() -> None:
    assert facts(TUBE).mass_g == pytest.approx(DENSITY * math.pi * 20.0 * 0.07)
    assert facts(PLUGGED).mass_g == pytest.approx(facts(TUBE).mass_g)
    assert facts(PLUGGED).sealed_ml == pytest.approx(math.pi * 16.0 * 0.07)
    assert facts(HEAP).mass_g == pytest.approx(22.0)


@pytest.mark.parametrize("shape", ["rod", "flute", "bar", "twist", "taper", "outline"])
@pytest.mark.parametrize("plugged", [False, True])
def test_a_drilled_hole(shape: str, plugged: bool) -> None:
    """5 mm through 70 mm: pi 2.5^2 70 = 1.37445 ml that resin fills, or that stays hollow."""
    sizes = {
        "rod": {"diameter": "20 mm"},
        "flute": {"diameter": "30 mm", "flutes": 6, "flute_area": 0.2},
        "bar": {"width": "20 mm", "thickness": "16 mm"},
        "twist": {"width": "20 mm", "thickness": "16 mm", "turn_length": "50 mm"},
        "taper": {"diameter": "30 mm", "small": "18 mm"},
        "outline": {"profile": [["0 mm", "8 mm"], ["70 mm", "12 mm"]]},
    }[shape]
    whole = facts(insert(shape=shape, **sizes))
    made = insert(shape=shape, hole="5 mm", hole_plugged=plugged, **sizes)
    found, gone = facts(made), 1.374447
    assert found.material_ml == pytest.approx(whole.volume_ml - gone, abs=2e-6)
    assert found.volume_ml == pytest.approx(whole.volume_ml - (0 if plugged else gone), abs=2e-6)
    assert found.mass_g == pytest.approx(DENSITY * (whole.volume_ml - gone), abs=2e-6)
    assert (found.holes, found.lower.inner_mm) == ((0, 0.0) if plugged else (1, 2.5))
    mesh = displacing(made, 0.002)
    assert topology_of(mesh.any_mesh()).genus == (0 if plugged else 1)
    assert mesh.volume_mm3() / 1000.0 == pytest.approx(found.volume_ml, rel=1.2e-3)


def test_a_hole_that_leaves_no_wall_is_refused() -> None:
    with pytest.raises(JobError, match=r"\[insert\] hole.*less than 0.5 mm beside it.*at most 17"):
        facts(insert(shape="taper", diameter="30 mm", small="18 mm", hole="17.5 mm"))


def test_taper_stands_on_the_end_that_the_job_says() -> None:
    up, down = facts(TAPER_UP), facts(TAPER_DOWN)
    assert (up.lower.outer_mm, up.upper.outer_mm) == (15.0, 9.0)
    assert (down.lower.outer_mm, down.upper.outer_mm) == (9.0, 15.0)
    assert up.below_ml(35.0) == pytest.approx(down.top_ml(35.0))
    # pi 35 (15^2 + 15 12 + 12^2)/3
    assert up.below_ml(35.0) == pytest.approx(math.pi * 35.0 * 549.0 / 3000.0)


def test_a_drilled_taper_has_less_below_a_height() -> None:
    """From 15 mm of radius to 105/7 - 18/7 over 30 of 70 mm, less a hole of 8 mm."""
    made = insert(shape="taper", diameter="30 mm", small="18 mm", hole="8 mm")
    high = 15.0 - 6.0 * 30.0 / 70.0
    frustum = math.pi * 30.0 * (15.0**2 + 15.0 * high + high**2) / 3.0
    assert facts(made).below_mm3(30.0) == pytest.approx(frustum - math.pi * 16.0 * 30.0, rel=1e-12)


def test_where_the_resin_is_thickest() -> None:
    """The least mean section over a piece as long as the insert is wide."""
    # The upper 30 mm of the taper, from 9 + 6 x 30/70 mm of radius to 9 mm.
    low = 9.0 + 6.0 * 30.0 / 70.0
    assert facts(TAPER_UP).least_mm2 == pytest.approx(
        math.pi * (low**2 + low * 9.0 + 9.0**2) / 3.0, rel=1e-12
    )
    assert facts(TAPER_DOWN).least_mm2 == pytest.approx(facts(TAPER_UP).least_mm2, rel=1e-12)
    # The outline is 24 mm across: from its shoulder at 20 mm, 9 mm of radius, on for 24 mm.
    high = 9.0 + 24.0 / 50.0
    least = math.pi * (81.0 + 9.0 * high + high**2) / 3.0
    assert least <= facts(OUTLINE).least_mm2 <= 1.01 * least  # of places 1.4 mm apart
    short = insert(shape="taper", diameter="30 mm", small="18 mm", length="20 mm")
    assert facts(short).least_mm2 == facts(short).section_mm2


def test_outline_is_told_where_it_is_thickest() -> None:
    found = facts(OUTLINE)
    assert (found.envelope_mm, found.core_mm) == (12.0, 8.0)
    assert found.round_mm(0.0, 3.0) == pytest.approx(8.6)
    assert found.round_mm(67.0, 70.0) == 10.0


def test_honeycomb_has_the_cells_that_fit() -> None:
    assert cells(HONEYCOMB) == 9
    assert facts(HONEYCOMB).holes == 9
    narrow = insert(
        shape="bundle", cell="5 mm", cell_wall="0.5 mm", width="6 mm", thickness="20 mm"
    )
    assert cells(narrow) == 1
    with pytest.raises(JobError, match="no cell of 5 mm with its walls fits in 20 x 6 mm"):
        facts(
            insert(shape="bundle", cell="5 mm", cell_wall="0.5 mm", width="20 mm", thickness="6 mm")
        )


ROD = {"shape": "rod", "diameter": "10 mm"}
BAR = {"shape": "bar", "width": "10 mm", "thickness": "6 mm"}
PIPE = {"shape": "tube", "diameter": "20 mm", "inside": "16 mm"}
CONE = {"shape": "taper", "diameter": "10 mm", "small": "4 mm"}


@pytest.mark.parametrize(
    ("one", "other", "overlap"),
    [
        (ROD | {"at": ["0 mm", "0 mm"]}, ROD | {"at": ["9 mm", "0 mm"]}, "1.00"),
        (BAR | {"at": ["0 mm", "0 mm"]}, ROD | {"at": ["0 mm", "7 mm"]}, "1.00"),
        (BAR | {"at": ["0 mm", "0 mm"]}, BAR | {"at": ["0 mm", "7 mm"], "turn": "90 deg"}, "1.00"),
        (PIPE | {"at": ["0 mm", "0 mm"]}, ROD | {"at": ["4 mm", "0 mm"]}, "1.00"),
        (CONE | {"at": ["0 mm", "0 mm"]}, CONE | {"at": ["9 mm", "0 mm"]}, "1.00"),
        (CONE | {"at": ["0 mm", "0 mm"]}, CONE | {"at": ["6 mm", "0 mm"], "point": "down"}, "1.00"),
    ],
)
def test_members_that_overlap_are_refused(one: dict, other: dict, overlap: str) -> None:
    with pytest.raises(JobError, match=rf"member\]\] at: members 1 and 2 overlap by {overlap} mm"):
        facts(members(one, other))


@pytest.mark.parametrize(
    ("one", "other", "shells"),
    [
        (ROD | {"at": ["5 mm", "0 mm"]}, ROD | {"at": ["-5 mm", "0 mm"]}, 2),
        (BAR | {"at": ["0 mm", "3 mm"]}, BAR | {"at": ["0 mm", "-3 mm"]}, 2),
        (PIPE | {"at": ["0 mm", "0 mm"]}, ROD | {"at": ["3 mm", "0 mm"]}, 2),
        (CONE | {"at": ["3.5 mm", "0 mm"]}, CONE | {"at": ["-3.5 mm", "0 mm"], "point": "down"}, 2),
    ],
    ids=["rods", "bars", "one in another", "tapers head to foot"],
)
def test_members_that_touch_stay_two(one: dict, other: dict, shells: int) -> None:
    made = members(one, other)
    mesh = solid_of(made, chord_mm=0.01).any_mesh()
    found = topology_of(mesh)
    assert (found.closed, found.shells) == (True, shells)
    assert mesh.volume_mm3 / 1000.0 == pytest.approx(facts(made).volume_ml, rel=5e-3)


def test_bundle_is_enclosed_by_its_farthest_place() -> None:
    """The bar at (0, 9), turned 30 degrees: its corner (4, 3) comes to (1.964, 13.598)."""
    found = facts(MEMBERS)
    assert found.envelope_mm == pytest.approx(math.hypot(1.9641, 13.5981), abs=1e-4)
    assert 0.0 < found.core_mm < found.envelope_mm
    assert len(found.lower.spots_mm) == 3


def test_round_members_are_a_stadium_to_the_resin() -> None:
    """10 x 12 mm and a circle of 5 mm; a polygon of 24 corners in the circle lacks 1.1 % of it."""
    rods = members(ROD | {"at": ["6 mm", "0 mm"]}, ROD | {"at": ["-6 mm", "0 mm"]})
    lacks = math.pi - 12.0 * math.sin(2.0 * math.pi / 24.0)
    assert facts(rods).pieces[0].outline_mm2 == pytest.approx(
        120.0 + 25.0 * (math.pi - lacks), rel=1e-12
    )
    assert lacks / math.pi == pytest.approx(0.0114, abs=1e-4)
    assert facts(rods).core_mm == pytest.approx(5.0)


@pytest.mark.parametrize("count", [1, 2, 3, 5])
def test_the_widest_chord_that_rods_leave_open(count: int) -> None:
    """Between two that touch the round: ``2 R sin(pi/n)``, the whole width from two on down."""
    turns = [2.0 * math.pi * k / count for k in range(count)]
    rods = members(
        *(ROD | {"at": [f"{9.0 * math.cos(t)} mm", f"{9.0 * math.sin(t)} mm"]} for t in turns)
    )
    across = 2.0 * 14.0 * math.sin(math.pi / max(count, 2))
    # A member is known by 24 points of its circle; its own arc is no chord.
    assert facts(rods).opening_mm == pytest.approx(across, abs=1e-9)


def test_a_heaps_end_is_pressed_in_its_middle() -> None:
    """As wide as a round of its mean section, and never beyond its box."""
    assert facts(HEAP).upper.outer_mm == pytest.approx(math.sqrt(32352.94 / 70.0 / math.pi))
    box = {"width": "30 mm", "thickness": "12 mm"}
    low = facts(insert(shape="bundle", weight="4 g", **box))
    assert low.upper.outer_mm == pytest.approx(math.sqrt(4.0 / 0.68 / 0.070 / math.pi))
    assert facts(insert(shape="bundle", weight="16 g", **box)).upper.outer_mm == 6.0


def test_a_volume_that_is_known_goes_before_the_shape() -> None:
    drawn = facts(insert(shape="rod", diameter="26 mm"))
    measured = facts(insert(shape="rod", diameter="26 mm", displaced="30 ml"))
    assert measured.volume_ml == pytest.approx(30.0)
    assert measured.envelope_mm == drawn.envelope_mm
    assert measured.pieces[0].outline_mm2 == drawn.section_mm2
    weighed = facts(insert(shape="rod", diameter="26 mm", weight="17 g"))
    assert weighed.volume_ml == pytest.approx(25.0)
    assert weighed.mass_g == pytest.approx(17.0)
    taper = facts(insert(shape="taper", diameter="30 mm", small="18 mm", displaced="30 ml"))
    assert taper.below_ml(70.0) == pytest.approx(30.0)
    both = Insert.model_validate(
        {"shape": "rod", "diameter": "26 mm", "length": "70 mm", "weight": "15 g",
         "displaced": "30 ml"}
    )  # fmt: skip
    assert facts_of(both, density_g_ml=0.5).mass_g == pytest.approx(15.0)


@pytest.mark.parametrize("name", ["tube", "plugged", "taper up", "twist", "outline"])
def test_the_drawn_volume_stays_what_it_was(name: str) -> None:
    made, volume, _, _ = EVERY[name]
    known = facts(made.model_copy(update={"displaced": 0.9 * volume}))
    assert known.volume_ml == pytest.approx(0.9 * volume)
    assert known.drawn_ml == pytest.approx(volume, abs=6e-6)
    assert facts(HONEYCOMB).drawn_ml is None


def test_a_plugged_tube_weighs_what_it_was_weighed_at() -> None:
    """Weight and volume of one tube: its wall has the density of both, less the hollow."""
    both = PLUGGED.model_copy(update={"weight": 12.0, "displaced": 7.5, "density": None})
    found = facts_of(both, density_g_ml=1.0)
    assert found.mass_g == pytest.approx(12.0)
    assert found.density_g_ml == pytest.approx(12.0 / (7.5 - math.pi * 16.0 * 0.070))


@pytest.mark.parametrize(("displaced", "refused"), [(22.8, False), (27.7, False), (22.6, True)])
def test_a_tenth_apart_is_the_limit(displaced: float, refused: bool) -> None:
    """17 g at 0.68 g/ml are 25 ml: 22.73 to 27.78 ml are one insert's."""
    made = insert(shape="rod", diameter="26 mm", weight="17 g", displaced=f"{displaced} ml")
    if refused:
        with pytest.raises(JobError, match="more than a tenth apart"):
            facts(made)
    else:
        assert facts(made).volume_ml == displaced


@pytest.mark.parametrize(
    ("given", "match"),
    [
        ({"displaced": "38 ml"}, r"displaced: a volume of 38 ml does not go .*at most 37.17 ml"),
        ({"weight": "40 g"}, r"weight: a volume of 58.82 ml does not go"),
        (
            {"weight": "17 g", "displaced": "30 ml"},
            r"17 g at 0.68 g/ml are 25 ml, and 30 ml are displaced: more than a tenth apart",
        ),
    ],
)
def test_a_volume_that_cannot_be_is_refused(given: dict[str, str], match: str) -> None:
    with pytest.raises(JobError, match=match):
        facts(insert(shape="rod", diameter="26 mm", **given))


@pytest.mark.parametrize(
    ("changes", "match"),
    [
        ({"wire": "9 mm"}, "a wire of 9 mm leaves no hollow in a coil of 18 mm"),
        ({"pitch": "4 mm"}, "windings of 4 mm wire at a pitch of 4 mm run into each other"),
        ({"length": "3 mm"}, "a coil 3 mm long is lower than its wire is thick"),
    ],
)
def test_coils_that_cannot_be_wound(changes: dict[str, str], match: str) -> None:
    sizes = {"diameter": "18 mm", "wire": "4 mm", "pitch": "6 mm", **changes}
    with pytest.raises(JobError, match=match):
        facts(insert(shape="coil", **sizes))
