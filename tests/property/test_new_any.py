"""``mouldgen new`` with any answers: what can be meant is written, what cannot is asked again."""

from __future__ import annotations

import contextlib
import io
import tempfile
from collections.abc import Callable
from pathlib import Path
from unittest import mock

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from mouldgen.cli.answers import read_tints, read_wanted
from mouldgen.cli.ask import Answer
from mouldgen.cli.insert_kinds import KINDS, kind_of, names
from mouldgen.cli.mould_kinds import suited
from mouldgen.cli.new_questions import insert as insert_question
from mouldgen.cli.new_questions import mould, piece, readings, wood
from mouldgen.errors import InputError
from mouldgen.job.load import load_job
from tests.cli_runs import Run, mouldgen
from tests.new_drafts import draft_of

quick = settings(
    deadline=None,
    derandomize=True,
    database=None,
    suppress_health_check=[HealthCheck.too_slow],
    phases=(Phase.generate, Phase.shrink),
)
DRAWN = tuple(name for name in names() if name != "scan")

# Words and signs of right answers in any order, and any signs at all.
PIECES = st.sampled_from(
    ["30", "22.5", "7/8", "1 3/16", "0", ":", "x", "by", ",", ";", " ", "mm", "in", '"', "cm",
     "one turn every", "left", "right", "wire", "pitch", "cell", "wall", "plugged", "open", "up",
     "sticks of", "flutes", "%", "g", "ml", "-", "1½", "×", "mm x", "0:15", "70:9", "block", "tray",
     "white ash", "18 by 2026-12-18", "\u0000", "1e9", "..", "/"]
)  # fmt: skip
GARBAGE = st.one_of(st.lists(PIECES, max_size=12).map(" ".join), st.text(max_size=40))


@st.composite
def sizes(draw: st.DrawFn, kind: str) -> tuple[str, str, int]:
    """Piece, insert and number of pieces: an insert within the sizes of a shop, in mm or inches."""
    across = draw(st.integers(14, 60))
    length = draw(st.integers(40, 150))
    unit = draw(st.sampled_from(["mm", "in"]))

    def told(mm: float) -> str:
        return f"{mm:g} mm" if unit == "mm" else f"{max(1, round(mm / 25.4 * 16))}/16 in"

    share = draw(st.floats(0.4, 0.7))
    thin = told(share * across)
    lines = {
        "rod": f"{told(across)} x {told(length)}",
        "tube": f"{told(across)} x {thin} x {told(length)}, "
        + draw(st.sampled_from(["open", "plugged"])),
        "bar": f"{told(across)} x {thin} x {told(length)}",
        "twist": f"{told(across)} x {thin} x {told(length)}, one turn every {told(length)}, "
        + draw(st.sampled_from(["left", "right"])),
        "flute": f"{told(across)} x {told(length)}, {draw(st.integers(3, 8))} flutes",
        "coil": f"{across} x {length} mm, wire {across / 5:g} mm, pitch {across / 2.5:g} mm",
        "taper": f"{told(across)} x {thin} x {told(length)}, "
        + draw(st.sampled_from(["up", "down"])),
        "outline": f"0:{across / 2:g}, {length / 2:g}:{share * across / 2:g},"
        f" {length}:{across / 2:g} mm",
        "bundle": f"{draw(st.integers(2, 9))} sticks of {told(across / 3)} x {told(length)}",
        "honeycomb": f"{across} x {across} x {length} mm, cell {across / 5:g} mm, wall 0.6 mm",
        "heap": f"{told(across)} x {told(length)}, {share * across**2 * length * 4e-4:.3g} g",
    }
    finished = f"{told(max(6, across - 4))} x {told(length - 12)}"
    return finished, lines[kind], draw(st.integers(1, 40))


def run(*lines: str) -> Run:
    """``mouldgen new`` with these lines typed."""
    typed = io.StringIO("".join(line + "\n" for line in lines))
    with mock.patch("sys.stdin", typed):
        return mouldgen("new")


@pytest.mark.parametrize("kind", DRAWN)
def test_valid_answers_are_written_and_answered(kind: str) -> None:
    offered = [name for name, _ in suited(kind_of(kind))]

    @settings(quick, max_examples=3)
    @given(sizes(kind), st.sampled_from(offered))
    def each(told: tuple[str, str, int], family: str) -> None:
        finished, insert, pieces = told
        with tempfile.TemporaryDirectory() as folder, contextlib.chdir(folder):
            lines = ["a job", str(pieces), kind, family, "", finished, insert, *[""] * 3]
            found = run(*lines)
            # No gap may fit, as where much resin stands round a thin insert; the job is kept.
            assert found.code in (0, 1), found.out + found.err
            assert "hit a bug" not in found.err
            job = load_job(Path("a-job.toml")).job
            assert (job.order.pieces, job.mould.family) == (pieces, family)
            assert found.out.count("Allowed:") == 0  # none was asked again
            assert found.out.count("Taken:") == (4 if kind_of(kind).shape != "bundle" else 3)

    each()


def refused_without_help(read: Callable[[str], object], text: str) -> str | None:
    """A refusal that says neither what is allowed nor what to try; None for any other outcome."""
    try:
        read(text)
    except InputError as refused:  # whatever else is raised goes on
        helps = refused.allowed or refused.try_ or "such as" in refused.what
        return None if helps else refused.what
    return None


@pytest.mark.parametrize("kind", DRAWN)
def test_no_answer_trips_a_reader(kind: str) -> None:
    draft = draft_of(kind)
    asked = [question(draft) for question in (mould, piece, insert_question, readings)]
    readers = [question.read for question in asked if question is not None]
    readers += [wood(kind_of(kind)).read, read_wanted, read_tints]

    @settings(quick, max_examples=150)
    @given(GARBAGE)
    def each(text: str) -> None:
        for read in readers:
            assert refused_without_help(read, text) is None

    each()


@settings(quick, max_examples=30)
@given(st.floats(2.0, 150.0), st.floats(2.0, 600.0), st.sampled_from(DRAWN), st.booleans())
def test_what_is_usual_goes_with_any_piece(
    diameter: float, length: float, kind: str, tray: bool
) -> None:
    lies = tray and "tray" in [name for name, _ in suited(kind_of(kind))]
    draft = draft_of(kind, mould="tray" if lies else "")
    size = piece(draft).read(f"{diameter:.4g} mm x {length:.4g} mm")
    draft = draft.with_(piece=Answer(size, known=True))
    job = draft.held(insert=insert_question(draft).default)
    assert job.insert.shape == kind_of(kind).shape
    assert (job.piece.diameter, job.piece.length) == pytest.approx((diameter, length), rel=1e-3)


def test_every_kind_is_tried() -> None:
    assert len(DRAWN) == len(KINDS) - 1
