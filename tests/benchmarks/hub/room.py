"""The room: throw-away accounts, the hub that runs the recipe, and what everybody takes of the machine."""

import grp
import os
import pwd
import secrets
import shutil
import subprocess
import sys
import time
import urllib.request
from contextlib import contextmanager
from pathlib import Path

import psutil

RECIPE = Path(__file__).with_name("jupyterhub_config.py")
READY = Path("/srv/trimkit-class")  # as in the recipe
ADDRESS = "http://127.0.0.1:8000"
GROUPS = ("students", "instructors")


def names(count):
    return [f"student{number:02d}" for number in range(1, count + 1)]


@contextmanager
def accounts(count):
    """Accounts student01 ... and instructor, deleted afterwards; gives the passwords, made up here, by name.

    Raises SystemExit before anything is made if one of them, or the recipe's folder, is there already.
    """
    people = dict.fromkeys(names(count), "students") | {"instructor": "instructors"}
    there = {each.pw_name for each in pwd.getpwall()} & set(people) | {each.gr_name for each in grp.getgrall()} & set(
        GROUPS
    )
    if there or READY.exists():
        raise SystemExit(f"These exist and would be deleted afterwards: {sorted(there) or READY}. Nothing was done.")
    passwords = {name: secrets.token_urlsafe(12) for name in people}
    made = []
    try:
        for group in GROUPS:
            subprocess.run(["groupadd", group], check=True)
        for name, group in people.items():
            made.append(name)
            subprocess.run(
                [
                    "useradd",
                    "--create-home",
                    "--key",
                    "HOME_MODE=0700",
                    "--groups",
                    group,
                    "--shell",
                    "/bin/bash",
                    name,
                ],
                check=True,
            )
        lines = "".join(f"{name}:{password}\n" for name, password in passwords.items())
        subprocess.run(["chpasswd"], input=lines, text=True, check=True)
        yield passwords
    finally:
        for name in made:
            for process in of_user(name):
                with_patience(process)
            subprocess.run(["userdel", "--remove", name], stderr=subprocess.DEVNULL, check=False)
        for group in GROUPS:
            subprocess.run(["groupdel", group], check=False)
        shutil.rmtree(READY, ignore_errors=True)


def with_patience(process):
    """End one process."""
    try:
        process.kill()
        process.wait(10)
    except psutil.Error:
        pass


def of_user(name):
    """The processes of one account."""
    return [each for each in psutil.process_iter(["username"]) if each.info["username"] == name]


@contextmanager
def hub(proxy_bin, scratch, config=RECIPE):
    """JupyterHub with a recipe, its proxy and its files in ``scratch``; gives its process."""
    path = f"{Path(sys.executable).parent}:{proxy_bin}:{os.environ['PATH']}"
    log = scratch / "hub.log"
    with log.open("a") as out:
        command = [sys.executable, "-m", "jupyterhub", "-f", str(config)]
        process = subprocess.Popen(command, cwd=scratch, stdout=out, stderr=out, env=os.environ | {"PATH": path})
        try:
            for _ in range(600):
                try:
                    urllib.request.urlopen(f"{ADDRESS}/hub/health", timeout=5).close()
                    break
                except OSError:
                    if process.poll() is not None:
                        raise SystemExit(f"The hub did not start:\n{log.read_text()[-3000:]}") from None
                    time.sleep(0.1)
            yield psutil.Process(process.pid)
        finally:
            process.terminate()  # the hub stops its servers and its proxy
            try:
                process.wait(60)
            except subprocess.TimeoutExpired:
                process.kill()


def pss_mib(process):
    """The proportional set size of a process, MiB; 0 if it is gone."""
    try:
        text = Path(f"/proc/{process.pid}/smaps_rollup").read_text(encoding="ascii")
    except OSError:
        return 0.0
    return next((int(line.split()[1]) / 1024 for line in text.splitlines() if line.startswith("Pss:")), 0.0)


def seconds(process):
    """Processor time of a process and of those it has waited for, s; 0 if it is gone."""
    try:
        return sum(process.cpu_times()[:4])
    except psutil.Error:
        return 0.0


class Meter:
    """Who used the processor: students' servers and kernels, the hub with its proxy, the clients."""

    def __init__(self, hub_process, students, clients):
        self._hub, self._students, self._clients = hub_process, set(students), clients

    def _now(self):
        used = dict.fromkeys(("students", "hub", "clients"), 0.0)
        for process in psutil.process_iter(["username"]):
            if process.info["username"] in self._students:
                used["students"] += seconds(process)
        used["hub"] = sum(map(seconds, family(self._hub, "root")))
        used["clients"] = sum(seconds(each) for pid in self._clients for each in family(psutil.Process(pid), "root"))
        return used, time.monotonic(), psutil.cpu_times()

    def begin(self):
        self._start = self._now()

    def end(self):
        """Cores used by each, and by the whole machine, as a mean since :meth:`begin`; and the seconds since then."""
        (used, then, before), (now_used, now, after) = self._start, self._now()
        took = now - then
        busy = (sum(after) - after.idle - after.iowait) - (sum(before) - before.idle - before.iowait)
        return {who: (now_used[who] - used[who]) / took for who in used} | {"machine": busy / took, "took": took}


def family(process, owner):
    """A process and its descendants that belong to ``owner``."""
    try:
        return [each for each in (process, *process.children(recursive=True)) if each.username() == owner]
    except psutil.Error:
        return []
