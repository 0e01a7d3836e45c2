"""Ctrl-C at random moments, once and more, and the system's word to end: nothing half, no noise."""

from __future__ import annotations

import os
import random
import signal
import time
from contextlib import suppress

from trials.chores import CHORES, known, typed
from trials.kills import MOST_FILES, SINGLE, done_by, go_on, none_left, whole
from trials.page_kills import WORDS
from trials.runs import PATIENCE_S, Ran, Stop, run_stopped, start, until_ended, workshop

_ENDED = 128 + signal.SIGINT


def interrupted(chance: random.Random) -> str:
    """Press Ctrl-C, or end the command politely; what is told, and what lies there."""
    name = chance.choice((*SINGLE, "catalogue", "more"))
    chore = CHORES[name]
    will = known(chore)
    sent = chance.choice(
        (
            (signal.SIGINT,),
            (signal.SIGINT, signal.SIGINT),
            (signal.SIGINT, signal.SIGINT, signal.SIGINT),
            (signal.SIGTERM,),
            (signal.SIGINT, signal.SIGTERM),
        )
    )
    at_file = chore.kind in MOST_FILES and chance.random() < 0.3
    stop = (
        Stop(at_file=chance.randint(1, MOST_FILES[chore.kind]), sent=sent[:1])
        if at_file
        else Stop(after_s=chance.uniform(0.0, 1.05) * will.seconds, sent=sent)
    )
    with will.again() as folder:
        ran = run_stopped(chore.words, folder, stop=stop, typed=typed(chore))
        now = whole(folder, will)
        word = _told(ran, chore.code)
        done = ran.code == chore.code and not _before_it_began(ran)
        if done and now != will.after:
            raise AssertionError(f"was told as done and is not: {ran.told()}")
        go_on(chore, will, folder, done=done_by(chore, now, will))
    return word


def page_interrupted(chance: random.Random) -> str:
    """The same of the page, from its start on: it closes, and so do all its processes."""
    sent = chance.choice(((signal.SIGINT,), (signal.SIGINT,) * 2, (signal.SIGINT,) * 3))
    with workshop() as folder:
        process = start(WORDS, folder)
        with suppress(TimeoutError):
            until_ended(process, chance.uniform(0.0, 5.0))
        for each in sent:
            with suppress(ProcessLookupError):
                os.killpg(process.pid, each)
            time.sleep(chance.choice((0.0005, 0.05, 0.3)))
        out, err = process.communicate(timeout=PATIENCE_S)
        ran = Ran(process.returncode, out, err)
        none_left(process.pid)
        if list(folder.iterdir()):
            raise AssertionError(str(list(folder.iterdir())))
    if err == "Ctrl-C ends it.\nThe page is closed.\n" and ran.code == _ENDED:
        return "page: closed"
    return f"page: {_told(ran, _ENDED + 1)}"


def _told(ran: Ran, code: int) -> str:
    """What it said of being stopped; raises where that is noise, or the wrong exit code."""
    if "Traceback" in ran.err and not _before_it_began(ran):
        raise AssertionError(ran.told())
    if _before_it_began(ran):
        return "stopped before it began"
    if ran.code == code:
        return "ended before"
    if ran.code == -signal.SIGTERM:
        return "ended by the system's word"
    if ran.code != _ENDED or not ran.err.startswith("Interrupted."):
        raise AssertionError(ran.told())
    if len(ran.err.splitlines()) > 2:  # a second Ctrl-C may be told too
        raise AssertionError(ran.told())
    return "interrupted"


def _before_it_began(ran: Ran) -> bool:
    """Whether Python was still starting itself, of which no line is ours."""
    theirs = "/mouldgen/" not in ran.err
    return ran.code in (-signal.SIGINT, 1, _ENDED) and "KeyboardInterrupt" in ran.err and theirs
