"""Keys that a job may give although the rule that needs them is still to come."""

from __future__ import annotations

from collections.abc import Iterable

_LATER: frozenset[str] = frozenset()  # none today; a key that comes before its rule goes here


def not_used_yet(given: Iterable[str]) -> tuple[str, ...]:
    """The given keys that change no number yet, in the order given.

    given : keys such as ``pot.hold``, as `LoadedJob.given` holds them.
    """
    return tuple(key for key in given if key in _LATER)
