"""Rows of the castings file as columns of a regression.

The first two columns are there always: a constant, and ``s = ln(open / air)``, how wide a casting
was poured against what the air rule asked of it.  Others are taken where the rows can tell:

- at least 5 castings of 2 loads lie on either side of the column's middle, and those sides differ
  by as much as matters (`LEAST_STEP`);
- there is one for every 5 of voids and of castings without, whichever is fewer;
- it does not repeat a column already taken (correlation below 0.95).

They are asked in the order of `_NUMBERS`, then the sequences.  Each is centred and divided by two
standard deviations, so that a column of numbers and one of yes and no move alike (A. Gelman,
Statist. Med. 27 (2008) 2865).
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from mouldgen.castings.load_luck import LoadRows
from mouldgen.castings.records import Casting
from mouldgen.physics.gas import STANDARD_ATMOSPHERE

Floats = npt.NDArray[np.float64]

LEAST_A_SIDE, LEAST_LOADS_A_SIDE = 5, 2
LEAST_PER_COLUMN = 5  # voids, and castings without, that each further column takes
MOST_COLUMNS = 4  # beside the constant and s
REPEATS = 0.95
FARTHEST = 100.0  # times the air rule's gap, or that share of it: beyond, a slip of the pen

KPA_ATMOSPHERE = STANDARD_ATMOSPHERE / 1000.0


@dataclass(frozen=True, eq=False, kw_only=True)
class JobFacts:
    """How the next castings of a job will be poured.

    air_mm : what the air rule, before anything is learned, asks of them [mm].
    taken_mm : what inserts and printer take up of the printed gap [mm].
    sequence : resin-first, insert-first or bottom-feed.
    pressure_kpa : gauge; 0 without a pot [kPa].
    shop_c : temperature of the shop [C].
    pours : that a casting is filled in.
    """

    air_mm: float
    taken_mm: float
    sequence: str
    pressure_kpa: float
    shop_c: float
    pours: int = 1

    def wide(self, gap_mm: Floats) -> Floats:
        """``ln(open / air)`` at printed gaps, any shape.

        gap_mm : more than what is taken up [mm].
        """
        return np.log((gap_mm - self.taken_mm) / self.air_mm)


@dataclass(frozen=True, eq=False, kw_only=True)
class Column:
    """A further column.

    name : in a maker's words.
    value : of a casting, or of a job.
    centre, scale : what is taken away, and what is divided by.
    """

    name: str
    value: Callable[[Casting | JobFacts], float]
    centre: float
    scale: float

    def of(self, castings: Sequence[Casting | JobFacts]) -> Floats:
        """Scaled values (castings,).

        castings : rows, or jobs.
        """
        raw = np.array([self.value(one) for one in castings], dtype=np.float64)
        return (raw - self.centre) / self.scale


@dataclass(frozen=True, eq=False, kw_only=True)
class Design:
    """The rows that say something of the gap, and their columns.

    used : in the order of their loads.
    left_out : castings with a result whose gap was closed or further from the rule's than
        `FARTHEST`, or that no gap would have done for.
    wide : ``ln(open / air)`` of each (castings,).
    void : whether each had one that breaks the surface (castings,).
    load : of each, counted from 0 (castings,).
    columns : taken, beside the constant and s.
    rows : equal castings of a load put together.
    """

    used: tuple[Casting, ...]
    left_out: int
    wide: Floats
    void: npt.NDArray[np.bool_]
    load: npt.NDArray[np.intp]
    columns: tuple[Column, ...]
    rows: LoadRows

    @property
    def loads(self) -> int:
        """That the castings were poured in."""
        return len(self.rows.starts)

    def at(self, job: JobFacts, gap_mm: Floats) -> Floats:
        """Columns of a job at printed gaps (gaps, columns).

        job : how it is poured.
        gap_mm : more than what is taken up (gaps,) [mm].
        """
        rest = [np.full(len(gap_mm), float(column.of([job])[0])) for column in self.columns]
        return np.column_stack([np.ones(len(gap_mm)), job.wide(gap_mm), *rest])


def design(castings: Sequence[Casting]) -> Design:
    """Columns of all castings that have a result.

    castings : rows of the file, in any order.
    """
    noted = [one for one in castings if one.result is not None]
    used = sorted(filter(_tells, noted), key=lambda one: (one.load, one.id))
    wide = np.log(
        np.array([one.open_mm for one in used], dtype=np.float64)
        / np.array([one.air_mm for one in used], dtype=np.float64)
    )
    void = np.array([one.result is not None and one.result.voids for one in used], dtype=bool)
    numbers = np.array([one.load for one in used], dtype=np.int64)
    load = np.unique(numbers, return_inverse=True)[1].ravel() if used else numbers
    columns, values = _taken(used, void=void, load=load, wide=wide)
    x = np.column_stack([np.ones(len(used)), wide, *values])
    return Design(
        used=tuple(used),
        left_out=len(noted) - len(used),
        wide=wide,
        void=void,
        load=load,
        columns=columns,
        rows=grouped_by_load(x, void, load),
    )


def grouped_by_load(x: Floats, void: npt.NDArray[np.bool_], load: npt.NDArray[np.intp]) -> LoadRows:
    """Rows of one load whose columns are equal become one.

    x : columns (castings, columns).
    void : (castings,).
    load : counted from 0 without a gap (castings,).
    """
    if not len(x):
        none = np.zeros(0)
        return LoadRows(x=x, voids=none, castings=none, starts=np.zeros(0, dtype=np.intp))
    order = np.lexsort((*x.T[::-1], load))
    x, void, load = x[order], void[order], load[order]
    new = np.ones(len(x), dtype=bool)
    new[1:] = (load[1:] != load[:-1]) | (x[1:] != x[:-1]).any(axis=1)
    first = np.flatnonzero(new)
    return LoadRows(
        x=x[first],
        voids=np.add.reduceat(void.astype(np.float64), first),
        castings=np.diff(np.append(first, len(x))).astype(np.float64),
        starts=np.flatnonzero(np.diff(load[first], prepend=-1)),
    )


def _tells(casting: Casting) -> bool:
    if not (casting.open_mm > 0.0 and 0.0 < casting.air_mm < math.inf):
        return False
    return 1.0 / FARTHEST <= casting.open_mm / casting.air_mm <= FARTHEST


def _log_pressure(one: Casting | JobFacts) -> float:
    return math.log(one.pressure_kpa + KPA_ATMOSPHERE)


def _shop(one: Casting | JobFacts) -> float:
    return one.shop_c


def _pours(one: Casting | JobFacts) -> float:
    return float(one.pours > 1)


# Name, value, and by how much its two sides must differ for it to matter.
_NUMBERS: tuple[tuple[str, Callable[[Casting | JobFacts], float], float], ...] = (
    ("pressure", _log_pressure, math.log(1.25)),
    ("temperature of the shop", _shop, 2.0),
    ("pours", _pours, 0.0),
)


def _asked(
    used: Sequence[Casting],
) -> list[tuple[str, Callable[[Casting | JobFacts], float], float]]:
    """What may become a column: the numbers, and every sequence but the commonest."""
    counts = Counter(one.sequence for one in used).most_common()
    rest = sorted(name for name, _ in counts[1:])
    return [*_NUMBERS, *((name, _is_sequence(name), 0.0) for name in rest)]


def _is_sequence(name: str) -> Callable[[Casting | JobFacts], float]:
    return lambda one: float(one.sequence == name)


def _taken(
    used: Sequence[Casting],
    *,
    void: npt.NDArray[np.bool_],
    load: npt.NDArray[np.intp],
    wide: Floats,
) -> tuple[tuple[Column, ...], list[Floats]]:
    most = min(MOST_COLUMNS, min(int(void.sum()), int((~void).sum())) // LEAST_PER_COLUMN)
    columns: list[Column] = []
    values: list[Floats] = []
    if not most:
        return (), []
    for name, value, step in _asked(used):
        raw = np.array([value(one) for one in used], dtype=np.float64)
        if len(columns) == most or not _varies(raw, load, step):
            continue
        column = Column(
            name=name, value=value, centre=float(raw.mean()), scale=2.0 * float(raw.std())
        )
        scaled = (raw - column.centre) / column.scale
        if not any(_repeats(scaled, other) for other in (wide, *values)):
            columns.append(column)
            values.append(scaled)
    return tuple(columns), values


def _varies(raw: Floats, load: npt.NDArray[np.intp], step: float) -> bool:
    """Whether enough castings of enough loads lie on either side of the middle."""
    high = raw > 0.5 * (raw.min() + raw.max())
    sides = [raw[high], raw[~high]]
    loads = [len(np.unique(load[high])), len(np.unique(load[~high]))]
    if min(map(len, sides)) < LEAST_A_SIDE or min(loads) < LEAST_LOADS_A_SIDE:
        return False
    return float(sides[0].mean() - sides[1].mean()) >= step


def _repeats(one: Floats, other: Floats) -> bool:
    if other.std() == 0.0:
        return False
    return abs(float(np.corrcoef(one, other)[0, 1])) >= REPEATS
