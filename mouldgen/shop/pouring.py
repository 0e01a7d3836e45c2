"""Pot loads: mixed, poured, pressed, poured again, held, carried out, demoulded, cured."""

from __future__ import annotations

from collections.abc import Sequence

from mouldgen.errors import NoAnswerError
from mouldgen.shop.activity import Activity, Stage
from mouldgen.shop.step import Step, whole_s
from mouldgen.shop.work_facts import LoadFacts, WorkFacts


def load_steps(facts: WorkFacts, *, ready: Sequence[str], after: Sequence[str]) -> list[Step]:
    """All loads but the first article's.

    ready : for each mould, in the order that they are filled, what must be over before.
    after : what every load waits for.

    Moulds that are used once are filled in their order, after that of the first article.  Of those
    that are used again a load waits for as many as all loads up to it can take at once.
    """
    filled = 0 if facts.first is None else facts.first.moulds
    steps = []
    for number, load in enumerate(facts.loads, start=1):
        filled = min(filled + load.moulds, len(ready))
        needed = dict.fromkeys(ready[:filled])
        steps.append(load_step(f"load {number}", load, facts, after=(*needed, *after)))
    return steps


def load_step(name: str, load: LoadFacts, facts: WorkFacts, *, after: Sequence[str]) -> Step:
    """One load from mixing to the end of its cure.

    A load is over when its castings may be turned; its pot is free once it is carried out, its
    moulds once it is demoulded.
    """
    blanks = load.fillings * facts.blanks
    stages = [*_pours(load, facts)]
    last = len(stages) - 1
    cure, times = facts.cure, facts.times
    if cure.hold_s is not None:
        out = Stage(
            "vent slowly and unload",
            whole_s(times.unload),
            since=(last, whole_s(cure.hold_s)),
            frees=("pot",),
        )
        stages.append(out)
    demould = Stage(
        "demould",
        whole_s(blanks * times.demould),
        by_day=True,
        since=(last, whole_s(cure.demould_s)),
        frees=("mould",) if facts.reused else (),
    )
    stages.append(demould)
    stages.append(Stage("cure", 0, since=(last, whole_s(cure.full_s))))
    pot = () if cure.hold_s is None else (("pot", 1),)
    moulds = (("mould", load.moulds),) if facts.reused else ()
    activity = Activity(name, tuple(stages), tuple(dict.fromkeys(after)), (*pot, *moulds))
    return Step(activity, load.fillings, "mould" if facts.rubber is None else "cavity")


def _pours(load: LoadFacts, facts: WorkFacts) -> list[Stage]:
    """Each pour in one go; the next one in the window that the last one leaves.

    The window opens for the mould that was poured last and closes for the one that was poured
    first, so that it is kept for every mould.
    """
    release = load.moulds * facts.times.release if facts.reused else 0.0
    vent = 0.0 if facts.cure.hold_s is None else facts.times.unload
    hands = [whole_s(load.pours_s[0] + release)]
    hands += [whole_s(pour + vent) for pour in load.pours_s[1:]]
    whats = ["mix and pour", *["vent slowly, refill, press again"] * (len(hands) - 1)]
    if facts.cure.hold_s is None:
        whats[1:] = ["refill"] * (len(hands) - 1)
    stages = []
    for number, (what, own) in enumerate(zip(whats, hands, strict=True)):
        if number == len(hands) - 1 or facts.cure.recoat_s is None:
            stages.append(Stage(what, own))
            continue
        opens, closes = facts.cure.recoat_s
        within = int(closes) - own - hands[number + 1]
        if within < whole_s(opens):
            raise NoAnswerError(
                f"filling {load.fillings} moulds twice takes longer than the window for a second"
                f" pour, from {opens / 3600:.3g} to {closes / 3600:.3g} h",
                where="[resin] recoat",
                try_="Fill fewer moulds at once.",
            )
        stages.append(Stage(what, own, whole_s(opens), within_s=within))
    return stages
