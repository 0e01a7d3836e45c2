"""One key of a job file said otherwise: that key changes, all else stays as the maker wrote it."""

from __future__ import annotations

import difflib
import tomllib
from pathlib import Path

import pytest

from mouldgen.errors import InternalError, JobError
from mouldgen.job.load import load_job
from mouldgen.job.rewrite import added, dropped, said_otherwise

PEGS = Path("presets/jobs/boathouse-pegs.toml").read_text(encoding="utf-8")
ODD = """\
format = 1
name = 'odd'   # single quotes
pour.close = "14 min"
pour.mix = "6 min" # as ever

# --- what is cast in
[insert]
length = 26          # bare
measured = [29.7, # after the oven
  "30 mm"]
  bow = "0 mm"

[order]   # the customer
pieces = 4
# the pot is the small one

[pot]
card = "pot-228"

[resin]
ratio = [2, 1]
"""


def changed(before: str, after: str) -> list[str]:
    """Lines that went, and lines that came."""
    lines = difflib.ndiff(before.splitlines(), after.splitlines())
    return [line for line in lines if line[0] in "+-"]


@pytest.mark.parametrize(
    ("key", "said", "lines"),
    [
        ("piece.diameter", "27 mm", ['- diameter = "26 mm"', '+ diameter = "27 mm"']),
        ("piece.diameter", '1-1/8"', ['- diameter = "26 mm"', "+ diameter = '1-1/8\"'"]),
        ("order.pieces", "24", ["- pieces = 18", "+ pieces = 24"]),
        ("order.due", "2026-12-20", ["- due = 2026-12-18", "+ due = 2026-12-20"]),
        ("order.customers_wood", "yes", ["+ customers_wood = true"]),
        ("mould.gap", "1.5 mm", ['- gap = "auto"', '+ gap = "1.5 mm"']),
        ("mould.draft", "1 deg", ['+ draft = "1 deg"']),
        ("resin.ratio", "2:1", ["+ ratio = [2, 1]"]),
        ("colour.1.tint", "2 %", ["+ tint = 0.02"]),
        ("name", "lake-pegs", ['- name = "boathouse-pegs"', '+ name = "lake-pegs"']),
        ("pot.rating", "", ['- rating = "60 psi"                # typed from the plate']),
        ("shop.scale", "", ["- ", "- [shop]", '- scale = "0.1 g"                  # its smallest digit']),  # noqa: E501
        ("extras.drip_tray", "yes", ["+ [extras]", "+ drip_tray = true", "+ "]),
        ("cost.wood", "3.5", ["+ ", "+ [cost]", "+ wood = 3.5"]),
        ("piece.outline", "0 mm 11 mm; 20 mm 12 mm",
         ['+ outline = [["0 mm", "11 mm"], ["20 mm", "12 mm"]]']),
    ],
)  # fmt: skip
def test_only_the_lines_of_that_key_change(key: str, said: str, lines: list[str]) -> None:
    assert changed(PEGS, said_otherwise(PEGS, key, said)) == lines


def test_a_comment_behind_a_value_keeps_its_column() -> None:
    close = [line for line in said_otherwise(PEGS, "pour.close", "9 min").splitlines()
             if line.startswith("close")]  # fmt: skip

    assert close == ['close = "9 min"                  # from the start of mixing to pressure']


def test_a_new_key_stands_where_the_docs_have_it() -> None:
    lines = said_otherwise(PEGS, "insert.hole", "4 mm").splitlines()

    assert lines[lines.index('hole = "4 mm"') - 1].startswith("flute_area")


def test_what_is_said_already_leaves_the_text_as_it_is() -> None:
    assert said_otherwise(PEGS, "piece.diameter", " 26 mm ") == PEGS
    assert said_otherwise(PEGS, "pot.tiers", "") == PEGS
    assert said_otherwise(PEGS, "cost.wood", "") == PEGS
    assert said_otherwise(ODD, "insert.length", "26") == ODD
    assert said_otherwise(ODD, "insert.measured", '[29.7, "30 mm"]') == ODD


@pytest.mark.parametrize(
    ("key", "said", "lines"),
    [
        # Dotted keys, and a bare number where a bare number stood.
        ("pour.close", "12 min", ['- pour.close = "14 min"', '+ pour.close = "12 min"']),
        ("pour.mix", "", ['- pour.mix = "6 min" # as ever']),
        ("pour.push", "30 N", ['+ pour.push = "30 N"']),
        ("insert.length", "27.5",
         ["- length = 26          # bare", "+ length = 27.5        # bare"]),
        ("insert.length", "1 in",
         ["- length = 26          # bare", '+ length = "1 in"      # bare']),
        ("insert.bow", "1 mm", ['-   bow = "0 mm"', '+   bow = "1 mm"']),
        ("name", "new", ["- name = 'odd'   # single quotes", "+ name = 'new'   # single quotes"]),
        # A comment inside a list, and one between two tables.
        ("insert.measured", '[29.7, "31 mm"]', ['-   "30 mm"]', '+   "31 mm"]']),
        ("order.pieces", "", ["- [order]   # the customer", "- pieces = 4"]),
        ("pot.card", "", ["- [pot]", '- card = "pot-228"', "- "]),
    ],
)  # fmt: skip
def test_an_odd_hand_is_kept(key: str, said: str, lines: list[str]) -> None:
    assert changed(ODD, said_otherwise(ODD, key, said)) == lines


@pytest.mark.parametrize(
    ("text", "key", "said", "after"),
    [
        ('format = 1\npour = { close = "3 min" } # hi\n', "pour.mix", "2 min",
         'format = 1\npour = { close = "3 min", mix = "2 min"} # hi\n'),
        ('format = 1\npour = { close = "3 min" } # hi\n', "pour.close", "", "format = 1\n"),
        ('format = 1\npour.close = "3 min"\n', "pour.close", "", "format = 1\n"),
        ('format = 1\ncolour = [{name = "a"}]\n', "colour.1.share", "0.5",
         'format = 1\ncolour = [{name = "a",share = 0.5}]\n'),
        # Two pieces of one table, with another between them.
        ('[insert]\nbow = "1 mm"\n\n[pot]\ncard = "x"\n\n[[insert.member]]\nshape = "rod"\n',
         "insert.member.1.shape", "bar",
         '[insert]\nbow = "1 mm"\n\n[pot]\ncard = "x"\n\n[[insert.member]]\nshape = "bar"\n'),
        ('[pot]\ncard = "x"', "pot.tiers", "2", '[pot]\ncard = "x"\ntiers = 2\n'),
        ("", "cost.wood", "1", "[cost]\nwood = 1\n"),
    ],
)  # fmt: skip
def test_tables_in_any_form(text: str, key: str, said: str, after: str) -> None:
    assert said_otherwise(text, key, said) == after


def test_lines_of_comments_in_a_table_that_goes_stay() -> None:
    text = "[pour]\n# no colder\nshop = \"21 C\"\n\n# of the pot\n[pot]\ncard = 'x'\n"

    assert (
        said_otherwise(text, "pour.shop", "") == "# no colder\n\n# of the pot\n[pot]\ncard = 'x'\n"
    )


@pytest.mark.parametrize("key", ["pour.close", "pot.tiers", "cost.wood", "colour.1.tint"])
def test_line_ends_of_another_system_are_kept(key: str) -> None:
    text = PEGS.replace("\n", "\r\n")
    for before in (text, text.rstrip()):
        after = said_otherwise(before, key, "3")

        assert after.count("\n") == after.count("\r\n") > 50
        assert tomllib.loads(after) == tomllib.loads(said_otherwise(PEGS, key, "3"))


def test_the_mark_that_some_editors_begin_a_file_with_is_kept() -> None:
    mark = "\N{ZERO WIDTH NO-BREAK SPACE}"
    for key, said in (("piece.diameter", "27 mm"), ("pot.rating", ""), ("cost.wood", "3")):
        assert said_otherwise(mark + PEGS, key, said) == mark + said_otherwise(PEGS, key, said)
    assert dropped(added(mark + PEGS, "colour"), "colour.2") == mark + PEGS


# ------------------------------------------------------------------------- lists of tables


def test_a_new_colour_halves_the_last_ones_share_and_the_job_still_holds(tmp_path: Path) -> None:
    two = added(PEGS, "colour")
    three = added(two, "colour")

    assert tomllib.loads(three)["colour"] == [
        {"name": "smoke", "share": 0.5},
        {"name": "colour 2", "share": 0.25},
        {"name": "colour 3", "share": 0.25},
    ]
    file = tmp_path / "three.toml"
    file.write_text(three, encoding="utf-8")
    assert len(load_job(file).job.colour) == 3


def test_a_new_colour_has_a_name_of_its_own(tmp_path: Path) -> None:
    three = added(added(PEGS, "colour"), "colour")
    again = added(dropped(three, "colour.2"), "colour")

    names = [one["name"] for one in tomllib.loads(again)["colour"]]
    assert names == ["smoke", "colour 3", "colour 4"]
    file = tmp_path / "again.toml"
    file.write_text(again, encoding="utf-8")
    assert len(load_job(file).job.colour) == 3


def test_a_colour_that_goes_leaves_its_share_to_its_neighbour() -> None:
    three = added(added(PEGS, "colour"), "colour")

    assert [one["share"] for one in tomllib.loads(dropped(three, "colour.1"))["colour"]] == [
        0.75,
        0.25,
    ]
    assert [one["share"] for one in tomllib.loads(dropped(three, "colour.3"))["colour"]] == [
        0.5,
        0.5,
    ]
    assert dropped(dropped(three, "colour.3"), "colour.2") == PEGS
    assert "colour" not in tomllib.loads(dropped(PEGS, "colour.1"))


def test_a_new_member_stands_beside_the_others(tmp_path: Path) -> None:
    text = Path("tests/bare_job.toml").read_text(encoding="utf-8")
    for key, said in {"shape": "bundle", "diameter": ""}.items():
        text = said_otherwise(text, f"insert.{key}", said)
    text = added(added(added(text, "insert.member"), "insert.member"), "insert.member")
    text = said_otherwise(text, "insert.member.2.diameter", "6 mm")
    file = tmp_path / "bundle.toml"
    file.write_text(text, encoding="utf-8")

    members = load_job(file).job.insert.member
    assert [member.at for member in members] == [(0.0, 0.0), (6.0, 0.0), (12.0, 0.0)]
    assert dropped(text, "insert.member.1").count("[[insert.member]]") == 2


def test_a_list_that_is_written_as_an_array_stays_one() -> None:
    text = 'format = 1\ncolour = [{name = "a", share = 1.0}]\n'

    assert added(text, "colour") == (
        'format = 1\ncolour = [{name = "a", share = 0.5}, {name = "colour 2", share = 0.5}]\n'
    )
    assert tomllib.loads(dropped(added(text, "colour"), "colour.2")) == tomllib.loads(text)


@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_comments_that_stand_apart_from_a_table_that_goes_stay(end: str) -> None:
    """What a new job's file keeps ready for a pot, and a line over the tables that follow."""
    text = (
        "[pour]\nshop = '21 C'\n\n[printer]\ncard = 'x'\n# bed = '1 mm'\n\n# [pot]\n# card = 'y'\n"
    ).replace("\n", end)
    ruled = ("[pot]\ncard = 'y'\n\n# --- of resin\n\n# slow\n[resin]\ncard = 'z'\n").replace(
        "\n", end
    )

    assert dropped(text, "printer") == (
        f"[pour]{end}shop = '21 C'{end}{end}# [pot]{end}# card = 'y'{end}"
    )
    assert dropped(ruled, "pot") == ruled.partition(end * 2)[2]


def test_a_whole_table_can_go() -> None:
    assert changed(PEGS, dropped(PEGS, "pot")) == [
        "- [pot]",
        '- card = "pot-228"',
        '- rating = "60 psi"                # typed from the plate',
        "- ",
    ]  # fmt: skip


# --------------------------------------------------------------------------- what is refused


@pytest.mark.parametrize(
    ("key", "match"),
    [
        ("pot.colour", "there is no key pot.colour.*Allowed: card, title"),
        ("pots.card", "there is no key pots.card.*Allowed: order, insert"),
        ("pieces", "there is no key pieces"),
        ("order", "there is no key order"),
        ("colour.name", "does not say which colour.*colour.1 for the first"),
        ("colour.0.name", "does not say which colour"),
        ("colour.2.name", r"there is no colour 2\. Allowed: 1 to 1"),
        ("insert.member", "does not say which insert.member"),
        (
            "insert.member.1.at",
            r"there is no insert.member 1\. Allowed: \[\[insert.member\]\] first",
        ),
        ("a.b.c.d", "there is no key"),
        ("", "there is no key"),
    ],
)
def test_a_key_that_there_is_not(key: str, match: str) -> None:
    with pytest.raises(JobError, match=match):
        said_otherwise(PEGS, key, "1")


def test_text_that_is_no_job() -> None:
    with pytest.raises(JobError, match="this is not TOML"):
        said_otherwise("[order\n", "order.pieces", "1")
    with pytest.raises(JobError, match="order is not a table"):
        said_otherwise("order = 3\n", "order.pieces", "1")
    with pytest.raises(JobError, match="colour is not a list of tables"):
        said_otherwise("colour = 3\n", "colour.1.name", "a")
    with pytest.raises(JobError, match=r"the table \[insert\] is missing"):
        added("format = 1\n", "insert.member")
    with pytest.raises(JobError, match=r"pot is no list of tables.*colour, insert.member"):
        added(PEGS, "pot")
    with pytest.raises(JobError, match=r"there is no table \[rubber\]"):
        dropped(PEGS, "rubber")
    with pytest.raises(JobError, match=r"there is no table pot\.card"):
        dropped(PEGS, "pot.card")


def test_what_is_no_number_elsewhere_keeps_nothing_from_being_said() -> None:
    text = "format = 1\n[resin]\nratio = [nan, 1]\n[order]\npieces = 4\n"

    assert said_otherwise(text, "order.pieces", "5") == text.replace("pieces = 4", "pieces = 5")


def test_a_text_that_would_say_something_else_is_never_handed_back(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("mouldgen.job.rewrite.put_value", lambda *_, **__: None)

    with pytest.raises(InternalError, match="would have changed in more than one place"):
        said_otherwise(PEGS, "piece.diameter", "27 mm")
