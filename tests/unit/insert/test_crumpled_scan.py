"""A scan whose sections have too many corners is told so, before anything is grown."""

from __future__ import annotations

import pytest

from mouldgen.answer import answer_job
from mouldgen.errors import ScanError
from mouldgen.insert import shadow
from mouldgen.job.load import load_job


def test_sections_with_too_many_corners_are_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    job = load_job("burl-knobs").job
    corners = sum(len(ring) for rings in shadow.shadow_of(job.insert).outlines for ring in rings)
    monkeypatch.setattr(shadow, "MOST_CORNERS", corners - 1)
    shadow._cut.cache_clear()

    with pytest.raises(ScanError, match="crumpled, or passes through itself") as caught:
        answer_job(job)
    assert caught.value.allowed == f"{corners - 1} in 49 sections, simplified to 0.05 mm"

    monkeypatch.setattr(shadow, "MOST_CORNERS", corners)
    shadow._cut.cache_clear()
    assert answer_job(job).size is not None
    shadow._cut.cache_clear()
