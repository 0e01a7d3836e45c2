"""``mouldgen presets``: the cards there are, and where their numbers come from."""

from __future__ import annotations

from typing import Any

from mouldgen.cli.say import say, say_wrapped
from mouldgen.cli.tables import table
from mouldgen.cli.words import count


def show_presets(kind: str | None, name: str | None) -> int:
    """List the kinds, the cards of one kind, or one card with its bases."""
    from mouldgen.job import presets

    if kind is None:
        rows = [
            ("kind", "cards"),
            *((k, count(len(presets.names(k)), "card")) for k in presets.KINDS),
        ]
        say(table(rows))
        say()
        say_wrapped("A kind lists its cards, a kind and a card's name show its numbers.")
        _say_folders()
    elif name is None:
        cards = [(card, _title(presets.read_card(kind, card))) for card in presets.names(kind)]
        say(table([("card", "what it is"), *cards]))
    else:
        _say_card(presets.read_card(kind, name))
    return 0


def _say_folders() -> None:
    from mouldgen.job.presets import shipped_folder, user_folder

    own = user_folder()
    if own is not None:
        say_wrapped(f"Your own go before those shipped, from folders such as resins in: {own}")
    say_wrapped(f"Shipped: {shipped_folder()}")


def _title(card: dict[str, Any]) -> str:
    return str(card.get("title") or card.get("name") or "")


def _say_card(card: dict[str, Any]) -> None:
    bases = card.get("basis")
    told = bases if isinstance(bases, dict) else {}
    rows = [("key", "value", "where it comes from")]
    for key, value in _flat(card):
        rows.append((key, value, str(told.get(key, ""))))
    say(table(rows))


def _flat(card: dict[str, Any], before: str = "") -> list[tuple[str, str]]:
    """Keys and values, those of tables by their path; the bases stand beside, not among them."""
    found: list[tuple[str, str]] = []
    for key, value in card.items():
        if key == "basis" and not before:
            continue
        if isinstance(value, dict):
            found += _flat(value, f"{before}{key}.")
        else:
            found.append((before + key, _written(value)))
    return found


def _written(value: Any) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, list):
        return ", ".join(_written(item) for item in value)
    if isinstance(value, dict):
        return " ".join(f"{key} {_written(inner)}" for key, inner in value.items())
    return str(value)
