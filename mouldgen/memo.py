"""A bounded store of steps already computed, owned by whoever calls `build`.

A step is known by its name and by the hash of its canonical input, so a change of the resin's
price asks for no solid again.
"""

from __future__ import annotations

import dataclasses
import hashlib
import struct
from collections import OrderedDict
from collections.abc import Callable
from typing import Any, ParamSpec, TypeVar

P = ParamSpec("P")
R = TypeVar("R")


class Memo:
    """Keeps the newest results of named steps.

    most : how many results are kept; with 0 none is, and no input is hashed.
    hits, misses : how often a step was known, and how often it had to run.
    """

    def __init__(self, most: int = 64) -> None:
        self.most = most
        self.hits = 0
        self.misses = 0
        self._kept: OrderedDict[tuple[str, bytes], Any] = OrderedDict()

    def step(self, run: Callable[P, R], *args: P.args, **named: P.kwargs) -> R:
        """The result of ``run(*args, **named)``, from the store where the input is the same."""
        if self.most == 0:
            self.misses += 1
            return run(*args, **named)
        key = (f"{run.__module__}.{run.__qualname__}", digest((args, named)))
        if key in self._kept:
            self.hits += 1
            self._kept.move_to_end(key)
            return self._kept[key]  # type: ignore[no-any-return]
        self.misses += 1
        result = run(*args, **named)
        self._kept[key] = result
        if len(self._kept) > self.most:
            self._kept.popitem(last=False)
        return result


def digest(value: object) -> bytes:
    """A hash of a value's content that does not depend on the run, 16 bytes.

    Takes numbers, text, bytes, None, dates, sequences, mappings, frozen dataclasses, models
    and arrays.  Raises TypeError for anything else.
    """
    state = hashlib.blake2b(digest_size=16)
    _feed(state.update, value)
    return state.digest()


def _feed(update: Callable[[bytes], None], value: Any) -> None:
    kind = type(value).__name__.encode()
    if value is None or isinstance(value, bool | int | str):
        text = str(value).encode()
        update(b"%s %d:%s" % (kind, len(text), text))
    elif isinstance(value, float):
        update(b"f" + struct.pack("<d", value))
    elif isinstance(value, bytes):
        update(b"b%d:" % len(value) + value)
    elif dataclasses.is_dataclass(value):
        _feed_named(update, value, _held(value))
    elif hasattr(type(value), "model_fields"):
        _feed_named(update, value, _said(value))
    elif isinstance(value, dict):
        _feed_pairs(update, b"map", sorted(value.items()))
    elif isinstance(value, tuple | list):
        update(b"(%d" % len(value))
        for item in value:
            _feed(update, item)
    elif hasattr(value, "isoformat"):
        _feed(update, value.isoformat())
    elif hasattr(value, "tobytes"):
        update(f"a{value.dtype}{value.shape}".encode() + value.tobytes())
    else:
        raise TypeError(f"no canonical form for a {type(value).__name__}")


def _said(model: Any) -> list[str]:
    """The fields of a model, but for those that joined it later and are as they were before."""
    later = getattr(type(model), "joined_later", ())
    return [
        name
        for name, info in type(model).model_fields.items()
        if name not in later or getattr(model, name) != info.default
    ]


def _held(value: Any) -> list[str]:
    """The same of a dataclass."""
    later = getattr(type(value), "joined_later", ())
    return [
        field.name
        for field in dataclasses.fields(value)
        if field.name not in later or getattr(value, field.name) != field.default
    ]


def _feed_named(update: Callable[[bytes], None], value: object, names: list[str]) -> None:
    kind = type(value).__name__.encode()
    _feed_pairs(update, kind, [(name, getattr(value, name)) for name in names])


def _feed_pairs(update: Callable[[bytes], None], kind: bytes, pairs: list[tuple[str, Any]]) -> None:
    update(b"{%s %d" % (kind, len(pairs)))
    for name, item in pairs:
        _feed(update, name)
        _feed(update, item)
