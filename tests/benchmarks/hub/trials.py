"""What one student may try, and what the others notice: each trial prints passed or failed.

They run on the recipe with two of its figures made small, so that nobody waits: see TRIAL.
"""

import statistics
import threading
import time

import room
from student import Student

IDLE_S, CPU_S = 30, 40
TRIAL = """
from pathlib import Path
recipe = Path({recipe!r}).read_text()
for name, seconds in (("IDLE_S", {idle}), ("CPU_S", {cpu})):
    line = next(line for line in recipe.splitlines() if line.startswith(name + " = "))
    recipe = recipe.replace(line, f"{{name}} = {{seconds}}")
exec(compile(recipe, {recipe!r}, "exec"))
"""
SECRET = "only student02 may read this"
MOVING_S = 15


def admin(passwords):
    """The instructor, signed in."""
    instructor = Student(room.ADDRESS, "instructor", passwords["instructor"])
    instructor.sign_in()
    return instructor


def start_all(passwords, students):
    """What the button Start All on the instructor's page of the hub does; waits until all are up."""
    instructor = admin(passwords)
    instructor.ask("POST", "/hub/api/users", json={"usernames": students})  # as Add Users: known before they log in
    for name in students:
        instructor.ask("POST", f"/hub/api/users/{name}/server")
    while any(not instructor.ask("GET", f"/hub/api/users/{name}").json().get("server") for name in students):
        time.sleep(1)


def stop_all(passwords):
    """Stop every server and wait until they are gone."""
    instructor = admin(passwords)
    for user in instructor.ask("GET", "/hub/api/users").json():
        if user["servers"]:
            instructor.ask("DELETE", f"/hub/api/users/{user['name']}/server")
    while any(user["servers"] for user in instructor.ask("GET", "/hub/api/users").json()):
        time.sleep(0.5)


def said(trial, passed, what):
    print(f"{'passed' if passed else 'FAILED'}: {trial}: {what}", flush=True)
    return passed


def by_kernel(reader, owner):
    path = f"/home/{owner.name}/lessons/secret.txt"
    code = f"print(open({path!r}).read())"
    reply = reader.open_kernel().run(code)
    return said("another's file from a kernel", reply["ename"] == "PermissionError", reply.get("evalue", "it was read"))


def by_terminal(reader, owner):
    import websocket

    name = reader.ask("POST", "api/terminals").json()["name"]
    cookies = "; ".join(f"{c.name}={c.value}" for c in reader.web.cookies if c.path in ("/", f"/user/{reader.name}/"))
    socket = websocket.create_connection(
        f"{reader.own.replace('http', 'ws', 1)}terminals/websocket/{name}", cookie=cookies, timeout=20
    )
    command = f"cat /home/{owner.name}/lessons/secret.txt; ls /home/{owner.name}; echo end$((1+1))\\r"
    socket.send(f'["stdin", "{command}"]')
    text = ""
    while "end2" not in text:
        text += socket.recv()
    socket.close()
    return said(
        "another's file from a terminal",
        text.count("Permission denied") >= 2 and SECRET not in text,
        "Permission denied",
    )


def by_http(reader, owner):
    import requests

    token = reader.ask("POST", f"/hub/api/users/{reader.name}/tokens", json={"note": "mine"}).json()["token"]
    mine = {"Authorization": f"token {token}"}
    own = requests.get(f"{reader.own}api/contents/", headers=mine, timeout=30).status_code
    codes = {
        "token": requests.get(f"{owner.own}api/contents/secret.txt", headers=mine, timeout=30).status_code,
        "cookies": reader.web.get(f"{owner.own}api/contents/secret.txt", timeout=30).status_code,
        "nothing": requests.get(f"{owner.own}api/contents/secret.txt", timeout=30).status_code,
        "upwards": reader.ask("GET", f"api/contents/../../{owner.name}/lessons/secret.txt").status_code,
        "stop it": requests.delete(
            f"{room.ADDRESS}/hub/api/users/{owner.name}/server", headers=mine, timeout=30
        ).status_code,
    }
    refused = own == 200 and all(code in (403, 404) for code in codes.values())
    return said("another's file over HTTP", refused, f"own token at the own server {own}; at another's: {codes}")


def moves_of(students, seconds=MOVING_S):
    """Move everybody's sliders at once; returns the milliseconds of the moves that the page had to ask for."""
    waited = []
    hands = [threading.Thread(target=lambda s=s, n=n: waited.extend(s.use(seconds, n))) for n, s in enumerate(students)]
    for hand in hands:
        hand.start()
    for hand in hands:
        hand.join()
    return waited


def asked_for(moves):
    asked = sorted(wait for wait in moves if wait)
    if not asked:
        return f"{len(moves)} moves, none had to wait"
    return (
        f"{len(moves)} moves, {len(asked)} asked for, median {statistics.median(asked):.0f}, longest {asked[-1]:.0f} ms"
    )


def processor_s(name):
    """Seconds of processor that a student's processes have taken so far."""
    return sum(sum(process.cpu_times()[:2]) for process in room.of_user(name))


def looping(culprit, others):
    before = moves_of(others)
    kernel = culprit.kernel
    ident = kernel.start("while True: pass")
    spent = processor_s(culprit.name)
    during = moves_of(others)
    spent = processor_s(culprit.name) - spent
    passed = said(
        "a kernel that loops",
        max(during) < 2000 and spent > MOVING_S / 4,
        f"{spent:.0f} s of a core in {MOVING_S} s; the others: {asked_for(during)}; before: {asked_for(before)}",
    )
    culprit.ask("POST", f"api/kernels/{kernel.ident}/interrupt")
    reply = kernel.wait_for(lambda: kernel._replies.get(ident), 20)
    passed &= said(
        "interrupt", bool(reply) and reply["ename"] == "KeyboardInterrupt", reply["ename"] if reply else "it loops on"
    )
    kernel.states.clear()
    kernel.start("while True: pass")
    start = time.monotonic()
    gone = kernel.wait_for(lambda: {"restarting", "dead", "autorestarting"} & set(kernel.states), 4 * CPU_S)
    after = f"after {time.monotonic() - start:.0f} s the kernel was {gone or 'still alive'}"
    answers = kernel.run("1", 60)
    return passed & said(
        "a loop past its processor time is ended", bool(gone) and bool(answers), f"{after}; a new one answers"
    )


def eating(culprit, others):
    kernel = culprit.kernel
    ident = kernel.start("kept = []\nwhile True: kept.append(bytearray(50 * 2**20))")
    during = moves_of(others)
    reply = kernel.wait_for(lambda: kernel._replies.get(ident), 60) or {"ename": "still eating"}
    fine = reply.get("ename") == "MemoryError" and max(during) < 2000
    return said("a kernel that eats memory", fine, f"{reply.get('ename')}; the others: {asked_for(during)}")


def processes(culprit):
    code = "import subprocess\nkept = []\nwhile len(kept) < 1000: kept.append(subprocess.Popen(['sleep', '20']))"
    reply = culprit.kernel.run(code, 60) or {}
    counted = len(room.of_user(culprit.name))
    return said(
        "a kernel that starts processes", reply.get("ename") == "BlockingIOError", f"{reply.get('ename')} at {counted}"
    )


def culled(student, owner):
    """The page is closed; the kernel goes, then its server."""
    student.kernel._socket.close()
    start = time.monotonic()
    while student.ask("GET", "api/kernels").json() and time.monotonic() - start < 6 * IDLE_S:
        time.sleep(2)
    took = time.monotonic() - start
    passed = said("an idle kernel is stopped", took < 3 * IDLE_S, f"after {took:.0f} s; its limit here {IDLE_S} s")
    while room.of_user(student.name) and time.monotonic() - start < 10 * IDLE_S:
        time.sleep(2)
    took = time.monotonic() - start
    return passed & said("an idle server is stopped", not room.of_user(student.name), f"after {took:.0f} s in all")


def restarted(student, passwords):
    instructor = admin(passwords)
    instructor.ask("DELETE", f"/hub/api/users/{student.name}/server")
    while room.of_user(student.name):
        time.sleep(0.5)
    start_all(passwords, [student.name])
    again = Student(room.ADDRESS, student.name, student.password)
    again.log_in()
    again.web.get(f"{again.own}lab")
    kept = again.ask("GET", "api/contents/secret.txt").json().get("content")
    lesson = again.ask("GET", "api/contents/02_bore_depth.ipynb").status_code
    fine = kept == SECRET and lesson == 200
    return said("a server stopped and started by the instructor", fine, "the student's file is there, and the lesson")


def run(passwords, proxy_bin, scratch):
    """All trials, with five students; returns whether all passed."""
    config = scratch / "trial_config.py"
    config.write_text(TRIAL.format(recipe=str(room.RECIPE), idle=IDLE_S, cpu=CPU_S), encoding="utf-8")
    with room.hub(proxy_bin, scratch, config):
        students = [Student(room.ADDRESS, name, passwords[name]) for name in room.names(5)]
        for student in students:
            student.open_lesson()
        first, second, *others = students
        second.ask(
            "PUT", "api/contents/secret.txt", json={"type": "file", "format": "text", "content": SECRET}
        ).raise_for_status()
        results = [trial(first, second) for trial in (by_kernel, by_terminal, by_http)]
        results += [looping(first, [second, *others]), eating(first, [second, *others]), processes(first)]
        results += [restarted(second, passwords), culled(others[0], second)]
    print(f"{sum(map(bool, results))} passed, {len(results) - sum(map(bool, results))} failed", flush=True)
    return all(results)
