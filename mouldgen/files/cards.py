"""The cards of a job, put into its folder all at once; cards of an earlier run go."""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path

from mouldgen.files.folder import locked, replace_folder, told_of

CARDS = "cards"  # apart from the set: a build leaves what lies in it alone
_CARD = re.compile(r"load-\d+(-pour-\d+)?\.txt")


def put_cards(folder: Path, pages: Mapping[str, str]) -> tuple[Path, ...]:
    """Write cards into the folder of that name in a job's folder.

    A card of an earlier run that is not among them goes, so that nobody pours by it; everything
    else there stays.

    folder : the job's; it is made where it is not there.
    pages : text by file name, such as ``load-1.txt``.

    Returns the paths written.  Raises SurroundingsError where they cannot be written or another
    run is writing the folder.
    """
    cards = folder / CARDS
    with told_of(folder):
        folder.parent.mkdir(parents=True, exist_ok=True)
        with locked(folder):
            replace_folder(
                cards, {name: text.encode() for name, text in pages.items()}, made=_earlier
            )
    return tuple(cards / name for name in pages)


def _earlier(cards: Path) -> set[str]:
    return {path.name for path in cards.iterdir() if _CARD.fullmatch(path.name)}
