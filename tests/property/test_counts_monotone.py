from hypothesis import given
from hypothesis import strategies as st

from mouldgen.shop.counts import moulds_to_start
from tests.strategies import shares

PIECES = st.integers(1, 300)


@given(pieces=PIECES, more=st.integers(0, 50), yield_=shares(), confidence=shares())
def test_more_pieces_take_at_least_as_many_more_moulds(pieces, more, yield_, confidence) -> None:
    few = moulds_to_start(pieces, yield_=yield_, confidence=confidence)
    many = moulds_to_start(pieces + more, yield_=yield_, confidence=confidence)

    assert many >= few + more


@given(pieces=PIECES, yields=st.tuples(shares(), shares()), confidence=shares())
def test_a_better_yield_never_takes_more(pieces, yields, confidence) -> None:
    worse, better = (
        moulds_to_start(pieces, yield_=yield_, confidence=confidence) for yield_ in sorted(yields)
    )

    assert better <= worse


@given(pieces=PIECES, yield_=shares(), confidences=st.tuples(shares(), shares()))
def test_more_confidence_never_takes_fewer(pieces, yield_, confidences) -> None:
    less, more = (
        moulds_to_start(pieces, yield_=yield_, confidence=confidence)
        for confidence in sorted(confidences)
    )

    assert pieces <= less <= more
