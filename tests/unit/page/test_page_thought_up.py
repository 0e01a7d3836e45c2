"""Requests that another program thinks up from the description of the page's requests."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from mouldgen.job.presets import find_card
from mouldgen.page.description import REQUESTS, Told, openapi
from mouldgen.page.guard import HEADERS
from tests.demo_set import DEMO
from tests.page_server import PageServer, running

pytestmark = pytest.mark.heavy

TEXT = find_card("jobs", DEMO).read_text(encoding="utf-8")
MANY = 40  # of each request; trials/page_requests.py thinks up many more by itself
WITH_JOBS = [told for told in REQUESTS if told.takes is not None and "text" in str(told.takes)]
WRONG = ("400", "403", "404", "405", "408", "409", "413", "415", "422", "5xx")


@pytest.fixture(scope="module")
def page(tmp_path_factory: pytest.TempPathFactory) -> Iterator[PageServer]:
    """A page of its own: what is logged here is no lesson for the tests of the others."""
    with running(tmp_path_factory.mktemp("described")) as server:
        yield server


def operation(told: Told) -> Any:
    """One request, as the other program has read it."""
    import schemathesis
    from schemathesis.config import SchemathesisConfig

    config = SchemathesisConfig.from_dict(
        {"checks": {"negative_data_rejection": {"expected-statuses": list(WRONG)}}}
    )
    return schemathesis.openapi.from_dict(openapi(), config=config)[told.path][told.method]


def asked(page: PageServer, thought_up: Any, *, many: int, job: bool = False) -> set[int]:
    """The statuses of many requests, each of them looked at.

    job : put a job in the place of every text that is to be one.
    """
    from hypothesis import HealthCheck, given, settings
    from schemathesis.checks import CHECKS

    # Not every text is a job, and only a job is answered with what was asked for.
    left_out = [CHECKS.get_one("positive_data_acceptance"), CHECKS.get_one("not_a_server_error")]
    seen: set[int] = set()

    @given(case=thought_up)
    @settings(
        max_examples=many, deadline=None, derandomize=True, database=None,
        suppress_health_check=list(HealthCheck),
    )  # fmt: skip
    def ask(case: Any) -> None:
        if job and isinstance(case.body, dict) and "text" in case.body:
            case.body["text"] = TEXT
        got = case.call(base_url=f"http://127.0.0.1:{page.port}", timeout=60)
        seen.add(got.status_code)
        assert got.status_code < 500 or got.status_code == 503
        case.validate_response(got, excluded_checks=left_out)
        for name, value in HEADERS:
            assert got.headers[name.decode()] == [value.decode()]

    ask()
    return seen


def untouched(folder: Path) -> bool:
    """Whether nothing but files lies in the folder, and nothing half written."""
    return all(path.is_file() and not path.name.startswith(".") for path in folder.rglob("*"))


@pytest.mark.parametrize("told", REQUESTS, ids=lambda told: f"{told.method} {told.path}")
def test_thought_up_requests_are_answered_as_described(page: PageServer, told: Told) -> None:
    from schemathesis import GenerationMode

    right = operation(told).as_strategy(generation_mode=GenerationMode.POSITIVE)
    assert asked(page, right, many=MANY)
    if told.takes is not None:
        wrong = operation(told).as_strategy(generation_mode=GenerationMode.NEGATIVE)
        assert 422 in asked(page, wrong, many=MANY)

    assert page.get("/api/start").status == 200
    assert untouched(page.folder)


@pytest.mark.parametrize("told", WITH_JOBS, ids=lambda told: told.path)
def test_so_are_those_with_a_job(page: PageServer, told: Told) -> None:
    from schemathesis import GenerationMode

    right = operation(told).as_strategy(generation_mode=GenerationMode.POSITIVE)
    seen = asked(page, right, many=MANY // 4, job=True)

    assert seen & {200, 422}
    assert told.path not in {"/api/rest", "/api/download"} or 200 in seen
    assert untouched(page.folder)
