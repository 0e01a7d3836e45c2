"""The lists of cards."""

from __future__ import annotations

import pytest

from tests.cli_runs import mouldgen


def rows(*words: str) -> list[list[str]]:
    run = mouldgen("presets", *words)
    assert run.code == 0
    return [line.split(maxsplit=1) for line in run.out.splitlines() if line[:1].strip()]


def test_every_kind_is_listed_with_its_number_of_cards() -> None:
    assert rows()[:9] == [
        ["kind", "cards"],
        ["jobs", "14 cards"],
        ["plastics", "4 cards"],
        ["pots", "2 cards"],
        ["printers", "3 cards"],
        ["resins", "3 cards"],
        ["rubbers", "2 cards"],
        ["threads", "12 cards"],
        ["woods", "15 cards"],
    ]


def test_a_kind_lists_its_cards_with_what_they_are() -> None:
    assert ["casting-epoxy-slow", "slow casting epoxy, 2:1 by volume"] in rows("resins")


def test_a_card_shows_where_its_numbers_come_from() -> None:
    told = mouldgen("presets", "woods", "white-ash").words

    assert "specific_gravity 0.6 published: Wood Handbook FPL-GTR-190 (2010)" in told


@pytest.mark.parametrize("kind", ["plastics", "pots", "printers", "resins", "threads", "woods"])
def test_every_number_of_every_shipped_card_has_a_basis(kind: str) -> None:
    for name, *_ in rows(kind)[1:]:
        lines = mouldgen("presets", kind, name).out.splitlines()[1:]
        for line, below in zip(lines, [*lines[1:], ""], strict=True):
            key, *rest = line.split(maxsplit=1)
            if line[0] != " " and key != "title" and rest and rest[0][:1].isdigit():
                # Beside the number, or where there is no room for it, below.
                assert "  " in rest[0] or below.startswith("      "), f"{kind} {name} {key}"


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["resin"], 'there are no presets "resin". Allowed: jobs, plastics, pots, printers,'),
        (["resins", "epoxy"], 'presets resins: there is no card "epoxy".'),
        (["woods", "../resins/casting-epoxy-slow"], 'presets woods: there is no card "../resins'),
    ],
)
def test_what_is_not_there_is_named(words: list[str], says: str) -> None:
    run = mouldgen("presets", *words)

    assert (run.code, run.out) == (2, "")
    assert run.err.startswith(says)
