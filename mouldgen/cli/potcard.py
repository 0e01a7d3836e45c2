"""``mouldgen potcard``: a page to hang by the pot, one each time the pot is shut."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, cast

from mouldgen.cli.asked import Asked
from mouldgen.cli.plots import signs
from mouldgen.cli.progress import busy
from mouldgen.cli.say import say, say_json, say_wrapped
from mouldgen.errors import UsageError
from mouldgen.sheet.card_pages import card_pages, cards_of, stops_of
from mouldgen.sheet.order_work import mixed

if TYPE_CHECKING:
    from mouldgen.mould_set import MouldSet
    from mouldgen.sheet.pot_card import Paper
    from mouldgen.sheet.pot_card_values import PotCard

PAPERS = ("a4", "letter")
_NEXT_PAGE = "\f"  # a printer starts a new sheet there


@dataclass(frozen=True, eq=False)
class CardAsked:
    """What is wanted of a job's cards.

    paper : ``a4`` or ``letter``.
    load : only this one's; None for all.
    out : folder that holds a folder a job; None prints them.
    """

    paper: str = "a4"
    load: int | None = None
    out: Path | None = None


def show_cards(asked: Asked, wanted: CardAsked) -> int:
    """Print the cards or write them; 1 where there is no gap or something must be fixed.

    Raises UsageError for another paper, a load that there is not, or one that is to be written.
    """
    if wanted.paper not in PAPERS:
        raise UsageError(
            f"there is no paper {wanted.paper!r}", where="--paper", allowed=", ".join(PAPERS)
        )
    if wanted.load is not None and wanted.out is not None:
        raise UsageError("--load does not go with --out, which writes every card")
    from mouldgen.build import build_moulds
    from mouldgen.cli.kept_cards import kept_cards_of
    from mouldgen.sheet.job_card import card_of_set

    kept = None if wanted.out is None else kept_cards_of(asked, out=wanted.out)
    loaded = asked.load()
    with busy(f"Working out the loads of {loaded.job.name}", quiet=asked.quiet):
        found = build_moulds(loaded.job, learned=loaded.learned, given=loaded.given)
        made = mixed(found)
    cards = cards_of(found, made)
    stops = stops_of(found, made)
    if wanted.load is not None and cards:
        _require_load(wanted.load, cards)
        cards = [card for card in cards if card.load == wanted.load]
    paths: tuple[Path, ...] = ()
    if wanted.out is not None:
        from mouldgen.files.cards import put_cards

        paths = put_cards(wanted.out / loaded.job.name, _pages(found, cards, stops, wanted))
    if kept is not None:
        kept.keep(card_of_set(found, made))
    if asked.json:
        say_json(
            {
                "job": loaded.job.name,
                "ready": not stops,
                "must_fix": list(stops),
                "cards": [_plain(asdict(card)) for card in cards],
                "files": [path.as_posix() for path in paths],
            },
            of=loaded,
        )
    elif paths:
        say_wrapped(f"Cards: {', '.join(path.as_posix() for path in paths)}")
        if stops:
            say_wrapped("They are NOT READY: what must be fixed stands on top of each.")
    else:
        pages = _pages(found, cards, stops, wanted, block=signs().bar).values()
        say(_NEXT_PAGE.join(pages).rstrip("\n"))
    return int(bool(stops))


def _require_load(load: int, cards: list[PotCard]) -> None:
    loads = cards[0].loads
    if not 1 <= load <= loads:
        raise UsageError(
            f"there is no load {load}", where="--load",
            allowed=f"1 to {loads}" if loads > 1 else "1, the only one",
        )  # fmt: skip


def _pages(
    found: MouldSet,
    cards: list[PotCard],
    stops: tuple[str, ...],
    wanted: CardAsked,
    *,
    block: str = "█",
) -> dict[str, str]:
    """The text of every card by its file name."""
    paper = cast("Paper", wanted.paper)
    return card_pages(
        cards,
        job=found.answer.job.name,
        stops=stops,
        paper=paper,
        fingerprint=found.fingerprint,
        block=block,
    )


def _plain(value: Any) -> Any:
    """The same for JSON, its numbers to a thousandth."""
    if isinstance(value, dict):
        return {key: _plain(each) for key, each in value.items()}
    if isinstance(value, (list, tuple)):
        return [_plain(each) for each in value]
    return round(value, 3) if isinstance(value, float) else value
