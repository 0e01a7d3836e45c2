"""Random and hostile requests to the page, a few of those that `trials/page_requests.py` has."""

from __future__ import annotations

from mouldgen.page.description import REQUESTS
from trials import page_requests, tally
from trials.near_page import HEARD, near_page
from trials.page_asks import KINDS
from trials.page_meant import POSTS


def test_each_is_answered_as_it_should_be() -> None:
    found = tally.each(page_requests.case, range(200))

    assert not found.troubles, found.troubles[:3]
    statuses = {outcome.split()[1] for outcome in found.outcomes}
    assert statuses >= {"200", "400", "403", "404", "405", "413", "415", "422"}
    assert {outcome.split()[0] for outcome in found.outcomes} == {kind.__name__ for kind in KINDS}
    assert sum(n for outcome, n in found.outcomes.items() if outcome.endswith("200")) >= 20
    assert sum(n for outcome, n in found.outcomes.items() if outcome.endswith("422")) >= 50
    assert {told.path for told in REQUESTS if told.method == "POST"} == set(POSTS)


def test_what_is_logged_and_what_is_secret_would_be_seen() -> None:
    """The trial itself: a bug, and a file around the folder, do not pass."""
    with near_page(token=False) as page:
        before = page.around()
        assert any(name.endswith("secret.toml") for name in before)
        (page.root / "secret.toml").write_text("other")
        assert page.around() != before
        (page.folder / "pegs.toml").write_text("other")
        changed = page.around()
        (page.folder / "locked.toml").chmod(0o644)
        (page.folder / "locked.toml").write_text("other")
        assert page.around() != changed
    assert HEARD.lines == []
