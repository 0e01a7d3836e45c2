"""Every Hypothesis strategy of the tests, a section a room."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

from hypothesis import strategies as st

# ---------------------------------------------------------------- packing, layout
from mouldgen.packing.shapes import Bed, Disc, Footprint, Rectangle, RectBed, RoundBed


def _lengths(low: float, high: float) -> st.SearchStrategy[float]:
    """Lengths people type (tenths) and any others [mm]."""
    tenths = st.integers(round(low * 10), round(high * 10)).map(lambda n: n / 10)
    return tenths | st.floats(low, high)


def beds() -> st.SearchStrategy[Bed]:
    """Beds on which every one of `footprints` fits, with a margin of up to 8 mm."""
    sides = _lengths(100, 320)
    return st.builds(RectBed, sides, sides) | st.builds(RoundBed, sides)


def footprints() -> st.SearchStrategy[Footprint]:
    """Discs and rectangles."""
    sides = _lengths(4, 55)
    return st.builds(Disc, _lengths(2, 40)) | st.builds(Rectangle, sides, sides)


@st.composite
def packing_items(draw: st.DrawFn) -> list[Footprint]:
    """Up to four kinds of footprint, up to 40 pieces in mixed order."""
    kinds = draw(st.lists(footprints(), min_size=1, max_size=4))
    picks = draw(st.lists(st.integers(0, len(kinds) - 1), max_size=40))
    return [kinds[pick] for pick in picks]


# ---------------------------------------------------------------- gap, shop

from mouldgen.gap.question import GapQuestion  # noqa: E402
from mouldgen.insert.facts import InsertFacts  # noqa: E402
from tests.gap_questions import (  # noqa: E402
    bar,
    exact_printer,
    flute,
    pour,
    question,
    resin,
    rod,
)


@st.composite
def gap_inserts(draw: st.DrawFn) -> InsertFacts:
    """Rods, flutes and bars of 5 to 80 by 10 to 300 mm, every one measured as drawn."""
    radius, length = draw(_lengths(2.5, 40)), draw(_lengths(10, 300))
    shape = draw(st.sampled_from(["rod", "flute", "bar"]))
    if shape == "bar":
        corner = draw(st.floats(0.2, 0.8))  # half the angle that the thin side is seen under
        insert = bar(width=2 * radius * math.cos(corner), thickness=2 * radius * math.sin(corner))
    elif shape == "flute":
        insert = flute(
            envelope_mm=radius, flutes=draw(st.integers(3, 8)), share=draw(st.floats(0.03, 0.2))
        )
    else:
        insert = rod(envelope_mm=radius)
    return replace(insert, length_mm=length, measured_mm=(2.0 * insert.envelope_mm,) * 22)


@st.composite
def gap_questions(draw: st.DrawFn) -> GapQuestion:
    """Any insert and sequence, in one to three layers, with vent grooves or none.

    Resins that gel in 5 min to a day, closed before or after.  Every insert measured as drawn and
    an exact printer, so that nothing is taken up.
    """
    gel = draw(st.floats(300.0, 86_400.0))
    close = gel * draw(st.floats(0.01, 1.2))
    return question(
        insert=draw(gap_inserts()),
        vent_grooves=draw(st.integers(0, 6)),
        resin=resin(viscosity=draw(st.floats(0.05, 5.0)), gel=gel),
        pour=pour(
            sequence=draw(st.sampled_from(["auto", "resin-first", "insert-first", "bottom-feed"])),
            layers=draw(st.integers(1, 3)),
            shop=draw(st.floats(15.0, 35.0)),
            mix=close * draw(st.floats(0.05, 0.9)),
            close=close,
            push=draw(st.floats(1.0, 200.0)),
            push_time=draw(st.floats(1.0, 600.0)),
        ),
        printer=exact_printer(),
    )


def factors() -> st.SearchStrategy[float]:
    """By how much one thing is made larger."""
    return st.floats(1.0, 3.0)


def shares() -> st.SearchStrategy[float]:
    """Yields and confidences as people type them (hundredths), and any others between."""
    return st.integers(20, 99).map(lambda n: n / 100) | st.floats(0.2, 0.99)


# -------------------------------------------------------------------------- physics


def scalings(count: int) -> st.SearchStrategy[list[float]]:
    """Factors of half to twice for each of some quantities."""
    return st.lists(st.floats(0.5, 2.0), min_size=count, max_size=count)


from mouldgen.physics.belief import Belief  # noqa: E402
from mouldgen.physics.constants import ZERO_CELSIUS  # noqa: E402
from mouldgen.physics.data_sheet import DataSheet  # noqa: E402


def data_sheets() -> st.SearchStrategy[DataSheet]:
    """Resins that gel in 2 min to a day, told for 10 g to 5 kg at 15 to 30 degrees."""
    return st.builds(
        DataSheet,
        gel_time=st.floats(120.0, 86_400.0),
        mass=st.floats(0.01, 5.0),
        temperature=st.floats(15.0, 30.0).map(lambda celsius: celsius + ZERO_CELSIUS),
        density=st.floats(1000.0, 1250.0),
    )


def heat_beliefs() -> st.SearchStrategy[Belief]:
    """Far beyond what is believed: 50 to 600 J/g, 40 to 70 kJ/mol, films of 3 to 30 W/(m2 K)."""
    return st.builds(
        Belief,
        heat=st.floats(50e3, 600e3),
        energy=st.floats(40e3, 70e3),
        film=st.floats(3.0, 30.0),
    )


# ------------------------------------------------------------------------ whole jobs

from mouldgen.job.load import load_job  # noqa: E402
from mouldgen.job.model import Job  # noqa: E402

RESINS = ("casting-epoxy-slow", "casting-epoxy-medium", "casting-urethane-fast")
PRINTERS = ("square-220", "square-300", "round-240")
BARE_JOB = Path(__file__).parent / "bare_job.toml"


def _length(mm: float) -> str:
    return f'"{mm:.2f} mm"'


@st.composite
def _inserts(
    draw: st.DrawFn,
    *,
    round_mm: tuple[float, float],
    length_mm: tuple[float, float],
    flattest: float = 0.5,
) -> tuple[list[str], float, float]:
    """Settings for an insert, its envelope's diameter and its length [mm]."""
    length = round(draw(st.floats(*length_mm)), 2)
    shape = draw(st.sampled_from(["rod", "flute", "bar"]))
    # The demo's readings belong to its own stick; 20 % from the drawn size would be refused.
    sets = [f"insert.shape={shape}", f"insert.length={_length(length)}", "insert.measured=[]"]
    if shape == "bar":
        width = round(draw(st.floats(*round_mm)) * 0.75, 2)
        thickness = round(width * draw(st.floats(flattest, 1.0)), 2)
        sets += [f"insert.width={_length(width)}", f"insert.thickness={_length(thickness)}"]
        return sets, (width**2 + thickness**2) ** 0.5, length
    diameter = round(draw(st.floats(*round_mm)), 2)
    sets.append(f"insert.diameter={_length(diameter)}")
    if shape == "flute":
        sets.append(f"insert.flutes={draw(st.integers(3, 8))}")
        sets.append(f"insert.flute_area={draw(st.floats(0.03, 0.2)):.3f}")
    return sets, diameter, length


def _job(sets: list[str]) -> Job:
    """A job file that says as little as one can, under some settings."""
    return load_job(BARE_JOB, sets=sets).job


@st.composite
def comfortable_jobs(draw: st.DrawFn) -> Job:
    """What a small shop casts on a good day.

    Inserts of 16 to 60 mm across and 35 to 140 mm long, bars up to 3 by 4; a piece of 55 to 85 %
    of their width that leaves 12 mm of their length to waste; slow epoxy in PETG at 17 to 23
    degrees, closed within 14 minutes; a draft of up to a degree; a bed of 300 mm, no pot; gap by
    the rules; any lettering, any count of grooves that the model allows up to six.
    """
    size = _inserts(round_mm=(16.0, 60.0), length_mm=(35.0, 140.0), flattest=0.75)
    sets, across, length = draw(size)
    sets += [
        f"piece.diameter={_length(across * draw(st.floats(0.55, 0.85)))}",
        f"piece.length={_length(length - 12.0)}",
        f"pour.shop={draw(st.floats(17.0, 23.0)):.1f} C",
        f"pour.close={draw(st.floats(8.0, 14.0)):.1f} min",
        f"mould.vent_grooves={draw(st.sampled_from([0, 3, 4, 5, 6]))}",
        f"mould.draft={draw(st.sampled_from([0.0, 0.5, 1.0]))} deg",
        f"mould.lettering={draw(st.sampled_from(['true', 'false']))}",
        f"order.pieces={draw(st.integers(1, 50))}",
        "printer.card=square-300",
    ]
    return _job(sets)


@st.composite
def wide_jobs(draw: st.DrawFn) -> Job:
    """Far beyond what is sensible, all of it legal in a job file.

    Inserts of 9 to 70 mm across and 8 to 220 mm long, bars up to 3 by 4; pieces of any width up
    to 95 % of the insert's, and longer than it; every resin card, shops of 8 to 30 degrees,
    closed after 2 to 25 minutes; gaps by the rules or from 0.3 to 12 mm; drafts up to 6 degrees;
    coarse and fine facets; every printer, with a pot or without.
    """
    sets, across, length = draw(
        _inserts(round_mm=(9.0, 70.0), length_mm=(8.0, 220.0), flattest=0.75)
    )
    gap = draw(st.none() | st.floats(0.3, 12.0))
    sets += [
        f"piece.diameter={_length(across * draw(st.floats(0.3, 0.95)))}",
        f"piece.length={_length(max(2.0, length * draw(st.floats(0.3, 1.1))))}",
        f"resin.card={draw(st.sampled_from(RESINS))}",
        f"pour.shop={draw(st.floats(8.0, 30.0)):.1f} C",
        f"pour.close={draw(st.floats(2.0, 25.0)):.1f} min",
        "pour.mix=1 min",
        f"mould.gap={'auto' if gap is None else f'{gap:.2f} mm'}",
        f"mould.vent_grooves={draw(st.integers(0, 12))}",
        f"mould.draft={draw(st.floats(0.0, 6.0)):.2f} deg",
        f"mould.chord={draw(st.floats(0.003, 0.3)):.3f} mm",
        f"order.pieces={draw(st.integers(1, 60))}",
        f"printer.card={draw(st.sampled_from(PRINTERS))}",
    ]
    if draw(st.booleans()):
        sets.append(f"mould.fill={length * draw(st.floats(0.8, 1.5)) + 5.0:.2f} mm")
    if draw(st.booleans()):
        sets.append(f"pot.card={draw(st.sampled_from(['pot-228', 'pot-305']))}")
    return _job(sets)


def quantity_texts() -> st.SearchStrategy[str]:
    """Anything that might be typed as a quantity, much of it nearly right."""
    pieces = st.sampled_from(
        ["1", "22", "0", "3/16", " ", "-", "/", ".", "e", "1e400", "½", "²", "mm", "in", '"', "°C",
         "F", "psi", "oz", "US fl oz", "g/ml", "Pa s", "min", ",", "nan", "(gauge)"]
    )  # fmt: skip
    return st.lists(pieces, max_size=6).map("".join) | st.text(max_size=80)


def ruler_marks() -> st.SearchStrategy[tuple[int, int, int]]:
    """Whole inches, and a proper fraction of one as a ruler has it: whole, top, bottom."""
    bottoms = st.sampled_from([2, 4, 8, 16, 32, 64])
    return bottoms.flatmap(
        lambda bottom: st.tuples(st.integers(0, 400), st.integers(1, bottom - 1), st.just(bottom))
    )
