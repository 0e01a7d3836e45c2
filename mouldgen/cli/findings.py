"""Findings in a maker's words, the worst first."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from mouldgen.cli.say import say_wrapped
from mouldgen.cli.words import SEVERITY
from mouldgen.units.beside import in_both

if TYPE_CHECKING:
    from mouldgen.finding import Finding

NOT_USED = "job.not-used-yet."
_LABEL = max(map(len, SEVERITY.values())) + 2


def say_findings(
    findings: Sequence[Finding], *, quiet: bool, verbose: bool, inches: bool = False
) -> None:
    """Every finding as a labelled paragraph.

    quiet : only what must be fixed.
    verbose : keys without a rule yet one by one, the place of every finding, and what several
        rules say in the same words by each of them.
    inches : whether the job is in inches, which then stand beside mm, and degF beside
        degC.
    """
    for severity, word in SEVERITY.items():
        if quiet and severity != "stop":
            continue
        told = [f for f in findings if f.severity == severity]
        if not verbose:  # two rules may object in the same words
            told = list({finding.message: finding for finding in reversed(told)}.values())[::-1]
        unused = [f for f in told if f.id.startswith(NOT_USED)] if not verbose else []
        for finding in told:
            if finding not in unused:
                place = f" [{finding.place}]" if verbose and finding.place else ""
                message = in_both(finding.message, inches=inches)
                _say(word, message + place)
        if unused:
            keys = ", ".join(finding.place for finding in unused)
            _say(word, f"Kept, but no number depends on it yet: {keys}.")


def _say(word: str, message: str) -> None:
    say_wrapped(message, first=f"{word + ':':<{_LABEL}} ")
