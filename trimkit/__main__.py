"""``python -m trimkit`` is the ``trimkit`` command."""

import sys

from trimkit.cli import run

sys.exit(run())
