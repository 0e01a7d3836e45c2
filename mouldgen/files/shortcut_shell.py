"""The script that opens the page, for every system with a POSIX shell."""

from __future__ import annotations

import shlex
from collections.abc import Sequence

from mouldgen.files.own_files import MARK

_INTERRUPTED = 130  # the maker has ended it, so there is nothing to read


def shell_script(words: Sequence[str]) -> str:
    """A script that runs the words; after a failure its window stays until it was read.

    words : the program, by its whole path, and the words that follow it.
    """
    return f"""\
#!/bin/sh
# {MARK}; to remove it: mouldgen shortcut --remove
echo "Close this window when you are done: the page ends with it."
{shlex.join(words)}
code=$?
if [ $code -ne 0 ] && [ $code -ne {_INTERRUPTED} ]; then
  echo "Press Enter to close this window."
  read -r _
fi
exit $code
"""
