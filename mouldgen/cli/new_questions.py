"""The ten questions of ``mouldgen new``, one a function."""

from __future__ import annotations

import datetime as dt
import math
from pathlib import Path

from mouldgen.cli.answers import (
    FLUTES,
    SIDES,
    InsertSize,
    Measure,
    Tint,
    Title,
    read_choice,
    read_date,
    read_insert,
    read_pieces,
    read_readings,
    read_size,
    read_tints,
    read_title,
    read_wood,
)
from mouldgen.cli.ask import Question
from mouldgen.cli.calliper import DRAWINGS
from mouldgen.cli.tables import table
from mouldgen.errors import UsageError

# What an insert is larger than its piece by where nobody knows its size.
TURNING_MM = 2.0  # a side
FACING_MM = 5.0  # each end
WOOD = "white-ash"
RESIN = "casting-epoxy-slow"


def title(folder: Path | None) -> Question[Title]:
    """What is made.

    folder : where no file of that name may stand; None where the file's name is given.
    """

    def read(text: str) -> Title:
        found = read_title(text)
        if folder is not None and (folder / f"{found.name}.toml").exists():
            raise UsageError(
                f"there is a {found.name}.toml here already", try_="Take another name."
            )
        return found

    default = "my-job"
    for number in range(2, 1000):
        if folder is None or not (folder / f"{default}.toml").exists():
            break
        default = f"my-job-{number}"
    text = "What are you making? A few words, such as coat pegs: they name the job."
    return Question(text, read, Title(default, default), default)


def pieces() -> Question[int]:
    """How many."""
    text = "How many good pieces must you hand over?"
    return Question(text, read_pieces, 1, "one piece, to try it out")


def due() -> Question[dt.date | None]:
    """By when."""
    return Question("By which day? Such as 2026-12-18.", read_date, None, "no day")


def piece() -> Question[tuple[Measure, ...]]:
    """How large the finished piece is."""
    return Question(
        "How large is a finished piece? Its largest diameter x its length, such as 26 mm x 60 mm.",
        lambda text: read_size(text, sides=("diameter", "length")),
        (Measure("26 mm", 26.0), Measure("60 mm", 60.0)),
        "26 mm x 60 mm, a coat peg",
    )


def shape() -> Question[str]:
    """What is cast in."""
    rows = [
        ("rod", "a round stick"),
        ("flute", "a round stick with grooves along it"),
        ("bar", "a stick with four flat sides"),
    ]
    return Question(
        "What shape is the insert, the wood that is cast in?",
        lambda text: read_choice(text, names=tuple(SIDES), what="shape"),
        "rod",
        "a rod",
        above=_numbered(rows),
    )


def insert(of: str, finished: tuple[Measure, ...]) -> Question[InsertSize]:
    """How large the insert is.

    of : its shape.
    finished : diameter and length of the finished piece.
    """
    across = finished[0].mm + 2 * TURNING_MM
    if of == "bar":
        across = math.ceil(2.0 * across / math.sqrt(2.0)) / 2.0  # its corners on that circle
    sizes = [across] * (len(SIDES[of]) - 1) + [finished[1].mm + 2 * FACING_MM]
    lengths = tuple(Measure(f"{round(mm, 2):g} mm", round(mm, 2)) for mm in sizes)
    told = " x ".join(length.text for length in lengths)
    grooves = ", and how many flutes" if of == "flute" else ""
    example = f"{told}, {FLUTES} flutes" if of == "flute" else told
    return Question(
        f"How large is it? {' x '.join(SIDES[of]).capitalize()}{grooves}, such as {example}.",
        lambda text: read_insert(text, shape=of),
        InsertSize(lengths, FLUTES),
        f"{example}: {TURNING_MM:g} mm a side and {FACING_MM:g} mm an end more than the piece",
    )


def readings(of: str, nominal: Measure) -> Question[tuple[Measure, ...]]:
    """What the calliper says.

    of : the insert's shape.
    nominal : its diameter or width.
    """
    return Question(
        "Three calliper readings, such as 29.8, 30.1, 30.0 mm. More are welcome.",
        lambda text: read_readings(text, nominal_mm=nominal.mm),
        (),
        "none; the gap then allows for inserts that differ by a few tenths",
        above=DRAWINGS[of],
    )


def wood() -> Question[tuple[str, str]]:
    """What the insert is made of: it decides how hard it floats."""
    from mouldgen.job.presets import names
    from mouldgen.job.woods import wood_density

    woods = names("woods")
    usual = WOOD if WOOD in woods else woods[0]
    density = wood_density(usual)
    return Question(
        "Which wood? It decides how hard the insert floats; a density such as 0.68 g/ml will do.",
        lambda text: read_wood(text, names=woods),
        ("wood", usual.replace("-", " ")),
        f"{usual.replace('-', ' ')}, {density:.2f} g/ml",
        above=_numbered([(name.replace("-", " "), "") for name in woods]),
    )


def resin() -> Question[str]:
    """Which resin card."""
    from mouldgen.job.presets import names, read_card

    cards = names("resins")
    usual = RESIN if RESIN in cards else cards[0]
    rows = [(name, str(read_card("resins", name).get("title", ""))) for name in cards]
    return Question(
        "Which resin is nearest to yours? The numbers of its data sheet can go in later.",
        lambda text: read_choice(text, names=cards, what="resin card"),
        usual,
        usual,
        above=_numbered(rows),
    )


def colours() -> Question[tuple[Tint, ...]]:
    """Which tints."""
    text = "Which colours? Such as smoke, or smoke 70, amber 30."
    return Question(text, read_tints, (), "none, the resin stays clear")


def _numbered(rows: list[tuple[str, str]]) -> str:
    """A list to choose from."""
    return table([(str(i), *row) for i, row in enumerate(rows, 1)], right=(0,), indent="   ")
