"""The ten questions for a new job, one a function."""

from __future__ import annotations

import math
from pathlib import Path

from mouldgen.desk.answers import (
    Measure,
    Tint,
    Title,
    Wanted,
    read_choice,
    read_readings,
    read_size,
    read_tints,
    read_title,
    read_wanted,
    read_wood,
)
from mouldgen.desk.calliper import READINGS, SIZES
from mouldgen.desk.draft import Draft, measure_of, usual_resin, usual_wood
from mouldgen.desk.insert_kinds import FACING_MM, KINDS, LYING_MM, TURNING_MM, Kind, kind_of, names
from mouldgen.desk.insert_line import InsertTold
from mouldgen.desk.mould_kinds import SEVERAL, MouldTold, read_mould, suited, usual_mould
from mouldgen.desk.question import Answer, Question
from mouldgen.desk.scan_answer import SHIPPED, found_words, read_scan
from mouldgen.errors import UsageError

_NONE = ("none", "no")  # what is usual where that is nothing


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
    return Question(text, read, Title(default, default), default, id="title")


def wanted() -> Question[Wanted]:
    """How many, and by when."""
    return Question(
        "How many good pieces must you hand over, and by which day? Such as 18, or 18 by"
        " 2026-12-18.",
        read_wanted,
        Wanted(1),
        "one piece, to try it out, and no day",
        id="wanted",
    )


def kind() -> Question[Kind]:
    """What is cast in."""
    also = {other: kind.name for kind in KINDS for other in kind.also}

    def read(text: str) -> Kind:
        said = also.get(" ".join(text.casefold().split()), text)
        return kind_of(read_choice(said, names=names(), what="shape"))

    return Question(
        "What shape is the insert, the wood that is cast in?",
        read,
        kind_of("rod"),
        "a rod",
        choices=tuple((kind.name, kind.words) for kind in KINDS),
        id="kind",
    )


def mould(draft: Draft) -> Question[MouldTold]:
    """Which family of moulds.

    draft : with the insert's kind and how many pieces are wanted.
    """
    of, pieces = draft.answers.kind.value, draft.answers.wanted.value.pieces
    rows = suited(of)
    offered = [name for name, _ in rows]
    usual = usual_mould(of, pieces=pieces)
    several = [name for name in offered if name in SEVERAL]
    return Question(
        f"Which mould is it cast in? Rows x columns go behind {' or '.join(map(_a, several))}, such"
        f" as {several[0]} 2 x 3.",
        lambda text: read_mould(text, names=offered, kind=of, pieces=pieces),
        usual,
        f"{usual.words}, the usual one for {_a(of.name)}",
        choices=tuple(rows),
        id="mould",
    )


def piece(draft: Draft) -> Question[tuple[Measure, ...]]:
    """How large the finished piece is.

    draft : with the insert's kind, and with its size where that is a scan.
    """
    diameter, length, what = draft.answers.kind.value.finished
    scan = draft.answers.insert.value
    if scan.across_mm:
        what = "what is left of the scan with 2 mm a side and 5 mm an end turned off"
        diameter = _turned(scan.across_mm, 2.0 * TURNING_MM)
        length = _turned(scan.length_mm, 2.0 * FACING_MM)
    usual = (measure_of(diameter), measure_of(length))
    size = f"{usual[0].text} x {usual[1].text}"

    def read(text: str) -> tuple[Measure, ...]:
        found = read_size(text, sides=("diameter", "length"))
        draft.held(piece=found)
        return found

    return Question(
        f"How large is a finished piece? Its largest diameter x its length, such as {size}.",
        read,
        usual,
        f"{size}, {what}",
        id="piece",
    )


def _turned(mm: float, off_mm: float) -> float:
    """Down to a whole millimetre; half of what is too small for that [mm]."""
    left = math.floor(mm - off_mm)
    return float(left) if left >= mm / 2.0 else math.floor(500.0 * mm) / 1000.0


def insert(draft: Draft) -> Question[InsertTold]:
    """How large the insert is.

    draft : with its kind, its wood, its mould and the finished piece.
    """
    of = draft.answers.kind.value
    example = of.usual(draft.room())

    def read(text: str) -> InsertTold:
        told = of.read(text)
        draft.held(insert=told)
        return told

    a_side = LYING_MM if draft.room().lies else TURNING_MM
    return Question(
        f"How large is it? {of.asks}, such as {example}.",
        read,
        of.read(example),
        f"{example}: {a_side:g} mm a side and {FACING_MM:g} mm an end more than the piece",
        drawing=SIZES[of.name],
        unknown=("later", "write it later") if of.name == "outline" else (),
        id="insert",
    )


def scan(draft: Draft) -> Question[InsertTold]:
    """Which file is the scan.

    draft : with the kind and the mould; its folder is the job file's.
    """
    return Question(
        "Which file is the scan? An STL, 3MF, OBJ, PLY, OFF or GLB, by its path from the job"
        " file's folder, such as my-burl.stl; its unit goes behind it where it is not mm:"
        " my-burl.stl, in.",
        lambda text: read_scan(text, draft=draft),
        InsertTold({"file": SHIPPED}),
        f"{SHIPPED}, a burl that is shipped, so that there is a start",
        drawing=SIZES["scan"],
        found=found_words,
        id="scan",
    )


def sized_scan(answer: Answer[InsertTold], draft: Draft) -> Answer[InsertTold]:
    """The answer with the scan's size; only one that was not asked for lacks it.

    draft : as `scan` takes it.
    """
    if answer.known:
        return answer
    return Answer(read_scan(SHIPPED, draft=draft), known=False)


def readings(draft: Draft) -> Question[tuple[Measure, ...]] | None:
    """What the calliper says; None for an insert of which no reading is used.

    draft : with the insert.
    """
    of = draft.answers.kind.value
    if of.name not in READINGS:
        return None
    nominal = draft.nominal_mm()
    near = ", ".join(f"{nominal + off:.1f}" for off in (-0.2, 0.1, 0.0))
    return Question(
        f"Three calliper readings, such as {near} mm. More are welcome.",
        lambda text: read_readings(text, nominal_mm=nominal),
        (),
        "none; the gap then allows for inserts that differ by a few tenths",
        drawing=READINGS[of.name],
        unknown=_NONE,
        id="readings",
    )


def wood(of: Kind) -> Question[tuple[str, str]]:
    """What the insert is made of: it decides how hard it floats.

    of : the insert's kind.
    """
    from mouldgen.job.presets import names

    woods = names("woods")
    key, value, what = usual_wood(of)
    return Question(
        "Which wood? It decides how hard the insert floats; a density such as 0.68 g/ml will do"
        " for any other, and for what is no wood.",
        lambda text: read_wood(text, names=woods),
        (key, value),
        f"{value}, {what}",
        choices=tuple((name.replace("-", " "), "") for name in woods),
        id="wood",
    )


def resin() -> Question[str]:
    """Which resin card."""
    from mouldgen.job.presets import names, read_card

    cards = names("resins")
    usual = usual_resin()
    rows = [(name, str(read_card("resins", name).get("title", ""))) for name in cards]
    return Question(
        "Which resin is nearest to yours? The numbers of its data sheet can go in later.",
        lambda text: read_choice(text, names=cards, what="resin card"),
        usual,
        usual,
        choices=tuple(rows),
        id="resin",
    )


def colours() -> Question[tuple[Tint, ...]]:
    """Which tints."""
    text = "Which colours? Such as smoke, or smoke 70, amber 30."
    return Question(
        text,
        read_tints,
        (),
        "none, the resin stays clear",
        unknown=(*_NONE, "clear"),
        id="colours",
    )


def _a(name: str) -> str:
    return f"an {name}" if name[0] in "aeiou" else f"a {name}"
