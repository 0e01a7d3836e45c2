"""``python -m mouldgen`` is the command ``mouldgen``."""

import sys

from mouldgen.cli import main

sys.exit(main())
