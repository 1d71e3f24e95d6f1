"""What goes on during a soak, each on a thread of its own: hands on the page, clients, troubles of the
network."""
import json
import os
import random
import signal
import socket
import struct
import subprocess
import sys
import threading
import time
import traceback

import flood
from network_daemon import CLIENTS
from running import PANEWALK
from stream_watch import Window
from yards import ip

PATTERNS = ["chase", "colour-roll", "corner-check", "per-pane", "ruler", "slope", "centre-cross"]
PROPS = ["slip-window", "loft-windows", "door-ring", "gable-line", "eaves-line"]
HAND, KEEPER, DEAF, *PHONES = CLIENTS
RECOVERY = 4  # seconds in which packets come again after a trouble: tests/system/340 allows 3
FLOOD_RATE = 10000
MOST_ANSWERS = 8  # to one check or search
SLOW = 5  # seconds in which we did not get to the socket
SILENCE = 20  # seconds; where nothing changes a page hears a ping every 10


class Everything:
    """`seen` counts what was done. What must not happen is a line of `wrong`."""

    def __init__(self, yard, seed):
        self.yard, self.daemon = yard, yard.daemon
        self.seed = seed
        self.stops = threading.Event()
        self.seen, self.wrong = {}, []
        self.entries = 0
        self.threads = []
        self.cookies = {}
        self.cookie_lock = threading.Lock()

    def warm_up(self):
        """The most that it ever holds: its tables of who is heard full, and a long search of each prop."""
        for _ in range(4):
            self.flood()
        for name in PROPS:
            for place in ("bench", "yard"):
                state = self.call("POST", f"/api/find/{name}/begin", {"place": place})
                self.entries += 1
                while state["question"] and len(state["answers"]) < MOST_ANSWERS:
                    state = self.call("POST", f"/api/find/{name}/answer", self.next_answer("find", state, None))
                    self.entries += 1
        self.done("warm-up")

    def start(self):
        for index, part in enumerate((self.hands, self.answers, self.phones, self.watcher, self.deaf,
                                      self.reloads, self.links, self.scans)):
            thread = threading.Thread(target=self.guarded, args=(part, random.Random(self.seed + index)))
            thread.start()
            self.threads.append(thread)

    def stop(self):
        self.stops.set()
        for thread in self.threads:
            thread.join()

    def guarded(self, part, dice):
        while not self.stops.is_set():
            try:
                part(dice)
            except Exception as error:  # whatever it is, the soak must not end without saying it
                if self.daemon.process.poll() is not None:
                    self.wrong.append("the daemon has ended")
                    return
                line = traceback.extract_tb(error.__traceback__)[:2][-1].lineno  # of the part
                self.wrong.append(f"{part.__name__}, line {line}: {type(error).__name__}: {error}")
                self.stops.wait(1)

    def done(self, what):
        self.seen[what] = self.seen.get(what, 0) + 1

    def pause(self, dice, least, most):
        """Whether it goes on after it."""
        return not self.stops.wait(dice.uniform(least, most))

    def cookie(self, source):
        with self.cookie_lock:
            if source not in self.cookies:
                self.cookies[source] = self.daemon.join(source)
            return self.cookies[source]

    def call(self, method, target, body=None, source=HAND, may=(200,)):
        """The answer, None where it is another than 200 that may be."""
        status, _, text = self.daemon.call(method, target, body, source, self.cookie(source))
        if status not in may:
            raise AssertionError(f"{method} {target} {body}: {status} {text}")
        return json.loads(text) if status == 200 and text.startswith("{") else None

    # Hands on the page.

    def hands(self, dice):
        names = dice.sample(PROPS, dice.randrange(1, len(PROPS) + 1))
        self.call("POST", "/api/light", {"props": names, "pattern": dice.choice(PATTERNS),
                                         "level": dice.choice([0.1, 0.3, 1])}, may=(200, 400, 503))
        self.done("looks")
        self.pause(dice, 1, 5)
        other = dice.random()
        if other < 0.3:
            self.call("POST", "/api/step", {"go": dice.choice(["next", "back", "hold", "on"])},
                      may=(200, 400, 409, 503))
        elif other < 0.4:
            self.call("POST", "/api/dark", may=(200, 503))
            self.done("darks")
            self.pause(dice, 1, 3)
        elif other < 0.5:
            with Window(self.yard.silences, RECOVERY):
                self.call("POST", "/api/release", may=(200, 503))
                self.done("releases")
                self.pause(dice, 1, 3)

    def answers(self, dice):
        """A bench check, a walk or a search from its beginning; a reload makes a search stale (409)."""
        kind = dice.choice(["bench", "walk", "find"])
        self.done(f"{kind}s begun")
        name = dice.choice(PROPS)
        at = {"bench": f"/api/bench/{name}", "walk": "/api/walk", "find": f"/api/find/{name}"}[kind]
        begin = {"bench": None, "walk": {"by": "order"}, "find": {"place": dice.choice(["bench", "yard"])}}
        state = self.call("POST", at + "/begin", begin[kind])
        for _ in range(MOST_ANSWERS):
            self.entries += 1
            if not self.pause(dice, 1, 4) or state is None:
                return
            body = self.next_answer(kind, state, dice)
            if body is None:
                return
            state = self.call("POST", at + "/answer", body, may=(200, 409))
            self.done("answers")

    def next_answer(self, kind, state, dice):
        if kind == "bench" and state["next"]:
            return {"check": state["check"], "step": state["next"], "note": "seen from the slipway",
                    "answer": dice.choice(["yes", "no", "unsure", "skipped"])}
        if kind == "walk" and state["next"]:
            return {"walk": state["walk"], "prop": state["next"],
                    "seen": dice.choice(["as drawn", "nothing", "wrong"])}
        if kind == "find" and state["question"]:
            return {"find": state["find"], "question": state["question"]["number"], "answer": "unsure"}
        return None

    # Clients.

    def phones(self, dice):
        """One comes, looks at something, and leaves, closes or is gone without a word."""
        source = dice.choice(PHONES)
        cookie = self.daemon.join(source)
        live, head = self.daemon.upgrade(source, cookie)
        if " 101 " not in head:
            raise AssertionError(head)
        for target in ("/", "/api/site", "/api/light", "/api/network", "/api/logbook",
                       "/api/props/slip-window/map", "/api/props/loft-windows/drawing", "/api/patterns"):
            status, _, _ = self.daemon.call("GET", target, source=source, cookie=cookie)
            if status != 200:
                raise AssertionError(f"{target}: {status}")
        live.settimeout(SILENCE)
        end = time.monotonic() + dice.uniform(0.2, 4)
        while time.monotonic() < end and live.recv(65536):
            pass
        way = dice.choice(["leaves", "closes", "is gone"])
        if way == "leaves":
            self.daemon.call("POST", "/api/leave", source=source, cookie=cookie)
        elif way == "is gone":  # a reset, no word of it
            live.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, struct.pack("ii", 1, 0))
        live.close()
        self.done("phones")
        self.pause(dice, 0, 2)

    def watcher(self, dice):
        """A page that stays open; it answers pings. RFC 6455, 5.2: control frames are short."""
        live, _ = self.daemon.upgrade(KEEPER, self.cookie(KEEPER))
        live.settimeout(1)
        waiting, looked, slow = b"", time.monotonic(), 0.0
        with live:
            while not self.stops.is_set():
                try:
                    more = live.recv(1 << 20)
                    if not more:
                        raise ConnectionError("the page that stays was ended")
                    waiting = self.take_frames(live, waiting + more)
                except (TimeoutError, socket.timeout):
                    pass
                except ConnectionError:
                    # It is ended 20 s after a ping without an answer: where we stood still, that is right.
                    if max(slow, time.monotonic() - looked) < SLOW:
                        raise
                    self.done("pages ended, this machine being slow")
                    return
                slow = max(slow * 0.999, time.monotonic() - looked)
                looked = time.monotonic()
        self.done("pages kept open to the end")

    def take_frames(self, live, data):
        while len(data) >= 2:
            size, begin = data[1], 2
            if size == 126:
                size, begin = int.from_bytes(data[2:4], "big"), 4
            elif size == 127:
                size, begin = int.from_bytes(data[2:10], "big"), 10
            if len(data) < 10 and size > 125 or len(data) < begin + size:
                break
            if data[0] == 0x89:  # a ping; the pong is masked with zeros
                live.sendall(bytes([0x8a, 0x80 | size, 0, 0, 0, 0]) + data[begin:begin + size])
            else:
                self.done("states told to the page that stays")
            data = data[begin + size:]
        return data

    def deaf(self, dice):
        """A page and a call that never read; the daemon ends both, and they come again."""
        cookie = self.cookie(DEAF)
        live, _ = self.daemon.upgrade(DEAF, cookie, receive_buffer=2048)
        with live, self.daemon.connect(DEAF) as call:
            try:
                for _ in range(200):
                    call.sendall(f"GET /api/openapi.json HTTP/1.1\r\nHost: {self.daemon.name}\r\n"
                                 f"Cookie: {cookie}\r\n\r\n".encode())
            except OSError:
                pass
            for _ in range(60):
                if not self.pause(dice, 1, 1):
                    return
        self.done("readers that never read")

    def scans(self, dice):
        if not self.pause(dice, 30, 60):
            return
        with open("scan.txt", "w", encoding="utf-8") as out:
            status = subprocess.run([PANEWALK, "scan", self.yard.scanned, "--seconds", "4"], stdout=out,
                                    stderr=out, timeout=120, check=False,
                                    env={k: v for k, v in os.environ.items() if k != "LD_PRELOAD"}).returncode
        self.done("scans")
        if status != 0:
            raise AssertionError(f"scan: exit {status}")

    # The site and the network.

    def reloads(self, dice):
        if not self.pause(dice, 5, 15):
            return
        kind = dice.choice(["the same", "moved", "broken", "gone"])
        with Window(self.yard.reloads, RECOVERY):
            self.yard.write_site(kind)
            before = self.said()
            self.daemon.signal(signal.SIGHUP)
            for _ in range(600):
                if self.said() > before:
                    break
                time.sleep(0.1)
            else:
                raise AssertionError("SIGHUP was not heard within a minute")
        self.done(f"reloads, site {kind}")
        self.yard.write_site("the same")

    def said(self):
        return sum("was read again" in line or "was not taken" in line
                   for line in self.daemon.lines["out"] + self.daemon.lines["err"])

    def links(self, dice):
        if not self.pause(dice, 10, 20):
            return
        trouble = dice.choice(["link", "link", "receiver", "flood"])
        if trouble == "flood":
            self.flood()
            return
        place = dice.choice(self.yard.places)
        with Window(place.windows, RECOVERY):
            if trouble == "link":
                ip("link", "set", place.network.name, "down")
                self.pause(dice, 0.5, 5)
                ip("link", "set", place.network.name, "up")
            else:
                place.watch.stop()
                self.pause(dice, 0.5, 5)
                place.watch.start()
        self.done(f"{trouble} of {place.network.name} away")

    def flood(self):
        network = self.yard.places[0].network
        process = network.run(sys.executable, flood.__file__, network.here, "5", str(FLOOD_RATE))
        out, _ = process.communicate(timeout=120)
        self.seen["hostile packets"] = self.seen.get("hostile packets", 0) + int(out.split()[-1])
