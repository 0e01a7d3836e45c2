"""Plain tables: columns by spaces, the last one broken to lines where it is long."""

from __future__ import annotations

from collections.abc import Sequence

from mouldgen.cli.say import width, wrapped

BETWEEN = "  "
_LEAST = 20  # columns in which a text is still worth breaking to lines
_BELOW = 6  # columns by which it stands in, where it goes below its row instead


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
        if len(tail) <= max(room, _LEAST) or width() < _LEAST + _BELOW + len(indent):
            lines.append((head + tail).rstrip())
        elif room >= _LEAST:
            lines.append(wrapped(tail, first=head))
        else:
            lines += [head.rstrip(), wrapped(tail, first=indent + " " * _BELOW)]
    return "\n".join(lines)
