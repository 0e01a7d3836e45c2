"""``mouldgen buy``: the list in words and as JSON."""

import pytest

from tests.cli_runs import Run, mouldgen

JOB = "boathouse-pegs"


@pytest.fixture(scope="module")
def bought() -> Run:
    return mouldgen("buy", JOB)


@pytest.mark.parametrize(
    "line",
    [
        "what how much costs which",
        # One mould of 36.1 g, three sessions of 123.4 g, three of 92.6 g: what `resin` weighs.
        "resin 684.1 g 48.00 1 x 1.5 kg at 48, A and B together",
        "tint ? - smoke, into 684.1 g of resin",
        "inserts 22 33.00 4 spares among them; white ash, each takes 33.4 mm x 33.4 mm x 73.2 mm",
        "x 73.2 mm of a board, saw cuts counted",
        "hardware 18 18.00 for a thread M6, one a piece",
        "consumables for 22 33.00 gloves, cups, sticks, abrasive of 22 castings",
        "Prices of plastic, inserts, hardware and consumables are belief, from presets/cost.toml.",
        "These packs are the cheapest that hold it; 815.9 g are left over.",
        "give [[colour]] tint, its share of the resin's mass.",
        "Of 22 castings expect 20 (17 to 22) good and 1.8 (0 to 5) lost. Expect 4.4 (1 to 9) with",
        "with a void that is filled and turned again, which is no loss.",
        "believed as if on 12 castings, 24 would be started to be as sure.",
    ],
)
def test_the_list_says(bought: Run, line: str) -> None:
    assert (bought.code, bought.err) == (0, "")
    assert line in bought.words


def test_the_total_is_the_sum_of_the_column(bought: Run) -> None:
    data = mouldgen("buy", JOB, "--json").json
    parts = [data[name]["cost"] for name in
             ("resin", "plastic", "inserts", "hardware", "consumables")]  # fmt: skip

    assert data["total"] == pytest.approx(sum(parts), abs=0.02)
    assert f"In all {data['total']:.2f}, without tints." in bought.words
    assert data["resin"]["packs"] == [{"holds_g": 1500.0, "count": 1, "price": 48.0}]
    assert data["expected"]["lost"] == {"mean": 1.76, "p10": 0, "p90": 5}
    assert list(data) == [
        "job", "castings", "resin", "tints", "plastic", "inserts", "hardware", "rubber_g",
        "consumables", "total", "without_price", "price_of_presets", "expected", "findings",
        "learned", "quick", "version", "fingerprint",
    ]  # fmt: skip


def test_tints_prices_and_budgets_of_the_job() -> None:
    run = mouldgen(
        "buy", JOB, "--set", "resin.price=38 per kg",
        "--set", 'colour=[{name="smoke", tint=0.02}]', "--set", "plastic.price=20 per kg",
    )  # fmt: skip

    # 2 % of each mix, rounded up to 0.1 g: 0.8 + 3 x 2.5 + 3 x 1.9
    assert "tint 14.0 g - smoke, into 684.1 g of resin" in run.words
    assert "resin 684.1 g 26.00 A and B together" in run.words  # at 38 a kilogram
    assert "give [[colour]] tint" not in run.words


def test_whole_packs_over_the_budget_are_told_and_do_not_stop() -> None:
    # The gap's own rule reckons with the resin that is used, 26.36; the packs hold more.
    run = mouldgen(
        "buy", JOB, "--set", "resin.price=38 per kg", "--set", "order.resin_budget=30",
        "--set", 'resin.packs=["1.5 kg for 48"]',
    )  # fmt: skip

    assert run.code == 0
    assert (
        "look at: The resin costs 48.00 to buy and [order] resin_budget is 30.00: 18.00 too much,"
        " since packs are bought whole."
    ) in run.words


def test_whole_grams_and_topped_up_mixes_are_bought() -> None:
    """Six mixes of 168 g, the least that a scale of 1 g weighs to 2 % of part B."""
    coarse = ("--set", "shop.scale=1 g", "--set", "order.first_article=false")
    run = mouldgen(
        "buy", JOB, "--quick", *coarse, "--set", "resin.price=38 per kg",
        "--set", 'colour=[{name="smoke", tint=0.02}]',
    )  # fmt: skip

    assert "tint 24.0 g - smoke, into 1008 g of resin" in run.words
    assert "resin 1008 g 38.30 A and B together" in run.words


def test_resin_without_any_price_says_which_key_to_give() -> None:
    run = mouldgen("buy", JOB, "--quick", "--set", "resin.packs=[]")

    assert "resin 684.1 g ? A and B together" in run.words
    assert "give [resin] packs, such as" in run.words
    assert "without resin and tints" in run.words


def test_quick_makes_no_solids_and_says_so() -> None:
    quick, built = (mouldgen("buy", JOB, *more, "--json").json for more in (("--quick",), ()))

    assert quick["plastic"] is None
    assert (quick["quick"], built["quick"]) == (True, False)
    assert quick["resin"]["need_g"] == pytest.approx(built["resin"]["need_g"], rel=0.02)
    refused = mouldgen("buy", "burl-knobs", "--quick")
    assert refused.code == 2
    assert "--quick: a shell has no closed form" in refused.err


def test_rubber_and_the_customers_own_wood() -> None:
    assert "rubber 1676 g - tin-cured silicone" in mouldgen("buy", "lamp-finials").words
    toppers = mouldgen("buy", "apple-toppers")
    assert "inserts 3 - the customer's own; a heap of 419 g each" in toppers.words
    assert "inserts 1 1.50 of other wood and the same size, for a test" in toppers.words
    assert "all 3 castings come good with a chance of 73 %. Cast 1 more first" in toppers.words
    assert "would be started" not in toppers.words


@pytest.mark.parametrize("more", [(), ("--json",)])
def test_a_conflict_buys_nothing(more: tuple[str, ...]) -> None:
    run = mouldgen("buy", JOB, "--set", "pour.close=60 min", *more)

    assert run.code == 1
    assert "resin" not in (run.json if more else {})
    assert run.out
