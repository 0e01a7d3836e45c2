"""Any job file: read, and where it can be read its gap asked for.

A case starts from a job that is shipped, from one as short as can be or from keys drawn out of
the format itself, and spoils it up to six times: bytes, words, keys, values, whole tables, and
lists that go on for ever.  Some have settings on top.  What comes of it is a gap, a conflict or one
plain sentence, never anything else.
"""

from __future__ import annotations

import io
import json
import math
import random
import re
import sys
import tempfile
from contextlib import redirect_stderr, redirect_stdout
from pathlib import Path

from mouldgen.answer import Answer, answer_job
from mouldgen.check.dry import dry_enough
from mouldgen.check.unlikely import unlikely
from mouldgen.cli.asked import Asked
from mouldgen.cli.gap import show_gap
from mouldgen.errors import InputError, InternalError, MouldgenError, SurroundingsError
from mouldgen.gap.findings import findings_of
from mouldgen.job.load import load_job
from mouldgen.mix.ratio import ratio_findings
from trials import tally
from trials.claims import must, said
from trials.job_texts import setting, spoilt, started

FULLY_EVERY = 15  # files that can be read, for one that is put through the whole command


def case(seed: int) -> str:
    """Read one file, and ask for its gap."""
    rng = random.Random(seed)
    content = spoilt(rng, started(rng))
    sets = tuple(setting(rng) for _ in range(rng.choice((0, 0, 0, 1, 1, 2, 4))))
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "job.toml"
        path.write_bytes(content)
        try:
            return _read(rng, path, sets)
        except InputError as problem:
            said(str(problem))
            return "refused"
        except (InternalError, SurroundingsError):
            raise
        except MouldgenError as problem:
            said(str(problem))
            return "no answer"


def _read(rng: random.Random, path: Path, sets: tuple[str, ...]) -> str:
    job = load_job(path, sets=sets).job
    if rng.random() < 1.0 / FULLY_EVERY:
        return _commanded(rng, path, sets)
    answer = answer_job(job)
    found = [
        *findings_of(answer.gap, answer.question),
        *dry_enough(job.insert, job.resin, facts=answer.insert),
        *ratio_findings(job.resin),
        *unlikely(job),
    ]
    for finding in found:
        said(finding.message)
        must(not math.isnan(finding.measured or 0.0), finding)
    return _told(answer)


def _told(answer: Answer) -> str:
    gap = answer.gap
    for bound in gap.bounds:
        said(bound.why)
        must(
            bound.value_mm is None or bound.value_mm > -math.inf, bound
        )  # endless: it does not bind
    if gap.gap_mm is None:
        said(gap.conflict or "")
        return "conflict"
    must(0.0 < gap.gap_mm < math.inf, gap.gap_mm)
    must(answer.size is not None and 0.0 <= answer.size.net_ml < math.inf, answer.size)
    return "answered"


def _commanded(rng: random.Random, path: Path, sets: tuple[str, ...]) -> str:
    """What ``mouldgen gap`` says of it."""
    asked = Asked(
        str(path),
        sets=sets,
        json=rng.random() < 0.5,
        quiet=rng.random() < 0.2,
        verbose=rng.random() < 0.3,
        no_castings=True,
    )
    with redirect_stdout(io.StringIO()) as out, redirect_stderr(io.StringIO()):
        code = show_gap(asked)
    text = out.getvalue()
    must(text.replace("\n", "").isprintable(), repr(text))
    if asked.json:
        json.loads(text, parse_constant=_no_number)
    else:
        must(not re.search(r"\b(nan|inf|None)\b", text), text)
    return ("answered by the command", "stopped by the command")[code]


def _no_number(name: str) -> float:
    raise AssertionError(f"{name} in the answer")


if __name__ == "__main__":
    sys.exit(
        tally.main(
            "job-files",
            case,
            about="Spoilt job files through reading and the gap budget.",
            count=100_000,
        )
    )
