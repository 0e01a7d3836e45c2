"""``mouldgen check`` and a build tell what a part is like to print."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from mouldgen.files.report import report_of
from mouldgen.solid.kernel import Solid, box
from mouldgen.solid.stl import stl_bytes
from mouldgen.solid.threemf import Item, threemf_bytes
from tests.cli_runs import mouldgen
from tests.demo_set import demo_set
from tests.printable import gate, leaning, tee, wedge


def written(folder: Path, part: Solid) -> str:
    path = folder / "part.stl"
    path.write_bytes(stl_bytes([part.any_mesh()]))
    return str(path)


def test_a_good_part_is_told_with_its_thinnest_wall(tmp_path):
    run = mouldgen("check", written(tmp_path, box((0, 0, 0), (40, 30, 1.7))))
    assert (run.code, run.err) == (0, "")
    assert "closed, thinnest wall 1.70 mm." in run.words


def hollow() -> Solid:
    return box((0, 0, 0), (20, 20, 20)) - box((5, 5, 5), (8, 8, 9))


@pytest.mark.parametrize(
    ("part", "code", "says"),
    [
        (hollow, 1, "has a sealed hollow inside"),
        (lambda: leaning(18.0), 1, "part.stl tips over"),
        (lambda: box((0, 0, 0), (40, 0.3, 2)), 1, "less than one printed line, 0.42 mm"),
        (lambda: box((0, 0, 0), (40, 0.7, 5)), 0, "less than two printed lines, 0.84 mm"),
        (lambda: wedge(15), 0, "a feather edge, 20.0 mm long at 15 degrees near x 0.0, y 0.0"),
        (tee, 0, "has 200 mm2 of underside that hang over nothing"),
        (lambda: gate(12), 0, "has a roof that spans 12.0 mm near x 1"),
    ],
    ids=["hollow", "tips", "one line", "two lines", "feather", "overhang", "bridge"],
)
def test_a_fault_is_told_with_its_place(tmp_path, part, code, says):
    run = mouldgen("check", written(tmp_path, part()))
    assert run.code == code
    assert says in run.words
    assert ("must fix:" in run.out, "look at:" in run.out) == (code == 1, code == 0)


def bed(folder: Path, *parts: tuple[str, Solid]) -> str:
    path = folder / "bed.3mf"
    items = [Item(name, part.any_mesh()) for name, part in parts]
    path.write_bytes(threemf_bytes(items, title="bed", application="a test"))
    return str(path)


def test_equal_parts_of_a_bed_are_told_once(tmp_path):
    plate, block = box((0, 0, 0), (40, 0.7, 5)), box((0, 0, 0), (10, 10, 10))
    row = [("plate", plate.moved(y=9.3 * k)) for k in range(20)]
    path = bed(tmp_path, *row[:7], ("block", block.moved(60.1)), *row[7:], ("lid", block))
    run = mouldgen("check", path)
    assert run.words.count("bed.3mf, ") == 3
    assert "bed.3mf, 20 x plate: 40.0 x 0.7 x 5.0 mm" in run.words
    assert run.words.count("less than two printed lines") == 1
    assert "So with all 20 of them, each in its place." in run.words
    # Two that are equal and have two names, and one without a fault, are told apart.
    assert "bed.3mf, block: 10.0" in run.words
    assert "bed.3mf, lid: 10.0" in run.words
    assert len(mouldgen("check", "--json", path).json["solids"]) == 22


def test_parts_of_one_name_that_differ_are_told_apart(tmp_path):
    """By three thousandths of a millimetre at one end; decimals of a file take less."""
    one, other = box((0, 0, 0), (10, 10, 10)), box((30, 0, 0), (40.003, 10, 10))
    run = mouldgen("check", bed(tmp_path, ("body", one), ("body", other)))
    assert run.words.count("bed.3mf, body: ") == 2
    assert " x body" not in run.words


def test_the_figures_are_in_the_json(tmp_path):
    run = mouldgen("check", "--json", written(tmp_path, tee()))
    assert (run.json["line_mm"], run.json["layer_mm"]) == (0.42, 0.2)
    (solid,) = run.json["solids"]
    prints = solid["prints"]
    assert prints["hanging_mm2"] == 200.0
    assert prints["thinnest_wall_mm"] == 4.0
    assert prints["feather_edges"] == prints["sealed_hollows"] == []
    assert (prints["foot_mm2"], prints["foot_mm"], prints["height_mm"]) == (200.0, 10.0, 24.0)
    assert [finding["id"] for finding in solid["findings"]] == ["prints.overhang"]


def test_what_is_not_closed_is_not_looked_at_further(tmp_path):
    path = tmp_path / "open.stl"
    whole = stl_bytes([box((0, 0, 0), (20, 20, 20)).any_mesh()])
    path.write_bytes(whole[:80] + (11).to_bytes(4, "little") + whole[84:-50])
    run = mouldgen("check", "--json", str(path))
    assert run.code == 1
    assert run.json["solids"][0]["prints"] is None


def test_a_build_reports_what_was_measured_and_how_long_it_prints():
    found = demo_set()
    report = report_of(found)
    assert json.dumps(report, allow_nan=False)
    body, lid = (part["prints"] for part in report["parts"][:2])
    assert (body["thinnest_wall_mm"], lid["thinnest_wall_mm"]) == (1.28, 1.68)
    assert body["thinnest_at_mm"] is None
    assert (body["hanging_mm2"], lid["hanging_mm2"]) == (0.0, 0.0)
    assert body["layers"] == 475
    each = body["filament_g"] + lid["filament_g"]
    assert report["filament_g"] == pytest.approx(22 * each, abs=22 * 0.1)
    took = report["print_time"]
    assert took["filament_g"] == report["filament_g"]
    assert took["flow_mm3_s"] == 5.0
    assert "belief" in took["basis"]


def test_a_build_tells_its_time_and_what_it_rests_on(tmp_path):
    run = mouldgen("build", "boathouse-pegs", "--out", str(tmp_path))
    (hours,) = {round(demo_set().print_time.seconds / 3600)}
    assert f"about {hours} h for all 3 beds" in run.words
    assert "printed solid at 5 mm3/s with 2 s for each layer, which is belief" in run.words


def own_card(folder: Path, monkeypatch: pytest.MonkeyPatch, name: str, text: str) -> None:
    path = folder / "printers" / f"{name}.toml"
    path.parent.mkdir()
    path.write_text(text, encoding="utf-8")
    monkeypatch.setenv("MOULDGEN_PRESETS", str(folder))


def test_the_printer_that_was_taken_is_told(tmp_path):
    part = written(tmp_path, box((0, 0, 0), (40, 0.7, 5)))
    run = mouldgen("check", part)
    assert "Looked at for lines of 0.42 mm in layers of 0.2 mm, as printer card square-220" in (
        run.words
    )
    assert "printer card" not in mouldgen("check", "--quiet", part).out
    assert mouldgen("check", "--json", part).json["printer"] == "square-220"


def test_another_printers_lines_are_taken(tmp_path, monkeypatch):
    text = 'title = "wide"\nline = "0.8 mm"\nlayer = "0.3 mm"\n'
    own_card(tmp_path, monkeypatch, "wide-nozzle", text)
    part = written(tmp_path, box((0, 0, 0), (40, 0.7, 5)))
    run = mouldgen("check", "--json", "--printer", "wide-nozzle", part)
    told = (run.json["printer"], run.json["line_mm"], run.json["layer_mm"])
    assert told == ("wide-nozzle", 0.8, 0.3)
    # 0.7 mm is more than one line of 0.42 mm and less than one of 0.8 mm.
    grave = {f["id"]: f["severity"] for f in run.json["solids"][0]["findings"]}
    assert (run.code, grave["prints.thin"]) == (1, "stop")
    plain = mouldgen("check", "--json", part)
    grave = {f["id"]: f["severity"] for f in plain.json["solids"][0]["findings"]}
    assert (plain.code, grave["prints.thin"]) == (0, "warn")


def test_an_unknown_printer_is_refused_with_the_nearest(tmp_path):
    run = mouldgen("check", "--printer", "square-22", written(tmp_path, tee()))
    assert (run.code, run.out) == (2, "")
    assert 'there is no card "square-22"' in run.err
    assert "Did you mean square-220?" in " ".join(run.err.split())


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ('line = "0.4 mm"\n', "the card does not give its layer"),
        ('line = "0.4 mm"\nlayer = "0 mm"\n', "0 mm is no layer"),
        ('line = "wide"\nlayer = "0.2 mm"\n', "printers/broken.toml line"),
    ],
)
def test_a_card_without_its_lines_is_refused(tmp_path, monkeypatch, text, says):
    own_card(tmp_path, monkeypatch, "broken", text)
    run = mouldgen("check", "--printer", "broken", written(tmp_path, tee()))
    assert (run.code, run.out) == (2, "")
    assert says in " ".join(run.err.split())


def test_a_crossing_search_that_was_cut_short_says_so(tmp_path, monkeypatch):
    monkeypatch.setattr("mouldgen.cli.check.CROSSING_S", -1.0)
    run = mouldgen("check", "--json", written(tmp_path, tee()))
    told = {finding["id"]: finding for finding in run.json["solids"][0]["findings"]}
    assert (told["crossing.unfinished"]["severity"], told["crossing.unfinished"]["measured"]) == (
        "note", 0.0,
    )  # fmt: skip
    assert "crossing.itself" not in told
