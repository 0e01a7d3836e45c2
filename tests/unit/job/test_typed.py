"""What a person types for a key, as the value of the file."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest

from mouldgen.job.typed import typed
from mouldgen.job.written import written


@pytest.mark.parametrize(
    ("key", "said", "value"),
    [
        ("order.pieces", "18", 18),
        ("order.pieces", "18.5", 18.5),  # the job's reader tells what is wrong with it
        ("order.pieces", "many", "many"),
        ("order.yield", "0.92", 0.92),
        ("order.yield", "92 %", 0.92),
        ("order.yield", "92%", 0.92),
        ("order.yield", "1", 1),
        ("cost.profit", "130 %", 1.3),
        ("order.resin_budget", "92 %", "92 %"),  # no share
        ("order.resin_budget", ".5", 0.5),
        ("order.resin_budget", "1e5", "1e5"),
        ("order.resin_budget", "inf", "inf"),
        ("order.resin_budget", "0,5", "0,5"),
        ("order.customers_wood", "Yes", True),
        ("order.customers_wood", "false", False),
        ("order.customers_wood", "Y", True),
        ("order.customers_wood", "n", False),
        ("order.customers_wood", "perhaps", "perhaps"),
        ("order.due", "2026-12-18", dt.date(2026, 12, 18)),
        ("order.due", "18 Dec 2026", dt.date(2026, 12, 18)),
        ("order.due", "December 18th, 2026", dt.date(2026, 12, 18)),
        ("order.due", "next week", "next week"),
        ("order.due", "18.12.2026", "18.12.2026"),  # in another shop 12.18.2026
        ("order.due", "31 Feb 2026", "31 Feb 2026"),
        ("order.due", "18 Ma 2026", "18 Ma 2026"),  # March or May
        ("order.due", "18 Decent 2026", "18 Decent 2026"),
        ("piece.length", " 60 mm ", "60 mm"),
        ("piece.length", "60", "60"),
        ("mould.gap", "auto", "auto"),
        ("mould.gap", "Auto", "auto"),
        ("mould.family", "CUP", "cup"),
        ("mould.bolt", "m3", "M3"),
        ("mould.family", "Goblet", "Goblet"),
        ("mould.id", "007", "007"),
        ("resin.price", "38 per kg", "38 per kg"),
        ("shop.opens", "7:30", "7:30"),
        ("insert.measured", "29.7, 30.1 mm", ["29.7 mm", "30.1 mm"]),
        ("insert.measured", "1 3/16, 1-1/8 in", ["1 3/16 in", "1-1/8 in"]),
        ("insert.measured", "29.7 mm; 30 mm, 1.2 in", ["29.7 mm", "30 mm", "1.2 in"]),
        ("insert.measured", "29.7, 30", ["29.7", "30"]),
        ("insert.measured", '["29.7 mm", 30]', ["29.7 mm", 30]),
        ("insert.measured", "29.7 30.1 mm", ["29.7 mm", "30.1 mm"]),
        ("insert.measured", "1 3/16 in", ["1 3/16 in"]),  # one reading, not two
        ("insert.measured", "29.7,30.1,30 mm", ["29.7 mm", "30.1 mm", "30 mm"]),
        ("insert.measured", "29,30,31 mm", ["29 mm", "30 mm", "31 mm"]),
        ("insert.measured", "1-1/8,1-3/16 in", ["1-1/8 in", "1-3/16 in"]),
        # What may be a decimal comma parts nothing; the job's reader tells what is wrong.
        ("insert.measured", "29,30 mm", ["29,30 mm"]),
        ("insert.measured", "29,7; 30,1 mm", ["29,7", "30,1 mm"]),
        ("insert.measured", "29,7, 30,1 mm", ["29,7", "30,1 mm"]),
        ("insert.measured", "[29.7 mm", "[29.7 mm"),
        ("piece.outline", "0 mm 11 mm; 20 mm 12 mm", [["0 mm", "11 mm"], ["20 mm", "12 mm"]]),
        ("piece.outline", "0, 11; 20, 12 mm;", [["0 mm", "11 mm"], ["20 mm", "12 mm"]]),
        ("piece.outline", "0 in, 1 3/16 in", [["0 in", "1 3/16 in"]]),
        ("piece.outline", "0:11, 20:12 mm", [["0 mm", "11 mm"], ["20 mm", "12 mm"]]),
        ("piece.outline", "0 in : 1/2 in; 2:5/8 in", [["0 in", "1/2 in"], ["2 in", "5/8 in"]]),
        ("insert.member.at", "6 mm, -3 mm", ["6 mm", "-3 mm"]),
        ("insert.member.at", "6 -3 mm", ["6 mm", "-3 mm"]),
        ("printer.keep_out", "0 95 12 30 mm", [["0 mm", "95 mm", "12 mm", "30 mm"]]),
        ("resin.ratio", "2:1", [2, 1]),
        ("resin.ratio", "100 : 43.5", [100, 43.5]),
        ("resin.recoat", "2 h, 1 d", ["2 h", "1 d"]),
        ("resin.packs", "1.5 kg for 42, 6 kg for 150", ["1.5 kg for 42", "6 kg for 150"]),
        ("mould.cells", "2 x 3", [2, 3]),
        ("mould.cells", "2X3", [2, 3]),
        ("mould.cells", "2 by 3", [2, 3]),
        ("resin.ratio", "2 to 1", [2, 1]),
        ("rubber.casts", "50 200", [50, 200]),
        ("resin.packs", "1.5 kg for 42,50; 6 kg for 150", ["1.5 kg for 42,50", "6 kg for 150"]),
        ("shop.days", "mon, Tue wed", ["mon", "tue", "wed"]),
        ("shop.closed", "24 Dec 2026, 2026-12-25", [dt.date(2026, 12, 24), dt.date(2026, 12, 25)]),
        ("shop.closed", "2026-12-24, 2026-12-25", [dt.date(2026, 12, 24), dt.date(2026, 12, 25)]),
    ],
)
def test_a_word_becomes_what_the_key_takes(key: str, said: str, value: Any) -> None:
    table, _, name = key.rpartition(".")
    found = typed(written(table, name), said)

    assert found == value
    assert type(found) is type(value)
