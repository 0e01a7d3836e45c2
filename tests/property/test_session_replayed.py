"""A session done again step by step: what is in which cup, and what each mould holds in the end.

Nothing of the code's own sums is used: resin is moved from cup to cup and from cup to cavity as
the steps say, and must be there when it is taken, in order, by one pair of hands.
"""

from __future__ import annotations

from collections import Counter

import pytest
from hypothesis import given, settings

from mouldgen.mix.batches import Batches, BatchQuestion, Session, batches
from tests.strategies import batch_questions


class Bench:
    """What stands on the bench during one session."""

    def __init__(self, session: Session, question: BatchQuestion) -> None:
        self.session, self.question = session, question
        self.need = question.need
        self.mixed: set[int] = set()
        self.split: set[tuple[int, int]] = set()
        self.stirred: set[tuple[int, int]] = set()
        self.left_ml = {
            (m, c): cup.ml
            for m, mix in enumerate(session.portions, 1)
            for c, cup in enumerate(mix.cups, 1)
        }
        self.in_mould: Counter[tuple[int, int]] = Counter()  # cavities by mould and colour
        self.held_ml: Counter[int] = Counter()
        self.placed: Counter[int] = Counter()
        self.lids: Counter[int] = Counter()
        self.now = session.clock.steps[0].start_s
        self.shut_s: float | None = None

    def do(self, step) -> None:
        assert step.start_s >= self.now - 1e-9  # one pair of hands
        assert self.shut_s is None  # nothing after the pot
        hands = self.question.hands
        takes = {"press": hands.press, "close": 0.0}.get(step.what)
        takes = getattr(hands, step.what) if takes is None else takes
        assert step.end_s - step.start_s == pytest.approx(takes, abs=1e-6)
        getattr(self, step.what)(step)
        self.now = step.end_s

    def weigh(self, step) -> None:
        assert step.end_s <= 1e-9

    def mix(self, step) -> None:
        assert step.mix not in self.mixed
        others = [key for key in self.left_ml if key[0] in self.mixed]
        assert all(self.poured_out(key) for key in others)  # each is poured before the next
        self.mixed.add(step.mix)

    def split_off(self, key) -> None:
        assert key[0] in self.mixed
        self.split.add(key)

    def stir(self, step) -> None:
        key = (step.mix, step.cup)
        cups = self.session.portions[step.mix - 1].cups
        assert key not in self.stirred
        if self.session.tint_before and len(cups) == 1:  # into part A
            assert step.end_s <= 1e-9
        else:
            assert step.mix in self.mixed
            assert len(cups) == 1 or key in self.split
        self.stirred.add(key)

    def pour(self, step) -> None:
        key = (step.mix, step.cup)
        cups = self.session.portions[step.mix - 1].cups
        cup = cups[step.cup - 1]
        assert step.mix in self.mixed
        assert len(cups) == 1 or key in self.split
        assert key in self.stirred  # every colour here has a name
        first = self.question.order == "resin-first"
        assert (not first and self.session.pour == 1) == bool(self.placed[step.mould])
        ml = self.need.pours[self.session.pour - 1].ml
        if self.need.way == "swirl":
            each = ml * self.question.need.shares[cup.colour] / self.need.cavities
        else:
            each = ml / self.need.cavities
        self.left_ml[key] -= each
        assert self.left_ml[key] >= -1e-6  # it is in the cup
        self.held_ml[step.mould] += each
        self.in_mould[step.mould, cup.colour] += 1

    def place(self, step) -> None:
        assert self.session.pour == 1
        if self.question.order == "resin-first":
            assert self.full(step.mould)
        else:
            assert step.end_s <= 1e-9
        self.placed[step.mould] += 1

    def lid(self, step) -> None:
        assert self.lids[step.mould] == 0
        assert self.question.order == "bottom-feed" or self.full(step.mould)
        self.lids[step.mould] += 1

    def press(self, step) -> None:
        self.close(step)

    def close(self, step) -> None:
        assert all(self.full(mould) and self.lids[mould] for mould in self.session.moulds)
        wanted = self.need.cavities if self.session.pour == 1 else 0
        assert all(self.placed[mould] == wanted for mould in self.session.moulds)
        self.shut_s = step.end_s

    def full(self, mould: int) -> bool:
        ml = self.need.pours[self.session.pour - 1].ml
        return self.held_ml[mould] == pytest.approx(ml, rel=1e-9)

    def poured_out(self, key) -> bool:
        """Whether what a cup still has is no more than was mixed for loss and least batch."""
        mix = self.session.portions[key[0] - 1]
        cup = mix.cups[key[1] - 1]
        return self.left_ml[key] == pytest.approx(cup.ml - cup.poured_ml, abs=1e-6)


def replay(session: Session, question: BatchQuestion) -> Bench:
    bench = Bench(session, question)
    for step in session.clock.steps:
        if step.what == "split":
            assert step.start_s >= bench.now - 1e-9
            assert step.end_s - step.start_s == pytest.approx(question.hands.split, abs=1e-6)
            bench.split_off((step.mix, step.cup))
            bench.now = step.end_s
        else:
            bench.do(step)
    return bench


@settings(max_examples=300, deadline=None)
@given(batch_questions())
def test_every_session_can_be_done_as_it_is_written(question: BatchQuestion) -> None:
    for cut in batches(question):
        cut: Batches
        for session in {(s.pour, len(s.moulds)): s for s in cut.sessions}.values():
            bench = replay(session, question)
            assert bench.shut_s == session.clock.close_s
            assert all(bench.poured_out(key) for key in bench.left_ml)
            beyond = sum(bench.left_ml.values())
            assert beyond == pytest.approx(
                sum(mix.kept_ml + mix.topped_ml for mix in session.portions), abs=1e-6
            )
            limit = min(
                cup.gel_s - (0.1 * (cup.gel_s - start) if question.reserve_s is None else
                             question.reserve_s)
                for start, cups in zip(session.clock.mixed_s, session.clock.cups, strict=True)
                for cup in cups
            )  # fmt: skip
            assert bench.shut_s <= limit + 1e-6
