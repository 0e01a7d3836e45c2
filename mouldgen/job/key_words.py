"""What each key of the job file means, in the words of the page about it."""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from mouldgen.job import keys
from mouldgen.job.table import Card

_FILE = Path(__file__).with_name("key_words.toml")
_POINTERS = re.compile(r"[;,] (see )?below\b")  # to another place on the page
_LINK = re.compile(r"\[([^\]]*)\]\([^)]*\)")
_SILENT = (  # nothing that helps where the key is written, or what its usual value says better
    "none", "empty", "must be given", "must be given, or on the card",
    "must be given, but for a scan",
    "`wood` or `density`", "by size, below", "none: of the presets",
)  # fmt: skip


@dataclass(frozen=True, eq=False)
class KeyWords:
    """What is told of a key.

    means : as the page has it, with its backquotes and links.
    usual : what holds without it, the same way.
    """

    means: str
    usual: str

    @property
    def usual_value(self) -> str:
        """What holds without it in the words of a file; empty where that is not one value."""
        found = re.fullmatch(r"`([^`]*)`", self.usual)
        if found is None:
            return ""
        value = tomllib.loads(f"value = {found[1]}")["value"]
        if isinstance(value, list):
            return ", ".join(str(one) for one in value)
        return str(value).lower() if isinstance(value, bool) else str(value)

    @property
    def hint(self) -> str:
        """What it means in a short sentence, without any marks."""
        usual = "" if self.usual in _SILENT or self.usual_value else self.usual
        usual = usual.removeprefix("none; ")
        if usual and not usual.endswith(("need it", "needs it")):
            usual = f"without it: {usual.removeprefix('none: ')}"
        told = "; ".join(part for part in (self.means, usual) if part)
        told = told.replace("`true`: ", "yes: ")
        return _LINK.sub(r"\1", _POINTERS.sub("", told)).replace("`", "")


@cache
def key_words(table: str, key: str) -> KeyWords:
    """What is told of a key.

    table : as `mouldgen.job.keys` names it; empty before the first one.
    key : of it, one that there is.
    """
    words = _words()
    if table and key in Card.model_fields and issubclass(_model(table), Card):
        return KeyWords(*words["card"][key])
    means, usual = words[table or "top"][key]
    if means == "as above":  # a member of a bundle, as the whole insert
        means = words["insert"][key][0]
    return KeyWords(means, usual)


def _model(table: str) -> type:
    return (keys.TABLES | keys.NESTED)[table]


@cache
def _words() -> dict[str, dict[str, list[str]]]:
    return tomllib.loads(_FILE.read_text(encoding="utf-8"))
