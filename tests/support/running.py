"""Running the real program in a system test: its process, its API and what it sends.

Nothing here sleeps for a fixed time: `wait_for` looks until something holds or a deadline passes,
and deadlines are generous, since the machine may be busy.
"""
import dataclasses
import http.client
import json
import os
import re
import shutil
import signal
import socket
import struct
import subprocess
import sys
import threading
import time
import unittest

import udp_recorder

PANEWALK = os.environ["PANEWALK"]
SOURCE = os.environ["PANEWALK_SOURCE"]
PATIENCE = 30  # seconds; for what takes a fraction of one where the machine is idle


def main():
    """Runs the tests of a file in a network namespace of its own, with its own state folder."""
    if "PANEWALK_IN_NAMESPACE" not in os.environ:
        os.environ["PANEWALK_IN_NAMESPACE"] = "yes"
        netns = os.path.join(SOURCE, "tests", "support", "netns.sh")
        os.execv(netns, [netns, sys.executable, *sys.argv])
    use_own_state_folder()
    unittest.main()


def use_own_state_folder():
    os.environ.pop("STATE_DIRECTORY", None)
    os.environ["XDG_STATE_HOME"] = os.path.abspath("state")


def wait_for(condition, what, seconds=PATIENCE):
    """The first true value of `condition()`."""
    end = time.monotonic() + seconds
    while True:
        value = condition()
        if value:
            return value
        if time.monotonic() > end:
            raise AssertionError(f"not within {seconds} s: {what}")
        time.sleep(0.01)


def make_site(folder, controllers, props, **more):
    """Writes site.json with the demo's prop files beside it; returns its path."""
    os.makedirs(folder, exist_ok=True)
    shutil.copytree(os.path.join(SOURCE, "config", "props"), os.path.join(folder, "props"),
                    dirs_exist_ok=True)
    path = os.path.join(folder, "site.json")
    site = {"site": "boathouse", "controllers": controllers, "props": props, **more}
    with open(path, "w", encoding="utf-8") as file:
        json.dump(site, file, indent=2)
    return path


def controller(name, protocol, address, **more):
    return {"name": name, "protocol": protocol, "address": address, **more}


def prop(name, at, universe, **more):
    return {"file": f"props/{name}.json", "controller": at, "universe": universe, **more}


@dataclasses.dataclass(frozen=True)
class Light:
    """A data packet. Universe and sequence as on the wire; `ended` is Stream_Terminated."""

    time: int
    kind: str
    universe: int
    sequence: int
    ended: bool
    slots: bytes
    cid: str = ""

    @property
    def black(self):
        return not any(self.slots)


def read_light(datagram):
    """ANSI E1.31-2018 Table 4-1 and 6.2.6; Art-Net 4, ArtDmx. None for any other packet."""
    data = datagram.payload
    if data[4:16] == b"ASC-E1.17\0\0\0" and data[18:22] == b"\0\0\0\x04":
        (universe,) = struct.unpack_from("!H", data, 113)
        return Light(datagram.time, "e131", universe, data[111], bool(data[112] & 0x40), data[126:],
                     data[22:38].hex())
    if data[:10] == b"Art-Net\0\0\x50":
        return Light(datagram.time, "artnet", data[14] | data[15] << 8, data[12], False, data[18:])
    return None


class Receiver:
    """Keeps every datagram that comes to an address, and can be asked while it listens."""

    def __init__(self, port=0, address="127.0.0.1"):
        self.socket = udp_recorder.open_socket(address, port, [])
        self.port = self.socket.getsockname()[1]
        self.datagrams = []
        self.socket.settimeout(0.1)
        self.ends = False
        self.thread = threading.Thread(target=self._listen, daemon=True)
        self.thread.start()

    def _listen(self):
        while not self.ends:
            try:
                self.datagrams.append(udp_recorder.receive(self.socket))
            except (TimeoutError, socket.timeout):
                continue

    def light(self, universe=None, start=0):
        """The data packets from datagram `start` on."""
        packets = [read_light(datagram) for datagram in self.datagrams[start:]]
        return [p for p in packets if p and universe in (None, p.universe)]

    def close(self):
        if self.ends:
            return
        self.ends = True
        self.thread.join()
        self.socket.close()

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self.close()


class Program:
    """panewalk with arguments; what it prints is kept line by line. The terminal of whoever runs
    the tests is not its own."""

    def __init__(self, *arguments, inside=(), stdin=subprocess.DEVNULL, **popen):
        self.lines = {"out": [], "err": []}
        self.process = subprocess.Popen(
            [*inside, PANEWALK, *arguments], stdin=stdin, stdout=subprocess.PIPE,
            stderr=subprocess.PIPE, text=True, start_new_session=True, **popen)
        self.threads = [
            threading.Thread(target=self._read, args=pair, daemon=True)
            for pair in ((self.process.stdout, "out"), (self.process.stderr, "err"))]
        for thread in self.threads:
            thread.start()

    def _read(self, stream, name):
        for line in stream:
            self.lines[name].append(line.rstrip("\n"))

    @property
    def pid(self):
        return self.process.pid

    def signal(self, number):
        self.process.send_signal(number)

    def end(self, number=None, seconds=PATIENCE):
        """Waits for the end, after a signal if one is given; returns the exit status."""
        if number is not None:
            self.signal(number)
        status = self.process.wait(timeout=seconds)
        for thread in self.threads:
            thread.join()
        self.process.stdout.close()
        self.process.stderr.close()
        return status

    def out(self):
        return "\n".join(self.lines["out"])

    def err(self):
        return "\n".join(self.lines["err"])

    def __enter__(self):
        return self

    def __exit__(self, *_):
        if self.process.poll() is None:
            self.process.kill()
        if not self.process.stdout.closed:
            self.end()


def processor_seconds(pid):
    """What a process used of the processor so far; proc(5), /proc/[pid]/stat, fields 14 and 15."""
    with open(f"/proc/{pid}/stat", encoding="ascii") as file:
        fields = file.read().rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


class Daemon(Program):
    """`panewalk serve` on a free port, ready to be asked."""

    def __init__(self, site, *options, **popen):
        started = time.monotonic()
        super().__init__("serve", site, "--listen", "127.0.0.1:0", *options, **popen)
        wait_for(lambda: self.process.poll() is not None or
                 any("No light is sent until" in line for line in self.lines["out"]),
                 "serve is ready")
        self.ready_after = time.monotonic() - started
        found = re.match(r"panewalk serves (\S+) at http://127\.0\.0\.1:(\d+)/$",
                         (self.lines["out"] or [""])[0])
        if not found:
            self.__exit__()
            raise AssertionError(f"serve did not start: {self.out()}\n{self.err()}")
        self.port = int(found[2])

    def log(self):
        """The lines about trouble, but for what this machine grants and how busy it is."""
        return [line for line in self.lines["err"]
                if not line.startswith("panewalk: ordinary priority: ")
                and "frames were missed" not in line and "frames are missed" not in line]

    def ask(self, method, path, body=None, headers=None):
        """(status, body) of one call; the body of the call may be a value or bytes."""
        fields = {} if body is None else {"Content-Type": "application/json"}
        fields.update(headers or {})
        if body is not None and not isinstance(body, bytes):
            body = json.dumps(body).encode()
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=PATIENCE)
        try:
            connection.request(method, path, body, fields)
            answer = connection.getresponse()
            return answer.status, answer.read().decode()
        finally:
            connection.close()

    def get(self, path):
        status, body = self.ask("GET", path)
        if status != 200:
            raise AssertionError(f"GET {path}: {status} {body}")
        return json.loads(body)

    def post(self, path, body=None):
        status, text = self.ask("POST", path, body)
        if status != 200:
            raise AssertionError(f"POST {path}: {status} {text}")
        return json.loads(text)

    def light(self, *names, pattern="chase", **more):
        return self.post("/api/light", {"props": names, "pattern": pattern, **more})


def show_end(status):
    """An exit status in words."""
    return signal.Signals(-status).name if status < 0 else f"exit {status}"
