"""The cautions: each where it applies, short, and never a promise."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from mouldgen.errors import PresetError
from mouldgen.job.cautions import cautions_for

ALWAYS = {"demould", "heat", "lathe", "food", "first"}


@pytest.fixture(autouse=True)
def own(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    monkeypatch.setenv("MOULDGEN_PRESETS", str(tmp_path))
    return tmp_path


@pytest.mark.parametrize(
    ("kind", "pressure", "topics"),
    [
        ("epoxy", False, {"epoxy"}),
        ("epoxy", True, {"epoxy", "pot"}),
        ("urethane", False, {"urethane"}),
        ("urethane", True, {"urethane", "pot"}),
    ],
)
def test_only_what_applies_is_told(kind: str, pressure: bool, topics: set[str]) -> None:
    told = {caution.topic for caution in cautions_for(kind, pressure=pressure)}

    assert told == ALWAYS | topics


@pytest.mark.parametrize("kind", ["epoxy", "urethane"])
def test_without_a_pot_nothing_is_vented_or_pressed(kind: str) -> None:
    pot = re.compile(r"\bpots?\b|\bvent|pressur|pressed|clamp|\bplate\b", re.IGNORECASE)
    for caution in cautions_for(kind, pressure=False):
        # Rooms are ventilated with and without a pot.
        assert not pot.findall(f"{caution.short} {caution.text}".replace("ventilate", ""))
    texts = {caution.topic: caution for caution in cautions_for(kind, pressure=True)}
    assert "vent it slowly and only once the recoat window" in texts["pot"].text
    assert "vent only when the data sheet allows" in texts["pot"].short


@pytest.mark.parametrize("kind", ["epoxy", "urethane"])
def test_on_a_terminal_they_are_a_few_lines(kind: str) -> None:
    told = cautions_for(kind, pressure=True)

    assert sum(len(caution.short) + 1 for caution in told) <= 5 * 80
    assert all(caution.short.endswith(".") and caution.text.endswith(".") for caution in told)


def test_what_matters_most_is_named() -> None:
    texts = {c.topic: c.text for k in ("epoxy", "urethane") for c in cautions_for(k, pressure=True)}

    assert "rating stamped on the pot's plate" in texts["pot"]
    assert "Never seal a mould" in texts["pot"]
    assert "recoat window" in texts["demould"]
    assert "permanent asthma, by the lungs and by the skin" in texts["urethane"]
    assert "sensitises" in texts["epoxy"]
    assert "food contact" in texts["food"]
    assert "local rules" in texts["first"]


def test_no_pressure_is_ever_suggested() -> None:
    for kind in ("epoxy", "urethane"):
        for caution in cautions_for(kind, pressure=True):
            assert not any(sign.isdigit() for sign in caution.short + caution.text)


@pytest.mark.parametrize(
    "content",
    [
        '[pot]\napplies = "sometimes"\nshort = "a."\ntext = "b."\n',
        '[pot]\napplies = "always"\nshort = "a."\n',
        'pot = "careful"\n',
    ],
)
def test_a_broken_file_is_named(own: Path, content: str) -> None:
    (own / "cautions.toml").write_text(content)

    with pytest.raises(PresetError, match=r"cautions\.toml \[pot\]: a caution lacks"):
        cautions_for("epoxy", pressure=True)
