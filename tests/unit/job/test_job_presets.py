"""Where cards are found, and what the shipped ones promise."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest

from mouldgen.errors import PresetError
from mouldgen.job import keys, presets
from mouldgen.job.material_tables import Plastic, Resin, Rubber
from mouldgen.job.shop_tables import Pot, Printer
from mouldgen.job.woods import wood_density

WITHOUT_NUMBERS = ("jobs", "cautions")  # a job's numbers are its maker's; cautions are words
SHIPPED = sorted(
    path
    for path in presets.shipped_folder().rglob("*.toml")
    if path.parent.name not in WITHOUT_NUMBERS and path.stem not in WITHOUT_NUMBERS
)


@pytest.fixture(autouse=True)
def mine(monkeypatch, tmp_path):
    monkeypatch.setenv("MOULDGEN_PRESETS", str(tmp_path))
    return tmp_path


@pytest.mark.parametrize(
    ("system", "environment", "folder"),
    [
        ("linux", {"MOULDGEN_PRESETS": "/p", "HOME": "/h"}, "/p"),
        ("linux", {"XDG_CONFIG_HOME": "/x", "HOME": "/h"}, "/x/mouldgen/presets"),
        ("linux", {"HOME": "/h"}, "/h/.config/mouldgen/presets"),
        ("darwin", {"HOME": "/h"}, "/h/Library/Application Support/mouldgen/presets"),
        ("win32", {"APPDATA": "/a", "HOME": "/h"}, "/a/mouldgen/presets"),
    ],
)
def test_the_users_folder_is_where_the_system_keeps_settings(system, environment, folder):
    assert presets.user_folder(environment, system=system) == Path(folder)


@pytest.mark.parametrize("system", ["linux", "darwin", "win32"])
def test_without_a_home_there_is_no_users_folder(system):
    assert presets.user_folder({}, system=system) is None


@pytest.mark.parametrize(
    ("kind", "cards"),
    [
        ("resins", ("casting-epoxy-medium", "casting-epoxy-slow", "casting-urethane-fast")),
        ("plastics", ("abs", "asa", "petg", "pla")),
        ("rubbers", ("platinum-cure-silicone", "tin-cure-silicone")),
        ("printers", ("round-240", "square-220", "square-300")),
        ("pots", ("pot-228", "pot-305")),
        (
            "jobs",
            (
                "apple-toppers",
                "bell-pulls",
                "boathouse-pegs",
                "burl-knobs",
                "chest-toggles",
                "conference-pens",
                "curtain-finials",
                "drawer-knobs",
                "gear-knob",
                "lamp-finials",
                "lantern-grips",
                "locker-pegs",
                "orchard-grips",
                "sash-pulls",
            ),
        ),
    ],
)
def test_the_shipped_cards(kind, cards):
    assert presets.names(kind) == cards


def test_there_are_fifteen_woods():
    assert len(presets.names("woods")) == 15


@pytest.mark.parametrize("path", SHIPPED, ids=lambda path: f"{path.parent.name}/{path.stem}")
def test_every_number_of_a_preset_says_where_it_comes_from(path):
    data = tomllib.loads(path.read_text(encoding="utf-8"))
    bases = data.pop("basis")
    data.pop("title", None)
    rows = [data] if path.parent != presets.shipped_folder() else list(data.values())
    numbers = {key for row in rows for key, value in row.items() if re.search(r"\d", str(value))}
    assert numbers
    assert numbers == set(bases)
    assert all(text.strip() for text in bases.values())


@pytest.mark.parametrize(
    ("kind", "model"),
    [
        ("resins", Resin),
        ("plastics", Plastic),
        ("rubbers", Rubber),
        ("printers", Printer),
        ("pots", Pot),
    ],
)
def test_a_shipped_card_fills_its_table(kind, model):
    for name in presets.names(kind):
        card = presets.read_card(kind, name)
        card.pop("basis")
        assert model.model_validate(card).title


def test_no_pot_has_a_rating():
    for name in presets.names("pots"):
        assert "rating" not in presets.read_card("pots", name)


@pytest.mark.parametrize(
    ("name", "b_per_100_a", "mixed"),
    [
        ("casting-epoxy-slow", 42.48, 1.0733),  # worked by hand from 1.13 and 0.96 g/ml, 2:1
        ("casting-epoxy-medium", 83.0, 1.0615),  # published by one maker: 100:83
        ("casting-urethane-fast", 90.0, 1.05),  # common practice, no source: 100:90
    ],
)
def test_a_resins_volumes_and_masses_agree(name, b_per_100_a, mixed):
    card = presets.read_card("resins", name)
    card.pop("basis")
    resin = Resin.model_validate(card)
    assert resin.ratio_basis == "volume"
    a, b = resin.ratio
    mass_a, mass_b = a * resin.density_a, b * resin.density_b
    assert 100 * mass_b / mass_a == pytest.approx(b_per_100_a, abs=0.06)
    assert (mass_a + mass_b) / (a + b) == pytest.approx(mixed, abs=1e-4)


def test_a_users_wood_is_found_and_goes_first(mine):
    (mine / "woods").mkdir()
    (mine / "woods" / "bog-oak.toml").write_text("specific_gravity = 0.75\n", encoding="utf-8")
    (mine / "woods" / "white-ash.toml").write_text("specific_gravity = 0.5\n", encoding="utf-8")
    assert wood_density("Bog Oak") == pytest.approx(0.84)
    assert wood_density("white_ash") == pytest.approx(0.56)
    assert "bog-oak" in presets.names("woods")
    assert len(presets.names("woods")) == 16


@pytest.mark.parametrize("gravity", ["0", "-0.5", "1.6", "600", "true", '"0.6"', "nan"])
def test_a_wood_that_weighs_nothing_known_is_refused(mine, gravity):
    (mine / "woods").mkdir()
    (mine / "woods" / "odd.toml").write_text(f"specific_gravity = {gravity}\n", encoding="utf-8")
    with pytest.raises(PresetError, match=r"woods/odd\.toml specific_gravity: .*Allowed: a number"):
        wood_density("odd")


@pytest.mark.parametrize(
    ("name", "says"),
    [
        ("whiteash", r'woods: there is no card "whiteash".*mean white-ash\?'),
        ("walnut", r"mean black-walnut\?"),
        ("../resins/casting-epoxy-slow", "there is no card"),
        ("con", "there is no card"),
        ("", "there is no card"),
    ],
)
def test_a_wood_that_no_card_describes_is_refused_with_the_nearest(name, says):
    with pytest.raises(PresetError, match=says):
        wood_density(name)


def test_a_kind_that_there_is_not_is_refused():
    with pytest.raises(PresetError, match=r"no presets \"wood\".*woods"):
        presets.names("wood")


def test_a_table_that_there_is_not_is_refused():
    with pytest.raises(PresetError, match=r"nothing\.toml: there is no such file"):
        presets.read_table("nothing")


def test_every_kind_of_card_has_a_table():
    assert set(keys.CARDS.values()) | {"jobs", "threads", "woods"} == set(presets.KINDS)
