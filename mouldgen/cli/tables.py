"""Plain tables: columns by spaces, the last one broken to lines where it is long."""

from __future__ import annotations

from collections.abc import Sequence

from mouldgen.cli.say import width, wrapped

BETWEEN = "  "


def table(rows: Sequence[Sequence[str]], *, right: Sequence[int] = (), indent: str = "") -> str:
    """Rows under one another; the first row is the heading.

    rows : all of the same length.
    right : columns whose text ends at the same place, such as numbers.
    indent : in front of every line.
    """
    last = len(rows[0]) - 1
    widths = [max(len(row[column]) for row in rows) for column in range(last + 1)]
    lines = []
    for row in rows:
        cells = [
            text.rjust(widths[i]) if i in right else text.ljust(widths[i])
            for i, text in enumerate(row)
        ]
        head = indent + "".join(cell + BETWEEN for cell in cells[:last])
        tail = cells[last].rstrip()
        room = width() - len(head)
        if len(tail) <= room or room < 20:  # in a very narrow terminal it breaks by itself
            lines.append((head + tail).rstrip())
        else:
            lines.append(wrapped(tail, first=head))
    return "\n".join(lines)
