"""One pytest session that has collected the tests of a room and then tests mutants in forked children.

The children inherit everything that is imported and collected. A child puts the mutant's code in the place of the
function's own (its ``__code__``, so that whoever holds the function calls the mutant), runs the tests that reach the
changed lines until one fails, and ends. A constant, a class body or a default value is no function's body: it is tested
in a child that imports the package anew, with the mutant in the module's place.
"""

from __future__ import annotations

import gc
import importlib
import importlib.machinery
import importlib.util
import os
import pickle
import resource
import signal
import sys
import tempfile
import time
from collections import Counter, defaultdict
from collections.abc import Callable, Iterator
from pathlib import Path
from types import CodeType, FunctionType
from typing import Any

import pytest
from mutants import Module, Mutant

ROOT = Path(__file__).resolve().parents[2]
OPTIONS = [
    *("-o", "addopts=", "--import-mode=importlib", "--doctest-modules", "-m", "not nightly", "-q", "--no-header"),
    *("-p", "no:nbval", "-p", "no:xdist", "-p", "no:benchmark", "-p", "no:playwright", "-p", "no:cacheprovider"),
    *("-W", "ignore::pytest.PytestAssertRewriteWarning", "--tb=no", "--show-capture=no", f"--rootdir={ROOT}"),
]
KILLED, SURVIVED, TIMEOUT = "killed", "survived", "timeout"
STARTUP_S = 20.0
LONGEST_S = 1.0
"""Tests that take longer are left out where a shorter one runs the changed lines: they repeat it on more cases."""
MEMORY_BYTES = 6 * 2**30


class Plugin:
    """Take the place of pytest's loop: the collected items go to ``work``."""

    def __init__(self, work: Callable[[list[pytest.Item]], None]) -> None:
        self.work = work

    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        if session.testsfailed:
            raise session.Interrupted("the tests cannot be collected")
        self.work(session.items)
        return True


class Outcome:
    """Whether all of the tests passed, and how long each took (processor time, s)."""

    def __init__(self) -> None:
        self.failed: list[str] = []
        self.seconds: dict[str, float] = {}
        self._start = 0.0

    def pytest_runtest_logstart(self) -> None:
        self._start = time.process_time()

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        if report.failed:
            self.failed.append(report.nodeid)
        self.seconds[report.nodeid] = time.process_time() - self._start


def quiet() -> None:
    """What every session needs: hypothesis finds the same examples each time, without a database or a deadline."""
    from hypothesis import HealthCheck, Phase, settings

    settings.register_profile(
        "mutation",
        derandomize=True,
        deadline=None,
        database=None,
        phases=(Phase.explicit, Phase.generate),
        suppress_health_check=list(HealthCheck),
    )
    settings.load_profile("mutation")
    sys.setrecursionlimit(1000)  # Python's own; what parses the code for the mutants needs more
    silent = os.open(os.devnull, os.O_WRONLY)
    os.dup2(silent, 1)
    os.dup2(silent, 2)


def run_items(items: list[pytest.Item], *, all_of_them: bool = False, around: Any = None) -> Outcome:
    """Run items as pytest does, up to the first failure."""
    outcome = Outcome()
    hook = items[0].config.pluginmanager
    hook.register(outcome)
    for index, item in enumerate(items):
        if around:
            around(item.nodeid)
        following = items[index + 1] if index + 1 < len(items) else None
        item.config.hook.pytest_runtest_protocol(item=item, nextitem=following)
        if outcome.failed and not all_of_them:
            break
    return outcome


def fork(work: Callable[[], Any], *, cpu_s: float = 0.0) -> tuple[int, Path]:
    """Run ``work`` in a child of its own group; what it returns goes into the file, pickled."""
    handle, name = tempfile.mkstemp(prefix="mutant-")
    os.close(handle)
    child = os.fork()
    if child:
        return child, Path(name)
    code = 3
    try:
        os.setpgid(0, 0)
        gc.disable()
        if cpu_s:
            resource.setrlimit(resource.RLIMIT_CPU, (int(cpu_s) + 1, int(cpu_s) + 3))
            resource.setrlimit(resource.RLIMIT_AS, (MEMORY_BYTES, MEMORY_BYTES))
        answer = work()
        Path(name).write_bytes(pickle.dumps(answer))
        code = 0
    except BaseException:
        if os.environ.get("MUTATION_DEBUG"):
            import traceback

            Path(f"{name}.error").write_text(traceback.format_exc(), "utf-8")
    finally:
        os._exit(code)


def answer_of(child: int, file: Path) -> Any:
    """Wait for a child and return its answer; None if it gave none."""
    os.waitpid(child, 0)
    data = file.read_bytes()
    file.unlink()
    return pickle.loads(data) if data else None


class Pool:
    """Children at work, so many at a time, each with a limit of wall time beside its limit of processor time."""

    def __init__(self, jobs: int) -> None:
        self.jobs = jobs
        self._busy: dict[int, tuple[Mutant, Path, float]] = {}

    def run(self, tasks: Iterator[tuple[Mutant, Callable[[], Any], float]]) -> Iterator[tuple[Mutant, str, Any]]:
        for mutant, work, cpu_s in tasks:
            while len(self._busy) >= self.jobs:
                yield from self._finished()
            child, file = fork(work, cpu_s=cpu_s)
            self._busy[child] = (mutant, file, time.monotonic() + 10 * cpu_s)
        while self._busy:
            yield from self._finished()

    def _finished(self) -> Iterator[tuple[Mutant, str, Any]]:
        late = False
        child, status = os.waitpid(-1, os.WNOHANG)
        if not child:
            now = time.monotonic()
            over = [pid for pid, (_, _, end) in self._busy.items() if now > end]
            if not over:
                time.sleep(0.002)
                return
            child, late = over[0], True
            os.killpg(child, signal.SIGKILL)
            os.waitpid(child, 0)
        if child not in self._busy:
            return
        mutant, file, _ = self._busy.pop(child)
        data = file.read_bytes()
        file.unlink()
        signalled = late or (os.WIFSIGNALED(status) and os.WTERMSIG(status) in (signal.SIGXCPU, signal.SIGKILL))
        if signalled:
            yield mutant, TIMEOUT, None
        elif not data:
            yield mutant, KILLED, None  # it ended the process
        else:
            yield mutant, *pickle.loads(data)


def code_objects(code: CodeType) -> Iterator[CodeType]:
    for constant in code.co_consts:
        if isinstance(constant, CodeType):
            yield constant
            yield from code_objects(constant)


def key(code: CodeType) -> tuple[str, int]:
    return code.co_qualname, code.co_firstlineno


def functions_of(paths: set[str]) -> dict[str, dict[tuple[str, int], list[FunctionType]]]:
    """Every function that lives in these files, by file and by place in it."""
    found: dict[str, dict[tuple[str, int], list[FunctionType]]] = defaultdict(lambda: defaultdict(list))
    for thing in gc.get_objects():
        if type(thing) is FunctionType and thing.__code__.co_filename in paths:
            found[thing.__code__.co_filename][key(thing.__code__)].append(thing)
    return found


class Swap:
    """Put a mutant's code in the place of the code of the functions that live."""

    def __init__(self, modules: list[Module]) -> None:
        self.functions = functions_of({str(module.path) for module in modules})

    def __call__(self, mutant: Mutant) -> bool:
        """Return whether something was swapped: nothing is where the mutant compiles to the same code."""
        path = str(mutant.module.path)
        mutated = compile(mutant.text(), path, "exec", dont_inherit=True)
        swapped = False
        for code in code_objects(mutated):
            for function in self.functions[path].get(key(code), ()):
                if function.__code__ != code:
                    function.__code__ = code
                    swapped = True
        return swapped


class Loader(importlib.machinery.SourceFileLoader):
    """Load a module from a mutant's text."""

    def __init__(self, name: str, mutant: Mutant) -> None:
        super().__init__(name, str(mutant.module.path))
        self.text = mutant.text()

    def get_code(self, fullname: str) -> CodeType:
        return compile(self.text, self.path, "exec", dont_inherit=True)


class Finder:
    """Find a mutant in the place of its module."""

    def __init__(self, mutant: Mutant) -> None:
        self.mutant = mutant
        self.name = ".".join(mutant.module.path.relative_to(ROOT).with_suffix("").parts)

    def pytest_sessionstart(self) -> None:
        sys.meta_path.insert(0, self)  # before pytest's own, which loads a file that was named to it

    def find_spec(self, name: str, path: Any = None, target: Any = None) -> Any:
        if name != self.name:
            return None
        return importlib.util.spec_from_file_location(name, self.mutant.module.path, loader=Loader(name, self.mutant))


def pytest_session(arguments: list[str], *plugins: Any) -> int:
    quiet()
    return int(pytest.main([*OPTIONS, *arguments], plugins=list(plugins)))


def baseline(modules: list[Module], arguments: list[str]) -> dict[str, Any]:
    """Run all tests once: seconds by test, tests by line of each file ("" stands for the import), failures, imports."""
    import coverage

    files = [str(module.path) for module in modules]
    measured = coverage.Coverage(data_file=None, include=files, config_file=False)
    answer: dict[str, Any] = {}

    def work(items: list[pytest.Item]) -> None:
        outcome = run_items(items, all_of_them=True, around=measured.switch_context)
        answer["seconds"], answer["failed"] = outcome.seconds, outcome.failed

    measured.start()
    code = pytest_session(arguments, Plugin(work))
    measured.stop()
    data = measured.get_data()
    answer["lines"] = {file: data.contexts_by_lineno(file) for file in files}
    if "seconds" not in answer:
        answer["failed"] = [f"pytest ended with {code}; run it by hand: {' '.join(arguments)}"]
    site = str(Path(pytest.__file__).parents[1])
    answer["imports"] = [
        name for name, module in list(sys.modules.items()) if (getattr(module, "__file__", "") or "").startswith(site)
    ]
    return answer


def reaching(mutant: Mutant, known: dict[str, Any]) -> set[str]:
    """The tests that run the changed lines, without the long ones if there are others."""
    lines = known["lines"][str(mutant.module.path)]
    found: set[str] = set()
    # Where no test is seen to run the lines, it may be a forked process of one that runs their function.
    for first, last in (mutant.lines, mutant.function):
        found = found or {test for line in range(first, last + 1) for test in lines.get(line, ())} - {""}
    return {test for test in found if known["seconds"][test] <= LONGEST_S} or found


def runs_on_import(mutant: Mutant, lines: dict[int, list[str]]) -> bool:
    """Whether the changed lines run when the package is imported, before any test."""
    first, last = mutant.lines
    return not mutant.in_body or any("" in lines.get(line, ()) for line in range(first, last + 1))


def in_bodies(modules: list[Module], arguments: list[str], known: dict[str, Any], jobs: int, report: Any) -> None:
    """Test the mutants inside the bodies of functions."""

    def work(items: list[pytest.Item]) -> None:
        swap = Swap(modules)
        gc.collect()
        gc.freeze()
        kills: Counter[str] = Counter()
        seconds = known["seconds"]

        def tasks() -> Iterator[tuple[Mutant, Callable[[], Any], float]]:
            for module in modules:
                for mutant in module.mutants:
                    if not mutant.in_body:
                        continue
                    names = reaching(mutant, known)
                    if not names:
                        report(mutant, SURVIVED, "no test reaches it")
                        continue
                    chosen = sorted(
                        (item for item in items if item.nodeid in names),
                        key=lambda item: (-kills[item.nodeid], seconds[item.nodeid]),
                    )

                    def child(mutant: Mutant = mutant, chosen: list[pytest.Item] = chosen) -> tuple[str, str | None]:
                        if not swap(mutant):
                            return SURVIVED, "same code"
                        outcome = run_items(chosen)
                        return (KILLED, outcome.failed[0]) if outcome.failed else (SURVIVED, None)

                    yield mutant, child, 3 + 3 * sum(seconds[name] for name in names)

        for mutant, status, detail in Pool(jobs).run(tasks()):
            if status == KILLED and detail:
                kills[detail] += 1
            report(mutant, status, detail)

    pytest_session(arguments, Plugin(work))


def anew(mutants: list[Mutant], known: dict[str, Any], jobs: int, report: Any) -> None:
    """Test mutants in children that import the package anew, each with all tests of the room, quick files first."""
    for name in known["imports"]:
        try:
            importlib.import_module(name)
        except Exception:  # not everything that was imported can be imported first
            continue
    took: Counter[str] = Counter()
    for test, seconds in known["seconds"].items():
        took[str(ROOT / test.partition("::")[0])] += seconds
    files = sorted(took, key=lambda file: took[file])

    def tasks() -> Iterator[tuple[Mutant, Callable[[], Any], float]]:
        for mutant in mutants:

            def child(mutant: Mutant = mutant) -> tuple[str, str | None]:
                finder, outcome = Finder(mutant), Outcome()
                sys.meta_path.insert(0, finder)
                code = pytest_session(["-x", *files], outcome, finder)
                failed = outcome.failed[0] if outcome.failed else "cannot be imported"
                return (KILLED, failed) if code else (SURVIVED, None)

            yield mutant, child, STARTUP_S + 3 * sum(known["seconds"].values())

    for mutant, status, detail in Pool(jobs).run(tasks()):
        report(mutant, status, detail)
