"""From files to one job: what is inherited, what overrides, what is left as given."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from mouldgen.errors import JobError, PresetError, SurroundingsError
from mouldgen.job.later import not_used_yet
from mouldgen.job.load import load_job
from tests.faults.broken_jobs import GOOD


@pytest.fixture(autouse=True)
def mine(monkeypatch, tmp_path):
    """The user's own folder of presets, empty."""
    folder = tmp_path / "mine"
    folder.mkdir()
    monkeypatch.setenv("MOULDGEN_PRESETS", str(folder))
    return folder


@pytest.fixture
def job_file(tmp_path) -> Path:
    path = tmp_path / "shop" / "pegs.toml"
    path.parent.mkdir()
    path.write_bytes(GOOD)
    return path


def beside(job_file: Path, text: str) -> None:
    (job_file.parent / "shop.toml").write_text(text, encoding="utf-8")


def test_the_shipped_job_is_the_boathouse_scenario():
    loaded = load_job("boathouse-pegs")
    job = loaded.job
    assert loaded.source == "boathouse-pegs.toml"
    assert (job.name, job.order.pieces, job.order.yield_, job.order.confidence) == (
        "boathouse-pegs", 18, 0.92, 0.95,
    )  # fmt: skip
    assert job.order.due == dt.date(2026, 12, 18)
    assert (job.insert.shape, job.insert.diameter, job.insert.length) == ("flute", 30.0, 70.0)
    assert (job.insert.flutes, job.insert.flute_area, job.insert.wood) == (6, 0.20, "white ash")
    assert (min(job.insert.measured), max(job.insert.measured)) == (29.7, 30.2)
    assert len(job.insert.measured) == 6
    assert (job.piece.diameter, job.piece.length, job.piece.turning) == (26.0, 60.0, 2.0)
    assert (job.piece.thread, job.piece.hole_depth) == ("M6", 15.0)
    assert (job.mould.gap, job.mould.fill) == ("auto", 80.0)
    assert (job.pour.shop, job.pour.mix, job.pour.close) == (21.0, 360.0, 840.0)
    assert (job.resin.viscosity, job.resin.gel, job.resin.ratio) == (0.5, 2400.0, (2.0, 1.0))
    assert (job.printer.width, job.printer.height) == (220.0, 250.0)
    assert job.pot is not None
    assert job.pot.rating == pytest.approx(413.685, abs=1e-3)  # 60 x 6.894757 kPa
    assert [colour.name for colour in job.colour] == ["smoke"]


def test_keys_whose_rule_comes_later_are_listed_in_the_order_of_the_file(monkeypatch):
    monkeypatch.setattr("mouldgen.job.later._LATER", frozenset({"pot.hold", "order.due"}))
    loaded = load_job("boathouse-pegs", sets=["pot.hold=2 h"])
    assert not_used_yet(loaded.given) == ("order.due", "pot.hold")


def test_what_only_a_purchase_list_reads_is_used(job_file):
    sets = ["resin.price=38 per kg", "plastic.price=22 per kg", "order.fills=0.3"]
    assert not_used_yet(load_job(job_file, sets=sets).given) == ()


def test_a_default_is_not_given(job_file):
    loaded = load_job(job_file)
    assert loaded.job.pour.mix == 360.0
    assert not_used_yet(loaded.given) == ()
    assert "pour.mix" not in loaded.given
    assert loaded.given[:3] == ("format", "name", "order.pieces")


def test_what_a_card_says_is_not_given_and_the_table_overrides_it(job_file):
    loaded = load_job(job_file, sets=["resin.gel=30 min", "printer.line=0.5 mm"])
    assert (loaded.job.resin.gel, loaded.job.resin.viscosity) == (1800.0, 0.5)
    assert (loaded.job.printer.line, loaded.job.printer.width) == (0.5, 220.0)
    assert "resin.gel" in loaded.given
    assert "resin.viscosity" not in loaded.given


def test_a_card_keeps_its_bases_as_one_text(job_file):
    basis = load_job(job_file).job.resin.basis
    assert "viscosity: belief" in basis
    assert "gel_mass: common practice" in basis


@pytest.mark.parametrize(
    ("setting", "read"),
    [
        ("order.pieces=24", lambda job: job.order.pieces == 24),
        ("order.due=2026-12-18", lambda job: job.order.due == dt.date(2026, 12, 18)),
        ("order.customers_wood=true", lambda job: job.order.customers_wood is True),
        ("mould.gap=1.5 mm", lambda job: job.mould.gap == 1.5),
        ("mould.gap='1.5 mm'", lambda job: job.mould.gap == 1.5),
        ("insert.diameter = 7/8 in", lambda job: job.insert.diameter == 22.225),
        ('insert.measured=["22.1 mm"]', lambda job: job.insert.measured == (22.1,)),
        ("name=other-pegs", lambda job: job.name == "other-pegs"),
        ("unit=in", lambda job: job.unit == "in"),
        ('colour=[{name = "smoke"}]', lambda job: job.colour[0].name == "smoke"),
        ("pour={push = '10 N'}", lambda job: job.pour.push == 10.0),
        ("plastic.title=a\nb", lambda job: job.plastic.title == "a\nb"),
    ],
)
def test_a_setting_goes_before_the_file(job_file, setting, read):
    assert read(load_job(job_file, sets=[setting]).job)


def test_the_last_of_two_settings_counts(job_file):
    loaded = load_job(job_file, sets=["order.pieces=24", "order.pieces=25"])
    assert loaded.job.order.pieces == 25


def test_the_shop_file_is_inherited_key_by_key(job_file):
    beside(job_file, '[order]\nyield = 0.8\n[shop]\nscale = "0.1 g"\n[pour]\nshop = "18 C"\n')
    job = load_job(job_file, sets=["pour.shop=25 C"]).job
    assert (job.order.yield_, job.order.pieces) == (0.8, 4)
    assert job.shop.scale == 0.1
    assert job.pour.shop == 25.0


def test_a_shop_file_that_is_named_goes_before_the_one_beside_the_job(job_file, tmp_path):
    beside(job_file, "[order]\nyield = 0.8\n")
    other = tmp_path / "other.toml"
    other.write_text("[order]\nyield = 0.7\n", encoding="utf-8")
    assert load_job(job_file, shop_file=other).job.order.yield_ == 0.7


def test_the_users_own_shop_file_is_found_last(job_file, mine):
    (mine / "shop.toml").write_text("[order]\nyield = 0.7\n", encoding="utf-8")
    assert load_job(job_file).job.order.yield_ == 0.7
    beside(job_file, "[order]\nyield = 0.8\n")
    assert load_job(job_file).job.order.yield_ == 0.8


def test_the_rating_of_one_pot_never_passes_to_another(job_file):
    beside(job_file, '[pot]\ncard = "pot-228"\nrating = "60 psi"\n')
    same = load_job(job_file, sets=["pot.card=pot-228"]).job.pot
    other = load_job(job_file, sets=["pot.card=pot-305"]).job.pot
    assert same is not None
    assert other is not None
    assert same.rating == pytest.approx(413.685, abs=1e-3)
    assert (other.diameter, other.rating) == (305.0, None)


def test_each_file_keeps_its_own_unit_for_bare_lengths(job_file):
    beside(job_file, 'unit = "in"\n[printer]\ncard = "square-220"\nmargin = 1\nspacing = 2.5\n')
    text = GOOD.decode().replace("format = 1", 'format = 1\nunit = "mm"')
    job_file.write_text(text.replace('"22 mm"', "22"), encoding="utf-8")
    job = load_job(job_file, sets=["insert.length=61"]).job
    assert (job.insert.diameter, job.insert.length) == (22.0, 61.0)
    assert (job.printer.margin, job.printer.spacing) == (25.4, 63.5)
    assert job.unit == "mm"


def test_a_job_without_a_unit_takes_that_of_the_shop(job_file):
    beside(job_file, 'unit = "in"\n')
    job_file.write_text(
        GOOD.decode()
        .replace('diameter = "22 mm"', 'diameter = "7/8"\nmeasured = [0.875, "22 mm", "57/64"]')
        .replace('length = "50 mm"', 'length = 1.5\noutline = [[0, "10 mm"], [1.5, 0.25]]'),
        encoding="utf-8",
    )
    job = load_job(job_file).job
    assert job.unit == "in"
    assert job.insert.diameter == 22.225
    assert job.insert.measured == (22.225, 22.0, 22.621875)
    assert job.piece.outline == ((0.0, 10.0), (38.1, 6.35))


def test_a_unit_is_only_for_lengths(job_file):
    text = GOOD.decode().replace("format = 1", 'format = 1\nunit = "mm"') + "[pour]\nmix = 5\n"
    job_file.write_text(text, encoding="utf-8")
    with pytest.raises(JobError, match=r"\[pour\] mix: 5 has no unit.*25 min"):
        load_job(job_file)


@pytest.mark.parametrize("line", ['name.name = "pegs"', "title.of = 1", 'unit.mm = "mm"'])
def test_a_table_where_a_text_belongs_is_refused(job_file, line):
    text = GOOD.decode().replace("format = 1", f'format = 1\nunit = "mm"\n{line}')
    text = text.replace('unit = "mm"\nunit', "unit").replace('name = "pegs"\n', "", 1)
    job_file.write_text(text, encoding="utf-8")
    with pytest.raises(JobError, match=r"does not fit here|there is no table"):
        load_job(job_file)


def test_the_users_own_card_goes_before_the_shipped_one(job_file, mine):
    (mine / "plastics").mkdir()
    (mine / "plastics" / "petg.toml").write_text(
        'density = "1.30 g/ml"\nsoftens = "70 C"\n', encoding="utf-8"
    )
    assert load_job(job_file).job.plastic.softens == 70.0


@pytest.mark.parametrize(
    ("card", "kind", "says"),
    [
        ('densty = "1.3 g/ml"', PresetError, r"plastics/petg\.toml: there is no key densty on"),
        ("density 1.3", PresetError, r"plastics/petg\.toml line 1: this is not TOML"),
        ('density = "1 g/ml"', JobError, r"\[plastic\] softens: .*the card petg does not give it"),
        (
            'softens = "60 C"\ndensity = 1.3',
            JobError,
            r"^card plastics/petg\.toml \[plastic\] density: 1\.3 has no",
        ),
        ('card = "pla"', PresetError, r"there is no key card on a card"),
    ],
)
def test_a_broken_card_is_named(job_file, mine, card, kind, says):
    (mine / "plastics").mkdir()
    (mine / "plastics" / "petg.toml").write_text(card, encoding="utf-8")
    with pytest.raises(kind, match=says):
        load_job(job_file)


def test_a_job_of_the_users_own_is_found_by_name(mine):
    (mine / "jobs").mkdir()
    (mine / "jobs" / "coat-pegs.toml").write_bytes(GOOD)
    assert load_job("coat-pegs").job.name == "coat-pegs"


@pytest.mark.parametrize("ending", [b"\n", b"\r\n"], ids=["unix", "windows"])
def test_a_byte_order_mark_and_either_line_ending_are_read(job_file, ending):
    job_file.write_bytes(b"\xef\xbb\xbf" + GOOD.replace(b"\n", ending))
    assert load_job(job_file).job.order.pieces == 4


def test_a_density_goes_before_a_wood(job_file):
    job = load_job(job_file, sets=["insert.density=0.7 g/ml", "insert.wood=driftwood"]).job
    assert (job.insert.density, job.insert.wood) == (0.7, "driftwood")


def test_a_file_that_the_system_refuses_is_the_surroundings_fault(job_file, monkeypatch):
    def refuse(_self: Path) -> bytes:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "read_bytes", refuse)
    with pytest.raises(SurroundingsError, match=r"cannot be read \(Permission denied\)"):
        load_job(job_file)
