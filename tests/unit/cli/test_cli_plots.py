"""Plots of characters, column by column."""

from __future__ import annotations

import io
import math

import pytest

from mouldgen.cli.bands_plot import BandRow, bands_plot
from mouldgen.cli.bounds_plot import bounds_plot
from mouldgen.cli.plots import BLOCKS, PLAIN, Scale, Signs, signs
from mouldgen.finding import Bound, Kind


def bound(rule: str, kind: Kind, value: float | None) -> Bound:
    return Bound(rule, kind, value, why="because", source="belief")


BOUNDS = (
    bound("slide", "at_least", 0.67),
    bound("air", "at_least", 0.78),
    bound("push", "at_least", 0.935),
    bound("turn", "at_least", 0.0),
    bound("fits", "at_most", 68.0),
    bound("heat", "at_most", 4.2),
    bound("depth", "at_most", math.inf),
    bound("habit", "advice", 3.0),
    bound("sequence", "advice", math.inf),  # words alone
)

# 66 columns go to 5 mm: 0.94 mm falls into column 12, 3 mm into column 39, 4.2 mm starts at 56.
IN_BLOCKS = """\
                   │ gap 0.94 mm
slide  ████████▌   │                                                       0.67
air    ██████████  │                                                       0.78
push   ████████████│                                                       0.94
turn               │                                                       any
fits               │                                                    →  68.00
heat               │                                           ░░░░░░░░░░  4.20
depth              │                                                       any
habit              │                          ●                            3.00
       ┴────────────┴────────────┴────────────┴────────────┴────────────┴
       0            1            2            3            4            5 mm

█ too narrow for the rule, ░ too wide, → further right, ● advice, │ the gap"""

# 42 columns go to 0.8 mm: 0.67 mm fills 35, 0.34 mm starts at 18.
NO_GAP = """\
       no gap is free of bars
slide  ###################################         0.67
air    ##########################################  none
fits                     ////////////////////////  0.34
       +---------+----------+---------+---------+
       0.0      0.2        0.4       0.6      0.8 mm

# too narrow for the rule, / too wide, > further right"""

# 27 columns go to 3 mm: 1.98 mm falls into column 17, 1 mm starts at 9.
GIVEN = """\
            gap 1.98 mm |
slide  #################|           2.00
fits            ////////|/////////  1.00
       +--------+--------+-------+
       0        1        2       3 mm"""

# 40 columns go to 40 min.
BANDS = """\
                      | closed
 50 g                 |    ###########           20 to 30 min
100 g                #|                          14.9 min
200 g            #############################>  10 min or never
  1 g                 |                       >  never
       +---------+---------+---------+--------+
       0         10        20        30      40 min"""


def test_every_bound_in_its_column() -> None:
    assert bounds_plot(BOUNDS, gap_mm=0.94, columns=80, drawn=BLOCKS) == IN_BLOCKS


def test_the_same_in_plain_signs() -> None:
    plain = IN_BLOCKS.translate(str.maketrans("█▌░●│→┴─", "# /o|>+-"))

    assert bounds_plot(BOUNDS, gap_mm=0.94, columns=80, drawn=PLAIN) == plain


def test_a_conflict_has_no_line_and_no_place_without_a_bar() -> None:
    bounds = (BOUNDS[0], bound("air", "at_least", None), bound("fits", "at_most", 0.34))

    assert bounds_plot(bounds, gap_mm=None, columns=55, drawn=PLAIN) == NO_GAP


def test_a_gap_among_bars_is_seen_and_told_where_there_is_room() -> None:
    bounds = (bound("slide", "at_least", 2.0), bound("fits", "at_most", 1.0))

    plot = bounds_plot(bounds, gap_mm=1.98, columns=40, drawn=PLAIN)
    assert plot.split("\n\n")[0] == GIVEN


@pytest.mark.parametrize("columns", [40, 60, 80, 100])
@pytest.mark.parametrize("drawn", [BLOCKS, PLAIN], ids=["blocks", "plain"])
def test_no_line_is_wider_than_asked(columns: int, drawn: Signs) -> None:
    lines = bounds_plot(BOUNDS, gap_mm=0.94, columns=columns, drawn=drawn).split("\n\n")[0]

    assert max(len(line) for line in lines.splitlines()) <= columns


def test_bands_go_from_their_low_to_their_high_end() -> None:
    rows = [
        BandRow(" 50 g", 20.0, 30.0, "20 to 30 min"),
        BandRow("100 g", 14.9, 14.9, "14.9 min"),
        BandRow("200 g", 10.0, math.inf, "10 min or never"),
        BandRow("  1 g", math.inf, math.inf, "never"),
    ]

    plot = bands_plot(rows, line=15.0, line_words="closed", unit="min", columns=64, drawn=PLAIN)
    assert plot == BANDS


def test_a_scale_starts_at_the_tick_before_its_lowest_value() -> None:
    scale = Scale.reaching(286.0, columns=59, low=21.0)

    assert (scale.start, scale.end, scale.by) == (0.0, 300.0, 50.0)
    assert Scale.reaching(31.0, columns=59, low=21.0).start == 20.0


class Stream(io.StringIO):
    def __init__(self, encoding: str | None) -> None:
        super().__init__()
        self.told = encoding

    @property
    def encoding(self) -> str | None:  # type: ignore[override]
        return self.told


@pytest.mark.parametrize(
    ("encoding", "drawn"),
    [("utf-8", BLOCKS), ("UTF8", BLOCKS), ("cp1252", PLAIN), ("ascii", PLAIN), (None, PLAIN)],
)
def test_blocks_only_where_the_terminal_has_them(
    monkeypatch: pytest.MonkeyPatch, encoding: str | None, drawn: Signs
) -> None:
    monkeypatch.setattr("sys.stdout", Stream(encoding))

    assert signs() is drawn
