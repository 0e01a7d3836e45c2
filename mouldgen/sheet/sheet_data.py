"""The job sheet as a value: what page and paper show, part by part, and nothing that they reckon.

Every number that is shown is a `Value` with a name of its own, so that one can be followed from
the terminal to the page.  A sentence that holds numbers is one as well, without a number beside
it: it is told whole, as on the terminal.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar


@dataclass(frozen=True, eq=False)
class Value:
    """Something that is shown.

    id : unique on the sheet, such as ``gap.gap_mm``.
    text : as it is shown, its unit in it.
    number : the same as a number, in `unit`; None for a sentence, a name or a moment.
    unit : of the number; empty for a count and for none.
    key : of the job file that says it, such as ``order.pieces``; empty where it is worked out.
    """

    id: str
    text: str
    number: float | None = None
    unit: str = ""
    key: str = ""


Cell = Value | str  # a plain text holds no number; an empty one is where nothing is to be said


@dataclass(frozen=True, eq=False)
class Told:
    """A paragraph.

    value : its text.
    loud : what the part comes down to, or what must be seen.
    """

    kind: ClassVar[str] = "told"
    value: Value
    loud: bool = False


@dataclass(frozen=True, eq=False)
class Heading:
    """A heading inside a part.

    value : its text.
    """

    kind: ClassVar[str] = "heading"
    value: Value


@dataclass(frozen=True, eq=False)
class Facts:
    """Names with what they are.

    name : of all of them together, without a number.
    rows : each a name and its values.
    """

    kind: ClassVar[str] = "facts"
    name: str
    rows: tuple[tuple[Cell, tuple[Value, ...]], ...]


@dataclass(frozen=True, eq=False)
class Grid:
    """A table.

    caption : what it holds, without a number.
    head : of its columns.
    rows : their first cell names the row.
    right : columns of numbers.
    prose : columns of sentences, which stand under the others where the page is narrow.
    boxed : whether each row begins with a box to tick.
    """

    kind: ClassVar[str] = "grid"
    caption: str
    head: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]
    right: tuple[int, ...] = ()
    prose: tuple[int, ...] = ()
    boxed: bool = False


@dataclass(frozen=True, eq=False)
class Drawing:
    """A drawing or a picture.

    source : the file itself, as a data address.
    alt : for one who does not see it.
    caption : under it.
    wide : takes the width of the page.
    """

    kind: ClassVar[str] = "drawing"
    source: str
    alt: Value
    caption: Value
    wide: bool = True


@dataclass(frozen=True, eq=False)
class Slot:
    """A marked place for drawings, which may be empty.

    name : of the place.
    drawings : in it.
    """

    kind: ClassVar[str] = "slot"
    name: str
    drawings: tuple[Drawing, ...] = ()


@dataclass(frozen=True, eq=False)
class Big:
    """What is read from a step away: names with digits.

    rows : each a name and its value.
    boxed : whether each has a box to tick.
    """

    kind: ClassVar[str] = "big"
    rows: tuple[tuple[str, Value], ...]
    boxed: bool = False


@dataclass(frozen=True, eq=False)
class Boxes:
    """Sentences to tick.

    values : each with its box.
    """

    kind: ClassVar[str] = "boxes"
    values: tuple[Value, ...]


@dataclass(frozen=True, eq=False)
class Pencil:
    """Blanks to write in.

    names : of the blanks.
    """

    kind: ClassVar[str] = "pencil"
    names: tuple[str, ...]


@dataclass(frozen=True, eq=False)
class Found:
    """A finding.

    severity : ``stop``, ``warn`` or ``note``.
    word : for it.
    value : the message.
    """

    kind: ClassVar[str] = "found"
    severity: str
    word: str
    value: Value


Item = Told | Heading | Facts | Grid | Drawing | Slot | Big | Boxes | Pencil | Found


@dataclass(frozen=True, eq=False)
class Part:
    """A part of the sheet, or one card.

    id : unique, such as ``gap``.
    title : its heading.
    items : in order.
    close : whether it is set closely, so that it stays on one page.
    """

    id: str
    title: Value
    items: tuple[Item, ...]
    close: bool = False


@dataclass(frozen=True, eq=False)
class SheetData:
    """Everything that a job's sheet shows.

    name : of the job.
    lead : the order in one sentence.
    stops : what must be fixed first.
    parts : from the order to the cautions.
    cards : for the pot, one a page.
    made : what tells it from the sheet of another job, beside its title.
    """

    name: Value
    lead: Value
    stops: tuple[Value, ...]
    parts: tuple[Part, ...]
    cards: tuple[Part, ...]
    made: tuple[Value, ...]

    def values(self) -> Iterator[Value]:
        """Every value once, in the order of the sheet."""
        yield from (self.name, self.lead, *self.stops)
        for part in (*self.parts, *self.cards):
            yield part.title
            for item in part.items:
                yield from _values(item)
        yield from self.made


def _values(item: Item) -> Iterator[Value]:
    if isinstance(item, (Told, Heading, Found)):
        yield item.value
    elif isinstance(item, Facts):
        for name, values in item.rows:
            yield from (name, *values) if isinstance(name, Value) else values
    elif isinstance(item, Grid):
        for row in item.rows:
            yield from (cell for cell in row if isinstance(cell, Value))
    elif isinstance(item, Drawing):
        yield from (item.alt, item.caption)
    elif isinstance(item, Slot):
        for drawing in item.drawings:
            yield from _values(drawing)
    elif isinstance(item, Big):
        yield from (value for _, value in item.rows)
    elif isinstance(item, Boxes):
        yield from item.values
