"""After the cure: one piece for the customer to see, then all others in batches."""

from __future__ import annotations

import math
from collections.abc import Sequence

from mouldgen.shop.activity import Activity, Stage
from mouldgen.shop.step import LONGEST_BATCH_S, Step, batch, names, whole_s
from mouldgen.shop.work_facts import WorkFacts


def first_article_step(facts: WorkFacts, *, after: Sequence[str]) -> Step:
    """One piece worked from blank to finish, and the customer's days with it."""
    t = facts.times
    hands = t.face_setup + t.face + t.turn_setup + t.rough + t.finish + t.sand
    if facts.drilled:
        hands += t.drill_setup + t.drill
    if facts.tapped:
        hands += t.tap_setup + t.tap
    if not facts.trial:
        hands += t.inspect + (t.hardware if facts.drilled else 0.0)
    name = "finish the trial" if facts.trial else "finish the first article"
    stage = Stage(name, whole_s(hands), whole_s(facts.approval_s), by_day=True)
    return Step(Activity(name, (stage,), tuple(after)), 1, "piece")


def finishing_steps(facts: WorkFacts, *, after: Sequence[str]) -> list[Step]:
    """All pieces but the first article's.

    Every casting is turned round, so that its voids show, and those with a void are filled; as
    many as the order asks for are finished.  The sound ones are finished while the fills cure.
    """
    shown = int(facts.first is not None and not facts.trial)
    castings = facts.castings * facts.pieces_each - shown
    wanted = facts.pieces - shown
    steps: list[Step] = []

    def go_on(what: str, count: int, each_s: float, setup_s: float = 0.0) -> None:
        steps.extend(
            batch(
                what,
                count,
                of="piece",
                each_s=each_s,
                setup_s=setup_s,
                after=names(steps) or tuple(after),
            )
        )

    t = facts.times
    go_on("face", castings, t.face, t.face_setup)
    if facts.drilled:
        go_on("drill", castings, t.drill, t.drill_setup)
    if facts.tapped:
        go_on("tap", castings, t.tap, t.tap_setup)
    go_on("rough-turn to show voids", castings, t.rough, t.turn_setup)
    # One piece of a casting has its void: the share is of castings, not of pieces.
    voids = math.ceil(facts.fills * (castings / facts.pieces_each) - 1e-9)
    filled = min(voids, wanted)
    fills = list(_fill_steps(facts, voids, after=names(steps) or tuple(after)))
    go_on("finish-turn", wanted - filled, t.finish)
    go_on("sand and polish", wanted - filled, t.sand)
    if fills:
        before = (*names(steps), *(step.activity.name for step in fills))
        steps.extend(fills)
        steps.extend(
            batch(
                "finish-turn what was filled",
                filled,
                of="piece",
                each_s=t.finish,
                setup_s=t.turn_setup,
                after=tuple(dict.fromkeys(before)),
            )
        )
        go_on("sand and polish what was filled", filled, t.sand)
    if facts.drilled:
        go_on("fit the hardware", wanted, t.hardware)
    go_on("inspect", wanted, t.inspect)
    go_on("pack", facts.pieces, t.pack)
    return steps


def _fill_steps(facts: WorkFacts, voids: int, *, after: Sequence[str]) -> list[Step]:
    """Voids filled with resin, in the pot where there is one, and cured before they are turned."""
    t, cure = facts.times, facts.cure
    mix = t.weigh + t.stir
    most = max(1, math.floor((LONGEST_BATCH_S - mix - t.load) / t.fill)) if t.fill > 0.0 else voids
    if cure.hold_s is not None and facts.pot_takes is not None:
        most = min(most, facts.pot_takes)
    parts = [min(most, voids - done) for done in range(0, voids, max(1, most))]
    steps: list[Step] = []
    for number, many in enumerate(parts, start=1):
        name = "fill voids" if len(parts) == 1 else f"fill voids, {number} of {len(parts)}"
        hands = mix + many * t.fill + (0.0 if cure.hold_s is None else t.load)
        stages = [Stage("fill voids", whole_s(hands))]
        if cure.hold_s is not None:
            out = whole_s(t.unload)
            hold = (0, whole_s(cure.hold_s))
            stages.append(Stage("vent slowly and unload", out, since=hold, frees=("pot",)))
        stages.append(Stage("cure", 0, since=(0, whole_s(cure.full_s))))
        holds = () if cure.hold_s is None else (("pot", 1),)
        steps.append(Step(Activity(name, tuple(stages), tuple(after), holds), many, "piece"))
    return steps
