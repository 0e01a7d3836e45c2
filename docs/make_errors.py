"""Write docs/errors.md from the error tree: ``make errors``.

A test holds the committed page to the output of `page`.
"""

from __future__ import annotations

import inspect
from collections.abc import Iterator
from pathlib import Path

from mouldgen import errors

PAGE = Path(__file__).with_name("errors.md")

HEAD = """\
# Errors

This page is made from `mouldgen/errors.py` by `make errors`; edit it there.

Every message says what was wrong, where (file, table and key), what is allowed and what to try.
The command ends with one of these exit codes:

| exit code | meaning |
| --- | --- |
| 0 | done |
| 1 | the question is sound and the answer is no: a conflict, or something that must be fixed |
| 2 | what was given cannot be used: a file, a value, an option |
| 3 | the surroundings failed (disk, folder, lock), or mouldgen broke one of its own promises |
| 130 | interrupted |

The id stands for the kind of error and does not change between versions.
In Python every kind is a class, importable as `mouldgen.NAME`; catching one catches those below it.

| id | class | exit code | what it means |
| --- | --- | --- | --- |
"""


def page() -> str:
    """The whole page, ready to be written."""
    rows = [
        f"| `{kind.id}` | {indent(depth)}`{kind.__name__}` | {kind.exit_code} | {meaning(kind)} |"
        for depth, kind in tree(errors.MouldgenError)
    ]
    return HEAD + "\n".join(rows) + "\n"


def tree(
    root: type[errors.MouldgenError], depth: int = 0
) -> Iterator[tuple[int, type[errors.MouldgenError]]]:
    """Each class with its depth, parents first, in the order in which they are written."""
    yield depth, root
    for child in root.__subclasses__():
        if child.__module__ == errors.__name__:
            yield from tree(child, depth + 1)


def indent(depth: int) -> str:
    """Space that a table cell keeps."""
    return "&nbsp;" * 4 * depth


def meaning(kind: type[errors.MouldgenError]) -> str:
    """The first paragraph of the class's docstring on one line."""
    return " ".join(inspect.cleandoc(kind.__doc__ or "").split("\n\n")[0].split())


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8", newline="\n")
    print(f"written: {PAGE.name}")
