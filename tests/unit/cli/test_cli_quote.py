"""``mouldgen quote``: with a job, from options, and from six questions."""

from __future__ import annotations

import datetime as dt
import io
import re
from pathlib import Path

import pytest
from scipy import stats

from mouldgen.answer import answer_job
from mouldgen.cli.quote import _most
from mouldgen.cli.quote_draft import told_draft
from mouldgen.cli.quote_words import money
from mouldgen.job.load import load_job
from mouldgen.shop.needs import needs_of
from mouldgen.shop.plan import plan_of
from tests.cli_runs import Run, mouldgen

PIECE = ("--piece", "26 mm x 60 mm", "--count", "18")
PEGS = "boathouse-pegs"


@pytest.fixture(autouse=True)
def _folder(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("MOULDGEN_PRESETS", str(tmp_path / "none"))


def quote(*words: str) -> Run:
    return mouldgen("quote", "--today", "2026-11-02", *words)


def typed(monkeypatch: pytest.MonkeyPatch, *answers: str, words: tuple[str, ...] = ()) -> Run:
    monkeypatch.setattr("sys.stdin", io.StringIO("".join(f"{line}\n" for line in answers)))
    return quote(*words)


# ------------------------------------------------------------------------------ without a job


def test_options_alone_give_a_price_a_day_and_every_default() -> None:
    run = quote(*PIECE, "--due", "2027-03-01")
    assert run.code == 0
    assert "quote: 18 pieces, from 23 castings" in run.words
    price = r"Price \d+\.\d\d \(\d+\.\d\d to \d+\.\d\d\) a piece, the cost and 25 % profit"
    assert re.search(price, run.words)
    assert re.search(r"Day 202\d-\d\d-\d\d at the earliest.* 2027-03-01 is asked for", run.words)
    assert "An estimate and no promise" in run.words
    for taken in ("a rod as the insert; its size 30 mm x 70 mm", "white ash", "no thread",
                  "the resin card casting-epoxy-slow", "no pressure pot"):  # fmt: skip
        assert taken in run.words
    assert "belief: [order] yield 0.9, fills 0.2" in run.words
    assert "Left out taxes and duties" in run.words
    assert "Valid until 2026-12-02" in run.words
    assert "?" not in run.out  # nothing is asked


def test_a_day_that_cannot_be_kept_is_said_with_the_earliest_one() -> None:
    late = quote(*PIECE, "--due", "2026-11-05", "--json")
    assert late.code == 1
    ready = late.json["ready"]
    assert late.json["late"]
    told = quote(*PIECE, "--due", "2026-11-05", "--quiet")
    assert told.code == 1
    assert f"2026-11-05 cannot be kept; the earliest honest day is {ready}." in told.words
    # That very day can be kept, and the one before it cannot.
    before = dt.date.fromisoformat(ready) - dt.timedelta(days=1)
    assert quote(*PIECE, "--due", ready, "--quiet").code == 0
    assert quote(*PIECE, "--due", before.isoformat(), "--quiet").code == 1


def test_json_adds_up_and_the_price_has_the_profit_on_top() -> None:
    data = quote(*PIECE, "--json").json
    assert sum(data["parts"].values()) == pytest.approx(data["cost_order"]["middle"], abs=1e-2)
    each = data["price_piece"]
    assert each["middle"] == pytest.approx(1.25 * data["cost_piece"]["middle"], abs=1e-3)
    assert data["price_order"]["middle"] == pytest.approx(18 * each["middle"], abs=1e-2)
    assert each["p10"] < each["middle"] < each["p90"]
    assert {each["key"] for each in data["taken"]} >= {"cost.wood", "shop.wage", "work.finish"}
    assert not data["solids"]


def test_settings_tell_what_options_do_not() -> None:
    words = (*PIECE, "--set", "order.customers_wood=true", "--set", "insert.wood=black walnut")
    run = quote(*words)
    assert "The customer brings 18 inserts of black walnut" in run.words
    assert "No spares are possible with the customer's wood: cast a test" in run.words
    assert "white ash" not in run.words
    assert "can be had again" not in run.words


def test_the_shop_file_of_the_folder_counts() -> None:
    paid = quote(*PIECE, "--json").json
    Path("shop.toml").write_text("[shop]\nwage = 0\n", encoding="utf-8")
    unpaid = quote(*PIECE, "--json").json
    assert unpaid["parts"]["casting work"] == 0.0
    assert unpaid["hours"] == paid["hours"]
    assert "shop.wage" not in {each["key"] for each in unpaid["taken"]}


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (("--piece", "26 mm"), "is not diameter x length"),
        (("--count", "none"), '"none" is not a number of pieces'),
        (("--due", "soon"), '"soon" is not a date'),
        ((PEGS, "--piece", "26 x 60 mm"), "--piece does not go with a job"),
        ((PEGS, "--out", "x.toml"), "--out does not go with a job"),
        (("--today", "now"), "'now' is not a day"),
        (("--count", "3", "--out", "pegs.txt"), "a job file ends in .toml"),
    ],
)
def test_words_that_cannot_be_used_are_told(words: tuple[str, ...], message: str) -> None:
    run = quote(*words)
    assert (run.code, run.out) == (2, "")
    assert message in run.err
    assert "Traceback" not in run.err


# -------------------------------------------------------------------------------- six questions


def test_six_questions_write_a_job_that_says_the_same(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    answers = ("18 by 2027-03-01", "flute", "26 x 60 mm", "black walnut", "yes", "M6")
    run = typed(monkeypatch, *answers, words=("--out", "pegs.toml"))
    assert run.code == 0
    assert re.findall(r"^(\d)\. ", run.out, re.MULTILINE) == ["1", "2", "3", "4", "5", "6"]
    assert "Written: pegs.toml" in run.out
    job = load_job(tmp_path / "pegs.toml").job
    assert (job.name, job.order.pieces, job.order.customers_wood) == ("pegs", 18, True)
    assert (job.insert.shape, job.insert.wood) == ("flute", "black walnut")
    assert (job.piece.thread, job.piece.hole_depth) == ("M6", 12.0)  # two diameters
    assert "written by `mouldgen quote`" in Path("pegs.toml").read_text(encoding="utf-8").lower()
    price = re.search(r"Price +(.*) a piece", run.out)
    again = re.search(r"Price +(.*) a piece", quote("pegs.toml", "--quick").out)
    assert price
    assert again
    assert price[1] == again[1]


def test_enter_takes_what_is_usual_and_a_slip_is_asked_again(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    run = typed(monkeypatch, "", "scan", "", "", "", "maybe", "", "M7", "")
    assert run.code == 0
    assert "a scan is measured first" in run.words
    assert '"maybe" is neither yes nor no' in run.words
    assert run.words.count("Taken:") == 6
    assert not list(Path().glob("*.toml"))


def test_answers_that_end_write_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    run = typed(monkeypatch, "3", words=("--out", "pegs.toml"))
    assert run.code == 2
    assert "Start again with: mouldgen quote." in run.err
    assert not Path("pegs.toml").exists()


def test_a_job_file_is_never_written_over() -> None:
    Path("pegs.toml").write_text("mine", encoding="utf-8")
    run = quote(*PIECE, "--out", "pegs.toml")
    assert run.code == 2
    assert Path("pegs.toml").read_text(encoding="utf-8") == "mine"


def test_what_was_taken_is_told_in_inches_to_who_asked_in_inches() -> None:
    run = quote("--piece", "1 in x 3 in", "--count", "5")
    assert "its size 29.4 mm x 86.2 mm (1.157 x 3.394 in);" in run.words  # 25.4 + 4, 76.2 + 10


def test_a_draft_of_options_is_the_job_that_new_would_write() -> None:
    draft = told_draft(piece="1 1/4 in x 3 in", count="5", due=None, out=None)
    job = draft.load().job
    assert job.unit == "in"
    assert (job.piece.diameter, job.piece.length) == pytest.approx((31.75, 76.2))
    assert (job.insert.diameter, job.insert.length) == pytest.approx((35.75, 86.2))


# ---------------------------------------------------------------------------------- with a job


def test_a_job_is_quoted_from_its_solids_and_verbose_breaks_it_down() -> None:
    run = quote(PEGS, "--verbose", "--set", "order.due=2027-06-01")
    assert run.code == 0
    assert "reckoned from sizes" not in run.words
    for part in ("wood", "resin", "set-ups", "casting work", "rework", "cost", "profit", "price"):
        assert re.search(rf"^{part} +[\d ]+\.\d\d +\d+\.\d\d", run.out, re.MULTILINE), part
    assert re.search(r"^cost\.wood +1\.5 +belief", run.out, re.MULTILINE)
    assert "18 with a thread of M6, one a piece." in run.words
    assert "22 inserts of white ash, 4 of them spare" in run.words


def test_no_gap_is_no_quote() -> None:
    run = quote(PEGS, "--quick", "--set", "pot.height=60 mm")
    assert run.code == 1
    assert run.out.startswith("No gap meets every rule.")
    data = quote(PEGS, "--quick", "--set", "pot.height=60 mm", "--json")
    assert (data.code, data.json["job"]) == (1, PEGS)


def test_without_a_plan_the_price_stands_and_no_day_is_made_up() -> None:
    # A pot without a rating is never planned.
    words = ("--set", 'pot={card="pot-228"}', "--set", "pour.pressure=0 psi", "--quick")
    run = quote("bell-pulls", *words)
    assert "Day none can be told." in run.words
    assert "rating" in run.words
    assert re.search(r"Price \d", run.words)


def test_where_nothing_can_be_poured_in_time_the_answer_is_no() -> None:
    late = ("--set", "pour.mix=40 min", "--set", "pour.close=41 min", "--set", "mould.gap=4 mm")
    run = quote(PEGS, *late, "--quick")
    assert mouldgen("resin", PEGS, *late).code == 1
    assert run.code == 1
    assert "Not one mould can be poured in time" in run.words
    assert "Day none can be told." in run.words


def test_an_order_too_large_to_plan_quickly_is_priced_all_the_same() -> None:
    run = quote("--count", "5000", "--due", "2027-01-01", "--quiet")
    assert run.code == 0
    started = 5000 + int(stats.nbinom.ppf(0.95, 5000, 0.9))  # scipy
    assert f"Day none can be told. {started} fillings are more than the 600" in run.words
    assert "for 5000, for the order." in run.words


def test_a_yield_believed_on_next_to_nothing_has_no_upper_end() -> None:
    words = ("--count", "1", "--set", "order.yield=0.05", "--set", "order.confidence=0.5")
    assert "and up, nobody can say how far) a piece" in quote(*words).words


def test_the_day_of_a_job_is_that_of_its_plan() -> None:
    data = quote(PEGS, "--json").json
    plan = mouldgen("plan", PEGS, "--today", "2026-11-02", "--json").json
    assert data["ready"] == plan["ready"]
    assert data["late"] == plan["late"]


def test_a_due_day_that_is_over_is_told_as_a_slip() -> None:
    # Of a job that does not say itself when work begins.
    run = quote("bell-pulls", "--quick", "--set", "order.due=2025-12-18")
    assert run.code == 1
    assert "2025-12-18 is over: look whether day and year are right." in run.words
    assert "The earliest honest day is 202" in run.words


def test_an_amount_has_no_blank_that_a_line_could_break_at() -> None:
    assert money(1474.635) in {"1474.63", "1474.64"}
    assert (money(9.5), money(12345.6)) == ("9.50", "12346")


def test_what_a_board_takes_is_told_as_the_purchase_list_tells_it() -> None:
    job = (PEGS, "--set", "piece.kerf=3.27 mm", "--set", "unit=in")
    size = re.compile(r"each takes ([^;]*?in\)) of a board")
    (told,) = size.findall(quote(*job, "--quick").words)
    assert size.findall(mouldgen("buy", *job, "--quick").words) == [told]


def test_loads_of_a_rubber_mould_are_counted_in_cavities() -> None:
    """Four cavities to a mould: as many loads and mixes as the plan has, not four times as many."""
    answer = answer_job(load_job("lamp-finials").job)
    plan = plan_of(answer, today=dt.date(2026, 11, 2))
    most = _most(plan)
    assert most == 4
    needs = needs_of(answer, most_per_load=most)
    assert needs is not None
    # One cavity for the first article, then 19 of four at most.
    assert plan.setting.facts.first is not None
    assert needs.loads == 1 + len(plan.setting.facts.loads) == 6
    assert needs.mixes == 6
