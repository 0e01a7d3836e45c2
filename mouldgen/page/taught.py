"""What the shop's castings teach a job, for the page; the file is read again once it changed."""

from __future__ import annotations

from collections import OrderedDict
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from mouldgen.castings.place import FILE
from mouldgen.errors import CastingsError, SurroundingsError
from mouldgen.job.find import SHOP_FILE
from mouldgen.job.presets import user_folder
from mouldgen.memo import digest

if TYPE_CHECKING:
    from mouldgen.castings.records import Load
    from mouldgen.castings.tune import Tuned
    from mouldgen.job.load import LoadedJob

_KEPT = 24  # jobs, as an edit goes back and forth between few of them


class Lessons:
    """The castings file of a folder, and what it teaches the jobs that were asked about.

    folder : that is served.
    castings : the file, or None for the shop's own.
    without : as if none were logged.
    """

    def __init__(self, folder: Path, *, castings: Path | None, without: bool) -> None:
        self._folder = folder
        self._castings = castings
        self._without = without
        self._read: tuple[object, tuple[Load, ...]] = (None, ())
        self._known: OrderedDict[bytes, LoadedJob] = OrderedDict()

    def taught(self, loaded: LoadedJob) -> LoadedJob:
        """The job with what castings teach it; a file that cannot be used stops nothing.

        loaded : as it was read.
        """
        try:
            loads = self.loads()
        except (CastingsError, SurroundingsError) as problem:
            return replace(loaded, learned=replace(loaded.learned, unread=str(problem)))
        if not loads:
            return loaded
        key = digest((loaded.job, loaded.given))
        if key not in self._known:
            from mouldgen.learn import learn  # late: most shops log nothing yet

            self._known[key] = learn(loaded, loads)
            if len(self._known) > _KEPT:
                self._known.popitem(last=False)
        self._known.move_to_end(key)
        return self._known[key]

    def log(self, loaded: LoadedJob) -> tuple[tuple[Load, ...], Tuned | None]:
        """Loads, and what they say of the gap; none where the file cannot be read.

        loaded : as it was read, not taught.
        """
        try:
            if not self.place().exists() or self._without:
                return (), None
            from mouldgen.learn import teach

            loads = self.loads()
            return loads, teach(loaded, loads).tuned
        except (CastingsError, SurroundingsError):
            return (), None

    def loads(self) -> tuple[Load, ...]:
        """All loads; none where there is no file.

        Raises CastingsError and SurroundingsError where it cannot be read.
        """
        place = self.place()
        if self._without or not place.exists():
            return ()
        state = _state(place)
        if state != self._read[0]:
            from mouldgen.castings.store import castings_file  # late: it loads the database

            with castings_file(place) as file:
                self._read = (state, file.loads())
            self._known.clear()
        return self._read[1]

    def place(self) -> Path:
        """The castings file, there or not.

        As `mouldgen.castings.place.castings_place` has it for a job of the folder, which may not
        be written yet; where there is no shop file, it lies in the folder that is served.
        """
        if self._castings is not None:
            return self._castings
        own = user_folder()
        folders = [self._folder, Path(), *([own] if own else [])]
        shop = next((folder for folder in folders if (folder / SHOP_FILE).is_file()), self._folder)
        return shop / FILE


def _state(path: Path) -> object:
    """Changes whenever the file does; its journal too, which holds what was written last."""
    found = []
    for name in (path.name, f"{path.name}-wal"):
        beside = path.with_name(name)
        if beside.exists():
            stat = beside.stat()
            found.append((stat.st_mtime_ns, stat.st_size, stat.st_ino))
    return tuple(found)
