import pytest

from mouldgen.errors import JobError
from mouldgen.mix.amounts import amounts, findings_of, least_batch_ml, round_up_to
from tests.gap_questions import resin

TWO_TO_ONE = resin(ratio=(2.0, 1.0), density_a=1.13, density_b=0.96, loss=0.0)


def of(net_ml: float, *, moulds: int = 1, scale_g: float = 0.01, **changes):
    given = TWO_TO_ONE.model_copy(update=changes)
    return amounts(
        net_ml, riser_ml=0.0, features_ml=0.0, moulds=moulds, resin=given, scale_g=scale_g
    )


def test_half_a_litre_two_to_one_by_volume() -> None:
    # 500 ml of 1.13 and 0.96 g/ml: 376.67 g and 160.00 g, by hand.
    found = of(500.0)

    assert found.all.exact_a_g == pytest.approx(376.67, abs=0.005)
    assert found.all.exact_b_g == pytest.approx(160.00, abs=1e-9)
    assert (found.a_g, found.b_g, found.total_g) == (376.67, 160.0, 536.67)
    assert found.b_per_100_a == pytest.approx(42.48, abs=0.005)
    assert found.density_g_ml == pytest.approx(1.0733, abs=5e-5)


def test_a_ratio_by_mass_is_not_touched_by_densities() -> None:
    found = of(100.0, ratio=(100.0, 83.0), ratio_basis="mass")

    assert found.b_per_100_a == pytest.approx(83.0, rel=1e-14)
    assert found.density_g_ml == pytest.approx(183.0 / (100 / 1.13 + 83 / 0.96), rel=1e-14)
    assert found.all.exact_g == pytest.approx(100.0 * found.density_g_ml, rel=1e-14)


def test_parts_fill_the_volume() -> None:
    found = of(123.0, loss=0.12)

    assert found.all.exact_a_g / 1.13 + found.all.exact_b_g / 0.96 == pytest.approx(
        123.0 * 1.12, rel=1e-14
    )


def test_loss_comes_on_top() -> None:
    # 27 knobs of 38.2 + 9.1 ml at 1.05 g/ml with 12 % loss: about 1276 ml poured and 1.50 kg.
    found = amounts(
        38.2,
        riser_ml=9.1,
        features_ml=0.0,
        moulds=27,
        resin=resin(ratio=(1.0, 1.0), density_a=1.05, density_b=1.05, loss=0.12),
        scale_g=1.0,
    )

    assert found.all.poured_ml == pytest.approx(1277.1, abs=1e-9)
    assert found.total_ml == pytest.approx(1277.1 * 1.12, rel=1e-14)
    assert found.total_g == pytest.approx(1500.0, abs=5.0)


def test_one_mould_and_all_of_them() -> None:
    found = amounts(
        24.8, riser_ml=6.0, features_ml=0.2, moulds=22, resin=resin(loss=0.1), scale_g=0.1
    )

    assert found.per_mould_ml == pytest.approx(31.0, rel=1e-14)
    assert found.per_mould_g == pytest.approx(31.0 * 1.1, rel=1e-14)
    assert found.one.mixed_ml == pytest.approx(34.1, rel=1e-14)
    assert found.total_ml == pytest.approx(22 * 34.1, rel=1e-14)
    assert (found.a_g, found.b_g, found.total_g) == (550.2, 275.1, 825.3)


@pytest.mark.parametrize(
    ("mass", "digit", "shown"),
    [
        (10.01, 1.0, 11.0),
        (10.0, 1.0, 10.0),
        (0.3, 0.1, 0.3),
        (0.7, 0.1, 0.7),
        (0.1 + 0.2, 0.1, 0.3),
        (376.6667, 0.1, 376.7),
        (5.1, 5.0, 10.0),
    ],
)
def test_rounding_up_to_the_digit(mass: float, digit: float, shown: float) -> None:
    assert round_up_to(mass, digit) == shown


def test_a_coarse_scale_is_told_of() -> None:
    (finding,) = findings_of(of(50.0, scale_g=1.0))  # B is 16 g

    assert (finding.id, finding.severity, finding.limit) == ("mix.scale", "warn", 0.02)
    assert finding.measured == pytest.approx(1 / 16.0, rel=1e-12)


def test_a_coarse_scale_for_one_mould_alone_is_a_note() -> None:
    found = of(50.0, moulds=20, scale_g=1.0)
    (finding,) = findings_of(found)

    assert finding.severity == "note"
    assert "mix at least 156 ml at once" in finding.message  # 50 g of B at 2:1
    assert least_batch_ml(found) == pytest.approx(156.25, rel=1e-12)


def test_a_fine_scale_is_not_mentioned() -> None:
    assert findings_of(of(500.0, scale_g=0.1)) == ()


@pytest.mark.parametrize(("net_ml", "moulds"), [(0.0, 1), (-1.0, 3), (10.0, 0)])
def test_nothing_to_pour(net_ml: float, moulds: int) -> None:
    with pytest.raises(JobError, match="nothing to pour"):
        of(net_ml, moulds=moulds)
