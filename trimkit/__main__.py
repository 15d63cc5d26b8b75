"""``python -m trimkit`` is the ``trimkit`` command."""

import sys

from trimkit.cli import main

sys.exit(main())
