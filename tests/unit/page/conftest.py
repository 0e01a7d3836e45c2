"""One page for all tests of the room: its processes take seconds to start."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from tests.page_server import PageServer, running


@pytest.fixture(scope="session")
def page(tmp_path_factory: pytest.TempPathFactory) -> Iterator[PageServer]:
    """A page of a folder of its own; who puts a file there takes a name that no other test has."""
    with running(tmp_path_factory.mktemp("jobs")) as server:
        yield server
