"""Pot cards kept beside the printed ones, so that a pour is written down at once.

Only what was reckoned from the very same job, shop file, presets and lessons is used again; in
any doubt it is reckoned anew, and where it cannot be kept nothing is said.
"""

from __future__ import annotations

import contextlib
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from mouldgen.castings.card_key import CardKey, card_key
from mouldgen.castings.kept_card import card_kept, kept_text
from mouldgen.castings.place import castings_place
from mouldgen.cli.lessons import read_loads
from mouldgen.errors import MouldgenError

if TYPE_CHECKING:
    from mouldgen.castings.on_card import JobCard
    from mouldgen.cli.asked import Asked

PLACE = "cards/loads.json"  # in the job's folder, with the printed cards
_LARGEST_BYTES = 10_000_000
# What a job file, a castings file or a disk may raise: its command tells it, not this.
_DOUBTS = (MouldgenError, OSError, ValueError, RuntimeError)


@dataclass(frozen=True, eq=False)
class KeptCards:
    """The kept cards of one job and one castings file; made by `kept_cards`.

    job : a file, or the name of a shipped job.
    sets : settings.
    out : folder that holds a folder a job.
    castings : the file that the job learns from; None where it learns from none.
    key : when the command began; None where cards are not kept.
    """

    job: str
    sets: tuple[str, ...]
    out: Path
    castings: Path | None
    key: CardKey | None

    def read(self) -> JobCard | None:
        """What the cards say; None where that must be reckoned."""
        if self.key is None:
            return None
        path = self._path(self.key)
        with contextlib.suppress(OSError, ValueError):
            if path.is_file() and path.stat().st_size <= _LARGEST_BYTES:
                return card_kept(path.read_text("utf-8"), key=self.key.key)
        return None

    def keep(self, card: JobCard | None) -> None:
        """Keep what was reckoned, unless anything that it depends on changed meanwhile.

        card : what the cards say; None keeps nothing.
        """
        if card is None or self.key is None or card.job != self.key.job:
            return
        with contextlib.suppress(*_DOUBTS):
            from mouldgen.files.single import put_file  # late: a card that is kept needs it not

            now = _key(self.job, self.sets, self.castings)
            if now is not None and now.key == self.key.key:
                text = kept_text(card, key=now.key)
                put_file(self.out / now.job, PLACE, text.encode())

    def _path(self, key: CardKey) -> Path:
        return self.out.joinpath(key.job, *PLACE.split("/"))


def kept_cards(job: str, *, sets: tuple[str, ...], out: Path, castings: Path | None) -> KeptCards:
    """The kept cards of a job, to be asked for before anything of it is read.

    job, sets, out, castings : as `KeptCards` has them.
    """
    return KeptCards(job, sets, out, castings, _key(job, sets, castings))


def kept_cards_of(asked: Asked, *, out: Path) -> KeptCards:
    """The same for a command on a job.

    asked : the common options.
    out : folder that holds a folder a job.
    """
    castings = None
    with contextlib.suppress(*_DOUBTS):
        castings = None if asked.no_castings else asked.castings or castings_place(asked.job)
    return kept_cards(asked.job, sets=asked.sets, out=out, castings=castings)


def _key(job: str, sets: tuple[str, ...], castings: Path | None) -> CardKey | None:
    with contextlib.suppress(*_DOUBTS):
        loads = read_loads(castings) if castings is not None and castings.exists() else ()
        return card_key(job, sets=sets, loads=loads)
    return None
