"""What can be said of a job, key by key: it reads back, and what is usual is what holds."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from mouldgen.errors import JobError
from mouldgen.finding import NOTHING_LEARNED
from mouldgen.job import keys
from mouldgen.job.fields import Field, fields_of, said_text
from mouldgen.job.key_words import key_words
from mouldgen.job.load import LoadedJob, merge_job, unwritten_job
from mouldgen.job.rewrite import said_otherwise
from mouldgen.job.toml import parse_toml
from mouldgen.job.typed import typed
from mouldgen.job.written import written

TEXTS = {
    path.stem: path.read_text(encoding="utf-8")
    for path in sorted(Path("presets/jobs").glob("*.toml"))
}
PEGS = TEXTS["boathouse-pegs"]


def loaded(text: str, *, folder: Path | None = None) -> LoadedJob:
    data = parse_toml(text.encode(), label="job.toml")
    if folder is None:
        return merge_job(data, label="job.toml")
    return unwritten_job(data, label="job.toml", folder=folder)


@cache
def shown(text: str) -> dict[str, Field]:
    return {field.key: field for field in fields_of(loaded(text), text)}


def at_shop(folder: Path, shop: str, text: str) -> dict[str, Field]:
    (folder / "shop.toml").write_text(shop, encoding="utf-8")
    return {field.key: field for field in fields_of(loaded(text, folder=folder), text)}


@pytest.mark.parametrize("name", [name for name in TEXTS if name != "burl-knobs"])
def test_what_is_said_reads_back_as_it_stands(name: str) -> None:
    # One scan takes seconds to load; it says nothing in another form than the others do.
    text = TEXTS[name]
    fields = shown(text)
    said = [field for field in fields.values() if field.said]

    assert len(said) >= 12
    for field in said:
        assert said_otherwise(text, field.key, field.said) == text, field.key
        assert (field.source, field.shown) == ("job", field.said)
    # Every key that the file has is there.
    data = parse_toml(text.encode(), label="")
    lone = {f"{t}.{k}" for t, table in data.items() if isinstance(table, dict) for k in table}
    assert {key for key in lone if key not in keys.LISTS} <= set(fields)


def test_what_is_usual_said_out_loud_changes_nothing() -> None:
    before = loaded(PEGS).job
    # Where the presets tell, the job says None, and what holds is found later.
    later = ("work.", "cost.", "shop.wage", "piece.facing", "mould.head")
    tried = 0
    for field in shown(PEGS).values():
        if field.said or not field.usual or field.key.startswith(later):
            continue
        after = loaded(said_otherwise(PEGS, field.key, field.usual)).job
        table = field.key.partition(".")[0]
        empty = {"extras": keys.TABLES["extras"]()}  # a table that is there and says what is usual
        assert (getattr(before, table) or empty[table]) == getattr(after, table), field.key
        tried += 1
    assert tried > 60


@pytest.mark.parametrize(
    ("key", "kind", "choices", "usual"),
    [
        ("order.pieces", "count", (), ""),
        ("order.yield", "share", (), "0.9"),
        ("order.customers_wood", "yes-no", (), "false"),
        ("order.due", "date", (), ""),
        ("order.resin_budget", "number", (), ""),
        ("insert.wood", "card", None, ""),
        ("insert.measured", "list", (), ""),
        ("piece.turning", "quantity", (), "3 mm"),  # of presets/allowances.toml, up to 60 mm
        ("piece.thread", "card", None, ""),
        ("mould.gap", "quantity", ("auto",), "auto"),
        ("mould.bolt", "choice", ("M3", "M4"), "M3"),
        ("resin.card", "card", None, ""),
        ("resin.ratio", "list", (), "2, 1"),
        ("resin.gel", "quantity", (), "40 min"),
        ("pot.rating", "quantity", (), ""),
        ("shop.days", "list", (), "mon, tue, wed, thu, fri"),
        ("work.drill", "quantity", (), "90 s"),
        ("cost.wood", "number", (), "1.5"),
        ("shop.wage", "number", (), "20.0"),
        ("colour.1.name", "text", (), ""),
        ("unit", "choice", ("mm", "cm", "in"), ""),
    ],
)
def test_a_field_is_told_by_its_model_its_card_and_the_presets(
    key: str, kind: str, choices: tuple[str, ...] | None, usual: str
) -> None:
    field = shown(PEGS)[key]

    assert (field.kind, field.usual) == (kind, usual)
    if choices is not None:
        assert field.choices == choices
    assert set(field.told()) == {
        "key", "said", "shown", "kind", "choices", "usual", "hint", "from",
    }  # fmt: skip


def test_cards_are_offered_by_the_names_that_people_write() -> None:
    fields = shown(PEGS)

    assert "white ash" in fields["insert.wood"].choices
    assert {"M6", "1/4-20"} <= set(fields["piece.thread"].choices)
    assert fields["resin.card"].said in fields["resin.card"].choices


def test_every_field_has_a_hint_without_marks() -> None:
    for field in shown(PEGS).values():
        assert field.hint
        assert not re.search(r"`|\]\(|below$|below;|must be given$", field.hint), field.key
        assert not field.hint.endswith((";", ",")), field.key
    assert shown(PEGS)["piece.diameter"].hint == "the largest, finished"
    assert key_words("insert.member", "inside").hint.startswith("diameter of a tube's bore")


def test_who_says_what_holds(tmp_path: Path) -> None:
    shop = (
        '[pot]\ncard = "pot-305"\nrating = "50 psi"\ntiers = 2\n[shop]\nwage = 25\n'
        '[resin]\nloss = 0.2\n[mould]\ndraft = "2 deg"\n'
    )
    fields = at_shop(tmp_path, shop, PEGS)

    def told(key: str) -> tuple[str, str, str]:
        return fields[key].said, fields[key].usual, fields[key].source

    assert told("shop.wage") == ("", "25", "shop")
    assert told("mould.draft") == ("", "2 deg", "shop")
    # The job names another pot, so the shop's numbers of its own pot do not hold here.
    assert told("pot.card") == ("pot-228", "pot-305", "job")
    assert told("pot.rating") == ("60 psi", "", "job")
    assert told("pot.tiers") == ("", "1", "usual")
    assert told("pot.diameter") == ("", "228 mm", "card")
    # The shop's resin has no card of its own, so the job's starts anew.
    assert told("resin.loss") == ("", "0.1", "card")
    assert told("order.due") == ("2026-12-18", "", "job")
    assert told("order.approval") == ("", "", "")
    # A key that the job says over a card tells what the card would.
    said = said_otherwise(PEGS, "pot.diameter", "230 mm")
    assert (shown(said)["pot.diameter"].usual, shown(said)["pot.diameter"].source) == (
        "228 mm",
        "job",
    )


def test_what_the_family_of_moulds_brings_is_usual() -> None:
    pens, knobs = shown(TEXTS["conference-pens"]), shown(TEXTS["drawer-knobs"])

    assert pens["mould.family"].said == "tray"
    assert (pens["mould.draft"].usual, pens["mould.draft"].source) == ("1 deg", "usual")
    assert knobs["mould.draft"].usual == "0 deg"


def test_what_castings_teach_is_usual_until_the_job_says_it() -> None:
    text = said_otherwise(PEGS, "order.yield", "")
    one = replace(loaded(text), learned=replace(NOTHING_LEARNED, yield_=0.8765, loss=0.134))
    fields = {field.key: field for field in fields_of(one, text)}

    assert fields["order.yield"].usual == "0.876"
    assert (fields["resin.loss"].usual, fields["resin.loss"].source) == ("0.134", "usual")


def test_sizes_of_other_shapes_are_left_out_unless_they_are_said() -> None:
    fields = shown(PEGS)

    assert {"insert.diameter", "insert.flutes", "insert.hole", "insert.length"} <= set(fields)
    assert not {"insert.wire", "insert.profile", "insert.file", "insert.cell"} & set(fields)
    assert not any(key.startswith("rubber.") for key in fields)
    assert any(key.startswith("rubber.") for key in shown(TEXTS["lamp-finials"]))


def test_a_scan_has_the_keys_of_a_scan() -> None:
    pegs = loaded(PEGS)
    scan = pegs.job.insert.model_copy(update={"shape": "scan", "file": "burl-knob.stl"})
    one = replace(pegs, job=pegs.job.model_copy(update={"insert": scan}))
    found = {field.key for field in fields_of(one, TEXTS["burl-knobs"])}

    assert {"insert.file", "insert.mend", "insert.end_down"} <= found
    assert "insert.diameter" not in found
    assert "insert.length" not in found  # it is measured on the scan, and refused in a file


def test_members_of_a_bundle_have_the_sizes_of_their_shape() -> None:
    text = Path("tests/bare_job.toml").read_text(encoding="utf-8")
    text = said_otherwise(said_otherwise(text, "insert.shape", "bundle"), "insert.diameter", "")
    text += (
        '\n[[insert.member]]\nshape = "tube"\nat = ["0 mm", "0 mm"]\ndiameter = "9 mm"\n'
        'inside = "6 mm"\n[[insert.member]]\nshape = "bar"\nat = ["12 mm", "0 mm"]\n'
        'width = "5 mm"\nthickness = "4 mm"\n'
    )
    fields = shown(text)

    assert {"insert.member.1.inside", "insert.member.2.width"} <= set(fields)
    assert not {"insert.member.1.width", "insert.member.2.inside"} & set(fields)
    assert fields["insert.member.2.at"].said == "12 mm, 0 mm"


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("insert.measured", ["29.7 mm", "30 mm"]),
        ("insert.measured", [29.7, 30]),
        ("piece.outline", [["0 in", "1 3/16 in"], ["2 in", "1 in"]]),
        ("printer.keep_out", [["0 mm", "95 mm", "12 mm", "30 mm"]]),
        ("resin.ratio", [100, 43.5]),
        ("order.customers_wood", True),
        ("order.yield", 0.92),
    ],
)
def test_a_value_as_typed_is_read_back(key: str, value: object) -> None:
    table, _, name = key.rpartition(".")
    found = typed(written(table, name), said_text(value))

    bare = [str(one) for one in value] if value == [29.7, 30] else value
    assert found == bare


def test_bare_lengths_beside_others_keep_apart() -> None:
    """A bare number has the unit of the file, whatever stands behind it."""
    assert said_text([29.7, "1.2 in"]) == '[29.7, "1.2 in"]'


def test_text_that_is_no_job_is_refused() -> None:
    with pytest.raises(JobError, match="this is not TOML"):
        fields_of(loaded(PEGS), "[order")
