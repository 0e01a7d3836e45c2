"""Pot cards kept from one command to the next: a text, and the way back.

The text carries what it was made from, as `mouldgen.castings.card_key` tells it, and a hash of
itself.  Whatever does not agree in both reads as nothing.
"""

from __future__ import annotations

import hashlib
import json
from dataclasses import asdict
from typing import Any

import mouldgen
from mouldgen.castings.on_card import JobCard, OnCard
from mouldgen.job.resin_numbers import KeptClock, KeptResin

SCHEMA = 1


def kept_text(card: JobCard, *, key: str) -> str:
    """A job's cards as a text.

    card : what they say.
    key : of what they were reckoned from.

    Raises ValueError for a number that is none.
    """
    plain = json.loads(json.dumps(asdict(card), allow_nan=False))  # as it will be read again
    kept = {"schema": SCHEMA, "version": mouldgen.__version__, "key": key, "sum": _sum(plain)}
    return json.dumps({**kept, "card": plain}, indent=1) + "\n"


def card_kept(text: str, *, key: str) -> JobCard | None:
    """The cards of a text; None for another key, another schema, or a text that was changed.

    text : as `kept_text` wrote it, or anything else.
    key : of what they would be reckoned from now.
    """
    try:
        found = json.loads(text)
        if (found["schema"], found["key"]) != (SCHEMA, key):
            return None
        if found["sum"] != _sum(found["card"]):
            return None
        return _card(found["card"])
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return None


def _card(said: dict[str, Any]) -> JobCard:
    """From what the hash has shown to be as it was written."""
    loads = {
        int(number): OnCard(tuple(load["numbers"]), load["close_s"])
        for number, load in said["loads"].items()
    }
    resin = KeptResin(**{**said["resin"], "ratio": tuple(said["resin"]["ratio"])})
    facts = {**said, "loads": loads, "resin": resin, "clock": KeptClock(**said["clock"])}
    return JobCard(**facts)


def _sum(card: dict[str, Any]) -> str:
    """A hash of a card as JSON gives it; a number that was read spells as it did before."""
    plain = json.dumps(card, allow_nan=False, sort_keys=True)
    return hashlib.blake2b(plain.encode(), digest_size=20).hexdigest()
