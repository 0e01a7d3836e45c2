"""The command line: the only room that prints, asks and leaves the process."""

from __future__ import annotations

import atexit
import contextlib
import gc
import os
import signal
from collections.abc import Sequence

INTERRUPTED = 130


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code.

    argv : the words after ``mouldgen``; those of the process where None.
    """
    # Our matrices are small: starting a thread for each core takes longer than the work.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    # Looking for plugins of the job file's reader would list every installed package.
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "1")
    # Loading and building make many objects that all stay: looking through them for rubbish
    # finds none, neither meanwhile nor once more when the process ends.
    gc.set_threshold(500_000, 20, 20)
    atexit.register(gc.freeze)
    try:
        from mouldgen.cli.edge import run

        return run(argv)
    except KeyboardInterrupt:  # while it was loading, or a second one
        with contextlib.suppress(OSError):
            os.write(2, b"Interrupted.\n")
        return INTERRUPTED
    finally:
        if argv is None:  # the process only has to end now
            with contextlib.suppress(ValueError):
                signal.signal(signal.SIGINT, signal.SIG_IGN)
            # Where Ctrl-C fell into a text that was run, as dataclasses are made from one, Python
            # would end itself with that signal, caught or not; the next text makes it forget.
            exec("")
