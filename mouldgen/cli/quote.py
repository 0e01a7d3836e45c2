"""``mouldgen quote``: what an order costs, when it can be ready and what it rests on."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from mouldgen.cli.plan import day_of
from mouldgen.cli.progress import busy
from mouldgen.cli.quote_data import quote_data
from mouldgen.cli.quote_words import say_quote
from mouldgen.cli.say import say, say_json, say_wrapped
from mouldgen.errors import JobError, NoAnswerError, UsageError
from mouldgen.sheet.order_work import planned

MOST_PLANNED = 600  # fillings; a few seconds of planning

if TYPE_CHECKING:
    from mouldgen.answer import Answer
    from mouldgen.cli.quote_draft import QuoteDraft
    from mouldgen.finding import Finding
    from mouldgen.job.load import LoadedJob
    from mouldgen.mould_set import MouldSet
    from mouldgen.shop.plan import Plan
    from mouldgen.shop.quote import Quote


@dataclass(frozen=True, eq=False)
class QuoteAsked:
    """What a quote was asked for.

    job : a file or a shipped job, or None for an order that is not written yet.
    piece, count, due : of such an order, as typed, or None.
    out : the job file to write for it, or None.
    quick : closed forms only, for a job too.
    today : the day that it is made, as typed; None for the clock's.
    json, sets, quiet, verbose, castings, no_castings : as for every command.
    """

    job: str | None
    piece: str | None = None
    count: str | None = None
    due: str | None = None
    out: Path | None = None
    quick: bool = False
    today: str | None = None
    json: bool = False
    sets: tuple[str, ...] = ()
    quiet: bool = False
    verbose: bool = False
    castings: Path | None = None
    no_castings: bool = False

    @property
    def told(self) -> bool:
        """Whether options tell the order, so that nothing is asked."""
        return any(each is not None for each in (self.piece, self.count, self.due)) or self.json


@dataclass(frozen=True, eq=False)
class Reckoned:
    """What a quote is told from.

    quote : of the job.
    answer : its closed forms.
    findings : what must be fixed first.
    no_day : why there is no day, or empty.
    solids : whether printing and resin were read off the solids.
    taken : what was taken for an order that is not written yet.
    """

    quote: Quote
    answer: Answer
    findings: tuple[Finding, ...]
    no_day: str
    solids: bool
    taken: tuple[str, ...] = ()

    @property
    def stopped(self) -> bool:
        """Whether the answer is no."""
        return self.quote.late or bool(self.findings)


def show_quote(asked: QuoteAsked) -> int:
    """Say the quote; 1 where there is no gap, something must be fixed or the day cannot be kept.

    Raises UsageError where a job and an order that is not written yet are mixed.
    """
    from mouldgen.answer import answer_job

    day = day_of(asked.today)
    draft = _draft(asked)
    with busy("Reckoning the quote", quiet=asked.quiet):
        loaded = _loaded(asked, draft)
        solids = draft is None and not asked.quick
        built = _built(loaded) if solids else None
        answer = answer_job(loaded.job, learned=loaded.learned) if built is None else built.answer
        found = None if answer.size is None else _reckoned(loaded, answer, built, day)
    if found is None:
        return _say_conflict(asked, answer, loaded)
    if draft is not None:
        found = replace(found, taken=tuple(draft.taken(sets=asked.sets)))
    if asked.json:
        say_json(quote_data(found), of=loaded)
    else:
        say_quote(found, quiet=asked.quiet, verbose=asked.verbose)
    if draft is not None:
        _keep(draft, asked)
    return int(found.stopped)


def _draft(asked: QuoteAsked) -> QuoteDraft | None:
    if asked.job is not None:
        given = {"--piece": asked.piece, "--count": asked.count, "--due": asked.due}
        words = [word for word, value in given.items() if value is not None]
        if words or asked.out is not None:
            raise UsageError(
                f"{(words or ['--out'])[0]} does not go with a job",
                allowed="a JOB, or --piece, --count and --due without one",
                try_="Change a job for this run with --set, such as --set order.pieces=24.",
            )
        return None
    from mouldgen.cli.new import must_be_new
    from mouldgen.cli.quote_draft import asked_draft, told_draft

    if asked.out is not None:
        must_be_new(asked.out)
    if asked.told:
        return told_draft(piece=asked.piece, count=asked.count, due=asked.due, out=asked.out)
    return asked_draft(out=asked.out)


def _loaded(asked: QuoteAsked, draft: QuoteDraft | None) -> LoadedJob:
    from mouldgen.cli.lessons import with_lessons
    from mouldgen.job.load import load_job

    if draft is not None:
        loaded = draft.load(asked.sets)
    else:
        loaded = load_job(asked.job or "", sets=asked.sets)
    return with_lessons(loaded, asked.job, castings=asked.castings, without=asked.no_castings)


def _built(loaded: LoadedJob) -> MouldSet:
    from mouldgen.build import build_moulds

    return build_moulds(loaded.job, learned=loaded.learned, given=loaded.given)


def _reckoned(
    loaded: LoadedJob, answer: Answer, made: MouldSet | None, day: dt.date
) -> Reckoned | None:
    from mouldgen.gap.findings import findings_of
    from mouldgen.mix.mixing import mixing
    from mouldgen.shop.needs import built, needs_of
    from mouldgen.shop.quote import quote_of

    amounts = None if made is None else made.amounts
    plan, why = None, ""
    try:
        plan = _planned(answer, made, day)
    except (NoAnswerError, JobError) as problem:
        why = str(problem)
    needs = needs_of(answer, most_per_load=_most(plan), found=amounts)
    if needs is None:
        return None
    if made is not None and made.print_time is not None:
        needs = built(
            needs,
            plastic_g=made.filament_g,
            print_s=made.print_time.seconds,
            beds=len(made.beds),
        )
    quote = quote_of(
        loaded.job,
        needs,
        insert=answer.insert,
        facing_mm=answer.facing_mm,
        given=loaded.given,
        today=day,
        plan=plan,
        learned=loaded.learned,
    )
    findings = findings_of(answer.gap, answer.question) if made is None else made.findings
    if plan is None and answer.fillings <= MOST_PLANNED:  # not one mould is poured in time, perhaps
        findings = (*findings, *mixing(answer, found=amounts).findings)
    return Reckoned(
        quote=quote,
        answer=answer,
        findings=tuple(finding for finding in findings if finding.severity == "stop"),
        no_day=why,
        solids=made is not None,
    )


def _planned(answer: Answer, made: MouldSet | None, day: dt.date) -> Plan:
    from mouldgen.shop.plan import plan_of

    if answer.fillings > MOST_PLANNED:
        raise NoAnswerError(
            f"{answer.fillings} fillings are more than the {MOST_PLANNED} that a quote plans",
            try_="Ask for the day with mouldgen plan, which may take minutes.",
        )
    return plan_of(answer, today=day) if made is None else planned(made, day)


def _most(plan: Plan | None) -> int | None:
    """Fillings that the plan pours at once at most, each cavity of rubber; None without one."""
    return None if plan is None else max((load for load in _loads(plan)), default=None)


def _loads(plan: Plan) -> Iterator[int]:
    facts = plan.setting.facts
    yield from (load.fillings for load in facts.loads)
    if facts.first is not None:
        yield facts.first.fillings


def _say_conflict(asked: QuoteAsked, answer: Answer, loaded: LoadedJob) -> int:
    from mouldgen.cli.gap import first_sentence, say_remedies

    if asked.json:
        from mouldgen.files.report import conflict_data

        say_json(conflict_data(answer), of=loaded)
        return 1
    inches = answer.job.unit == "in"
    say_wrapped(first_sentence(answer.gap, inches=inches))
    say_remedies(answer.gap, inches=inches)
    return 1


def _keep(draft: QuoteDraft, asked: QuoteAsked) -> None:
    """Write the job file, or say how."""
    if asked.out is not None:
        from mouldgen.cli.quote_draft import write

        write(draft, asked.out)
        if not asked.json:
            say()
            say(f"Written: {asked.out}")
    elif not (asked.json or asked.quiet):
        say()
        say_wrapped("To go on from here as a job file, ask again with --out FILE.toml.")
