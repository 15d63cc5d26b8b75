"""A student without a screen: logs in over HTTP, opens lesson 02 and moves its sliders, as JupyterLab and lab.js do.

The page's files are fetched as a browser does that has none of them yet. A lab's frames that the kernel sends ahead
are kept; a move to one of them waits for nothing, any other is asked for. Only drawing is left out.

``python student.py ADDRESS NAME PASSWORD FILES`` takes a command a line and answers each with a line of JSON (see
:func:`follow`); FILES lists what the page fetches, as paths below the student's own address.
"""

import gzip
import json
import random
import struct
import sys
import threading
import time
import uuid
from itertools import pairwise
from pathlib import Path
from urllib.parse import urljoin

import requests
import websocket

LESSON = "02_bore_depth.ipynb"
PATIENCE_S = 240
REST_S = 0.15  # lab.js: a hand that rests this long has let go
VIEW = "application/vnd.jupyter.widget-view+json"


class Kernel:
    """One kernel's websocket, in the protocol that is spoken where no other is agreed on."""

    def __init__(self, url, cookies, heard):
        self._socket = websocket.create_connection(url, cookie=cookies, timeout=PATIENCE_S)
        self._lock, self._heard, self._came = threading.Lock(), heard, threading.Condition()
        self._replies, self.states = {}, []
        threading.Thread(target=self._listen, daemon=True).start()

    def _listen(self):
        while True:
            try:
                code, data = self._socket.recv_data()
            except (OSError, websocket.WebSocketException):
                return
            if code == websocket.ABNF.OPCODE_CLOSE:
                return
            message, buffers = self._read(data) if code == websocket.ABNF.OPCODE_BINARY else (json.loads(data), [])
            with self._came:
                if message["msg_type"] == "status":
                    self.states.append(message["content"]["execution_state"])
                elif message["msg_type"] == "execute_reply":
                    self._replies[message["parent_header"]["msg_id"]] = message["content"]
                self._heard(message, buffers)
                self._came.notify_all()

    @staticmethod
    def _read(data):
        count = struct.unpack_from("!I", data)[0]
        at = [*struct.unpack_from(f"!{count}I", data, 4), len(data)]
        parts = [data[low:high] for low, high in pairwise(at)]
        return json.loads(parts[0]), parts[1:]

    def wait_for(self, true, seconds=PATIENCE_S):
        """Until ``true()``, looked at after each message; returns what it gave, or None when the time is up."""
        with self._came:
            return self._came.wait_for(true, seconds) or None

    def send(self, kind, content):
        ident = uuid.uuid4().hex
        header = {"msg_id": ident, "msg_type": kind, "session": ident, "username": "", "version": "5.4", "date": ""}
        message = {"header": header, "parent_header": {}, "metadata": {}, "content": content, "channel": "shell"}
        with self._lock:
            self._socket.send(json.dumps(message))
        return ident

    def start(self, code):
        return self.send("execute_request", {"code": code, "silent": False, "store_history": True})

    def run(self, code, seconds=PATIENCE_S):
        """Run code; returns the reply, or None when the time is up."""
        ident = self.start(code)
        return self.wait_for(lambda: self._replies.get(ident), seconds)


class Student:
    """One account of the hub, as a browser has it."""

    def __init__(self, address, name, password, files=()):
        self.address, self.name, self.password, self.files = address, name, password, files
        self.web = requests.Session()
        self.own = f"{address}/user/{name}/"
        self.told = self.comm = None
        self.frames, self.shown, self.heard, self.number, self.page = {}, False, 0, 0, uuid.uuid4().hex

    def cookie(self, name, path):
        return next((c.value for c in self.web.cookies if c.name == name and c.path == path), "")

    def ask(self, method, path, **more):
        """A request to the student's own server (or to the hub: /hub/api/...), with what it asks against forgery."""
        place = "/hub/" if path.startswith("/hub/") else f"/user/{self.name}/"
        headers = {"X-XSRFToken": self.cookie("_xsrf", place), "Referer": self.own}
        return self.web.request(method, urljoin(self.own, path), headers=headers, timeout=PATIENCE_S, **more)

    def sign_in(self):
        """Tell the hub who this is."""
        self.web.get(f"{self.address}/hub/login").raise_for_status()
        form = {"username": self.name, "password": self.password, "_xsrf": self.cookie("_xsrf", "/hub/")}
        self.web.post(f"{self.address}/hub/login?next=%2Fhub%2Fhome", data=form).raise_for_status()

    def log_in(self):
        """Sign in and wait until the own server is up."""
        self.sign_in()
        end = time.monotonic() + PATIENCE_S
        place = f"{self.address}/hub/spawn"
        while time.monotonic() < end:
            got = self.web.get(place, allow_redirects=False)
            got.raise_for_status()
            if got.is_redirect:
                place = urljoin(self.address, got.headers["Location"])
                if f"/user/{self.name}/" in place and "/hub/" not in place:
                    return
            else:
                time.sleep(0.5)
        raise TimeoutError(f"{self.name} waited {PATIENCE_S} s for a server")

    def open_kernel(self, path=LESSON):
        asked = {"path": path, "name": path, "type": "notebook", "kernel": {"name": "python3"}}
        got = self.ask("POST", "api/sessions", json=asked)
        got.raise_for_status()
        ident = got.json()["kernel"]["id"]
        cookies = "; ".join(f"{c.name}={c.value}" for c in self.web.cookies if c.path in ("/", f"/user/{self.name}/"))
        line = uuid.uuid4().hex  # of its own: a second one of the same session would close the first
        url = f"{self.own.replace('http', 'ws', 1)}api/kernels/{ident}/channels?session_id={line}"
        kernel = Kernel(url, cookies, self._hear)
        kernel.ident = ident
        return kernel

    def open_lesson(self):
        """Log in, open lesson 02 and run it; returns the seconds until the server was up, and the first picture."""
        start = time.monotonic()
        self.log_in()
        up = time.monotonic() - start
        self.web.get(f"{self.own}doc/tree/{LESSON}").raise_for_status()
        for path in self.files:
            self.web.get(self.own + path)
        cells = self.ask("GET", f"api/contents/{LESSON}").json()["content"]["cells"]
        self.kernel = self.open_kernel()
        idents = [self.kernel.start("".join(c["source"])) for c in cells if c["cell_type"] == "code"]
        if not self.kernel.wait_for(lambda: self.shown):
            raise TimeoutError(f"{self.name} saw no picture")
        picture = time.monotonic() - start
        self.kernel.wait_for(lambda: all(ident in self.kernel._replies for ident in idents))
        self._say(hello=True)
        return {"up_s": up, "picture_s": picture}

    # The lab

    def _hear(self, message, buffers):
        kind, content = message["msg_type"], message["content"]
        if kind == "comm_open" and "told" in content["data"].get("state", {}):
            state = content["data"]["state"]
            self.comm, self.told = content["comm_id"], state["told"]
            self.values = [control["default"] for control in self.told["controls"]]
            self.moved = [0] * len(self.values)
            self.frames[tuple(state["now"]["values"])] = time.monotonic()
        elif kind == "display_data" and self.comm and content["data"].get(VIEW, {}).get("model_id") == self.comm:
            self.shown = True
        elif kind == "comm_msg" and content["comm_id"] == self.comm and content["data"].get("method") == "custom":
            said, now = content["data"]["content"], time.monotonic()
            if said.get("ahead"):
                ahead = json.loads(gzip.decompress(buffers[0]))
                self.frames.update((tuple(values), now) for values, _ in ahead)
            else:
                self.heard = max(self.heard, said["heard"].get(self.page, 0))
                if "frame" in said:
                    self.frames[tuple(said["values"])] = now

    def _say(self, **more):
        self.number += 1
        moved = [c["name"] for c, n in zip(self.told["controls"], self.moved, strict=True) if n > self.heard]
        content = {"page": self.page, "n": self.number, "values": self.values, "moved": moved, "hand": None} | more
        self.kernel.send("comm_msg", {"comm_id": self.comm, "data": {"method": "custom", "content": content}})

    def move(self, i, value):
        """One step of a control; returns the milliseconds until its frame was there, 0 if it was already."""
        self.number += 1
        self.values = [*self.values[:i], value, *self.values[i + 1 :]]
        self.moved[i] = self.number
        wanted, start = tuple(self.values), time.monotonic()
        if wanted in self.frames:
            return 0.0
        self._say(ask=True)
        if not self.kernel.wait_for(lambda: wanted in self.frames, 60):
            return 60000.0
        return 1000 * (self.frames[wanted] - start)

    def use(self, seconds, seed):
        """Bursts of steps on one control, pauses to look and talk; returns the milliseconds of each move."""
        hand, waited, end = random.Random(seed), [], time.monotonic() + seconds
        time.sleep(hand.uniform(0, 3))
        while time.monotonic() < end:
            i = hand.randrange(len(self.values))
            control = self.told["controls"][i]
            if control["kind"] == "slider":
                positions = control["positions"]
                at = min(range(len(positions)), key=lambda p: abs(positions[p] - self.values[i]))
                way = hand.choice((-1, 1))
                places = [at + way * n for n in range(1, hand.randint(4, 13))]
                steps = [positions[p] for p in places if 0 <= p < len(positions)]
            else:
                steps = [hand.choice(control.get("options", [True, False]))]
            for value in steps:
                waited.append(self.move(i, value))
                time.sleep(hand.uniform(0.1, 0.25))
            time.sleep(REST_S)
            self._say()
            time.sleep(hand.uniform(2, 8))
        return waited


def follow(someone):
    """Commands, one a line: ``open`` the lesson; ``use SECONDS SEED``."""
    print(json.dumps("ready"), flush=True)
    for line in sys.stdin:
        verb, *numbers = line.split()
        try:
            answer = someone.open_lesson() if verb == "open" else someone.use(float(numbers[0]), int(numbers[1]))
        except Exception as error:
            answer = {"error": f"{type(error).__name__}: {error}"}
        print(json.dumps(answer), flush=True)


if __name__ == "__main__":
    address, name, password, files = sys.argv[1:]
    follow(Student(address, name, password, Path(files).read_text(encoding="utf-8").split()))
