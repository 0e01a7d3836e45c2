"""Everything mouldgen raises on purpose, and the exit code each kind stands for.

::

    MouldgenError
    ├── InputError            exit 2   what the maker gave cannot be used
    │   ├── UnitError                  a quantity that cannot be read
    │   ├── JobError                   a job file, its tables, keys and values
    │   ├── PresetError                a card that is not there or is broken
    │   ├── MeshFileError              a mesh file that cannot be read
    │   ├── ScanError                  a scan that was read and cannot be used
    │   ├── CastingsError              a castings file, or rows that it does not take
    │   └── UsageError                 options that do not go together
    ├── NoAnswerError         exit 1   the question is sound, the answer is no
    ├── SurroundingsError     exit 3   the disk, the folder, a lock
    └── InternalError         exit 3   mouldgen broke one of its own promises
        ├── KernelError                the geometry kernel refused or emptied a solid
        ├── LayoutError                a bed layout failed its independent check
        └── PlanError                  a plan failed its independent check

A message says what was wrong, where, what is allowed and what to try.  The
facts travel as attributes, so that a page can put the message beside its field.
"""

from __future__ import annotations

from collections.abc import Callable


class MouldgenError(Exception):
    """The root: catch this one at the outermost edge only."""

    exit_code = 3
    id = "error"

    def __init__(self, what: str, *, where: str = "", allowed: str = "", try_: str = "") -> None:
        """
        what : what was wrong, a clause without a full stop.
        where : file, table and key, or the file name.
        allowed : what would have been accepted.
        try_ : what the maker can do next.
        """
        super().__init__(what, where, allowed, try_)
        self.what = what
        self.where = where
        self.allowed = allowed
        self.try_ = try_

    def __str__(self) -> str:
        head = f"{self.where}: {self.what}" if self.where else self.what
        parts = [_sentence(head)]
        if self.allowed:
            parts.append(_sentence(f"Allowed: {self.allowed}"))
        if self.try_:
            parts.append(_sentence(self.try_))
        return " ".join(parts)

    def __reduce__(self) -> tuple[object, ...]:
        # Keyword-only facts must survive the trip to a worker process and back.
        return (_rebuild, (type(self), self.what, self.where, self.allowed, self.try_))

    def retold(self, words: Callable[[str], str]) -> MouldgenError:
        """The same error in other words; file, table and key stay.

        words : from a clause to how its reader is told it.
        """
        what, allowed, try_ = (words(text) for text in (self.what, self.allowed, self.try_))
        return type(self)(what, where=self.where, allowed=allowed, try_=try_)

    def at(self, where: str) -> MouldgenError:
        """The same error, told with the place that a caller higher up knows."""
        return type(self)(self.what, where=where, allowed=self.allowed, try_=self.try_)


def _rebuild(
    kind: type[MouldgenError], what: str, where: str, allowed: str, try_: str
) -> MouldgenError:
    return kind(what, where=where, allowed=allowed, try_=try_)


def _sentence(text: str) -> str:
    text = text.strip()
    return text if text.endswith((".", "?", "!")) else text + "."


class InputError(MouldgenError):
    """What the maker gave cannot be used as it stands."""

    exit_code = 2
    id = "input"


class UnitError(InputError, ValueError):
    """A quantity that cannot be read: number, unit, sign or size."""

    id = "unit"


class JobError(InputError, ValueError):
    """A job file: not there, not TOML, an unknown key, a wrong type, a contradiction."""

    id = "job"


class PresetError(InputError, LookupError):
    """A card that no folder of presets holds, or that is broken."""

    id = "preset"


class MeshFileError(InputError, ValueError):
    """A mesh file that cannot be read: missing, truncated, not the format it claims."""

    id = "mesh-file"


class ScanError(InputError, ValueError):
    """A scan that was read and cannot be used: not to be mended, in pieces, too large."""

    id = "scan"


class CastingsError(InputError, ValueError):
    """A castings file that is none, damaged or newer, and rows that it does not take."""

    id = "castings"


class UsageError(InputError, ValueError):
    """A command called with words that do not go together."""

    id = "usage"


class NoAnswerError(MouldgenError):
    """The question is sound and the answer is no: a conflict, a must-fix finding."""

    exit_code = 1
    id = "no-answer"


class SurroundingsError(MouldgenError, OSError):
    """The disk is full, the folder is read-only, another run holds the lock."""

    exit_code = 3
    id = "surroundings"

    def __str__(self) -> str:  # OSError brings its own, which would show the raw tuple
        return MouldgenError.__str__(self)


class InternalError(MouldgenError, RuntimeError):
    """mouldgen broke one of its own promises; the maker did nothing wrong."""

    exit_code = 3
    id = "internal"


class KernelError(InternalError):
    """The geometry kernel refused an operation or returned an empty solid."""

    id = "kernel"


class LayoutError(InternalError):
    """A bed layout failed the check that does not share its code."""

    id = "layout"


class PlanError(InternalError):
    """A plan of the work failed the check that does not share its code."""

    id = "plan"
