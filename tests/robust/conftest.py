"""Two sizes of the tests that mutate what is read, and a count of the cases that were really run.

``python -m pytest tests/robust`` runs the small size; ``--hypothesis-profile nightly`` runs at least 10,000 cases, or
fails. Each test counts a case when it has one in hand (``count("tables")``); the counts are printed at the end.
"""

from collections import Counter

import pytest
from hypothesis import HealthCheck, settings

NIGHTLY_AT_LEAST = 10_000
collect_ignore = ["kill_saves.py", "logged_disk.py", "power_cut.py", "saves.py"]
"""Run by the tests as processes; they import one another, which a search for doctests cannot."""
COUNTS = pytest.StashKey[Counter]()
TAKEN = " taken"
"""Ending of the counts of those cases that were read and not refused."""

SLOW = [HealthCheck.too_slow, HealthCheck.data_too_large, HealthCheck.filter_too_much]
settings.register_profile("small", max_examples=15, derandomize=True, deadline=None, suppress_health_check=SLOW)
settings.register_profile("nightly", max_examples=400, deadline=None, suppress_health_check=SLOW)


def cases(counts):
    return sum(number for kind, number in counts.items() if not kind.endswith(TAKEN))


def is_nightly():
    return settings.default is settings.get_profile("nightly")


@pytest.fixture(scope="session")
def count(request):
    """Counts one case of a kind; returns what to call if the case was not refused."""
    counts = request.config.stash.setdefault(COUNTS, Counter())

    def one(kind):
        counts[kind] += 1
        return lambda: counts.update([f"{kind}{TAKEN}"])

    return one


def pytest_sessionfinish(session):
    config = session.config
    counts = config.stash.get(COUNTS, Counter())
    if hasattr(config, "workeroutput"):  # a worker of pytest-xdist tells its counts to the process that prints
        config.workeroutput["robust_cases"] = dict(counts)
    elif is_nightly() and cases(counts) < NIGHTLY_AT_LEAST:
        session.exitstatus = pytest.ExitCode.TESTS_FAILED


@pytest.hookimpl(optionalhook=True)
def pytest_testnodedown(node):
    counts = node.config.stash.setdefault(COUNTS, Counter())
    counts.update(getattr(node, "workeroutput", {}).get("robust_cases", {}))


def pytest_terminal_summary(terminalreporter, config):
    counts = config.stash.get(COUNTS, Counter())
    listed = ", ".join(f"{kind} {number}" for kind, number in sorted(counts.items()))
    terminalreporter.write_line(f"mutated cases run: {cases(counts)} ({listed})")
    if is_nightly() and cases(counts) < NIGHTLY_AT_LEAST:
        terminalreporter.write_line(f"FAILED: the nightly size wants at least {NIGHTLY_AT_LEAST} cases", red=True)
