"""The ten questions at the terminal and for one who keeps the answers: the same file comes out."""

from __future__ import annotations

import contextlib
import io
import tempfile
from collections.abc import Sequence
from pathlib import Path
from unittest import mock

from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from mouldgen.desk.insert_kinds import names
from mouldgen.desk.next_question import Asked, Finished, next_question
from mouldgen.errors import InputError
from tests.cli_runs import Run, mouldgen
from tests.new_answers import GARBAGE, sizes

DRAWN = tuple(name for name in names() if name != "scan")
ENOUGH = [""] * 12  # so that the answers never end before the questions
SHOPS = ["", 'format = 1\n[printer]\ncard = "round-240"\n[pour]\nshop = "18 C"\n']


@st.composite
def typed(draw: st.DrawFn) -> list[str]:
    """Lines for the questions in their order, with slips between them that are mostly refused."""
    kind = draw(st.sampled_from(DRAWN))
    finished, insert, pieces = draw(sizes(kind))
    told = [
        draw(st.sampled_from(["", "pegs", "Coat pegs", "taken", "con", '"best" \\ pegs'])),
        draw(st.sampled_from(["", str(pieces), f"{pieces} by 2026-12-18"])),
        draw(st.sampled_from([kind, "", "1", "pipe", "?"])),
        draw(st.sampled_from(["", "1", "2", "block 2 x 3", "tray", "rubber"])),
        draw(st.sampled_from(["", "white oak", "0.68 g/ml", "3"])),
        draw(st.sampled_from([finished, ""])),
        draw(st.sampled_from([insert, "", "later"])),
        draw(st.sampled_from(["", "29.8, 30.1, 30.0 mm", "30"])),
        draw(st.sampled_from(["", "2", "don't know"])),
        draw(st.sampled_from(["", "smoke 70, amber 30", '"sea" \\ blue, red'])),
    ]
    slip = GARBAGE.filter(lambda text: not set("\n\r") & set(text) and text.isprintable())
    lines = []
    for line in told:
        lines += [*draw(st.lists(slip, max_size=1)), line]
    return lines + ENOUGH


def at_the_terminal(lines: Sequence[str]) -> Run:
    stdin = io.StringIO("".join(line + "\n" for line in lines))
    with mock.patch("sys.stdin", stdin), mock.patch("mouldgen.cli.new._show", return_value=0):
        return mouldgen("new")


def kept(lines: Sequence[str], folder: Path) -> tuple[Finished, list[str]]:
    """What one who keeps the answers ends with, and every sentence that was said on the way."""
    answers: list[str] = []
    step: Asked | Finished = next_question(answers, folder=folder)
    said = [*step.told]
    for line in lines:
        assert isinstance(step, Asked)
        assert step.at == len(answers) + 1 <= step.of
        said.append(step.words)
        try:
            step = next_question([*answers, line], folder=folder)
        except InputError as refused:
            said.append(str(refused))
            continue
        answers.append(line)
        said += step.told
        if isinstance(step, Finished):
            return step, said
    raise AssertionError("the lines ended before the questions")


@settings(
    deadline=None, derandomize=True, database=None, max_examples=25,
    suppress_health_check=[HealthCheck.too_slow], phases=(Phase.generate, Phase.shrink),
)  # fmt: skip
@given(typed(), st.sampled_from(SHOPS))
def test_terminal_and_kept_answers_write_the_same_job(lines: list[str], shop: str) -> None:
    with tempfile.TemporaryDirectory() as folder, contextlib.chdir(folder):
        Path("taken.toml").write_text("mine")
        if shop:
            Path("shop.toml").write_text(shop)
        finished, said = kept(lines, Path())
        run = at_the_terminal(lines)

        assert (run.code, run.err) == (0, "")
        assert Path(f"{finished.name}.toml").read_text("utf-8") == finished.text
        printed = "".join(run.out.split())
        assert [text for text in said if "".join(text.split()) not in printed] == []
