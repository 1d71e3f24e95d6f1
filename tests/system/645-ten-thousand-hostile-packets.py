"""Ten thousand hostile packets a second at the ports that `serve` listens on, and at its HTTP port half
requests and connections as fast as they are taken: the frames go on, and it takes no more memory for it.

tests/system/461 and 462 have what the listeners make of such packets, 410 what the page answers.
"""
import http.client
import json
import signal
import socket
import sys
import threading
import time
import unittest

import flood
import pace
from meter import held, open_files
from running import Daemon, Receiver, controller, main, make_site, prop, wait_for
from yards import Yard

RATE = 10000
SECONDS = 5
CONNECTORS = 2
KEPT = 30  # connections that each of them keeps: together more than there is room for
ROOM = 32 + 8  # clients, and those that are told that there is no room
SPARE = 4  # files that are open for a moment
# KiB of its own. Its tables of who is heard are bounded; full they make some 7 MiB (the soak fills them).
MOST_MEMORY = 16 << 10
HALVES = (b"GET / HTTP/1.1\r\nHost: boat", b"POST /api/light HTTP/1.1\r\nContent-Length: 65536\r\n\r\n{",
          b"", b"\x16\x03\x01\x02\0\x01\0\x01\xfc\x03\x03", b"GET /" + b"a" * 9000)


class Connector(threading.Thread):
    """Half a request, and the next connection; the last ones stay open."""

    def __init__(self, port):
        super().__init__(daemon=True)
        self.port, self.ends, self.count = port, False, 0

    def run(self):
        kept = []
        while not self.ends:
            try:
                made = socket.create_connection(("127.0.0.1", self.port), timeout=2)
                made.sendall(HALVES[self.count % len(HALVES)])
                kept.append(made)
                self.count += 1
            except OSError:
                continue
            while len(kept) > KEPT:
                kept.pop(0).close()
        for each in kept:
            each.close()


class Hostile(unittest.TestCase):
    def setUp(self):
        self.yard = Yard("bench", 1)
        self.addCleanup(self.yard.close)
        with self.yard.entered():
            self.receiver = Receiver(5568, self.yard.there)
        self.addCleanup(self.receiver.close)
        site = make_site("site", [controller("bench", "e131", self.yard.there, repeat="every frame")],
                         [prop("slip-window", "bench", 1)])
        self.daemon = Daemon(site)
        self.addCleanup(self.daemon.__exit__)
        self.daemon.light("slip-window")
        wait_for(lambda: len(self.receiver.light(1)) > 60, "frames")

    def attacked(self, attack, what, most):
        """The frames while `attack` goes on; how many it made. `most` is the share of a core."""
        start, missed = len(self.receiver.datagrams), self.daemon.get("/api/light")["missed_frames"]
        before, begun = held(self.daemon.pid), time.monotonic()
        count = attack()
        passed, after = time.monotonic() - begun, held(self.daemon.pid)
        packets = self.receiver.light(1, start)
        missed = wait_for(self.light, "it answers")["missed_frames"] - missed
        share = (after.processor - before.processor) / passed
        print(f"{count / passed:.0f} {what} a second: {share:.1%} of a core, memory of its own {before.private} "
              f"and {after.private} KiB; {pace.told(packets)}; {missed} told as missed", file=sys.stderr)
        pace.check_pace(self, packets, missed)
        self.assertLess(share, most)
        self.assertLess(after.private, MOST_MEMORY)
        return count

    def light(self):
        """None as long as there is no room for one more client."""
        try:
            status, body = self.daemon.ask("GET", "/api/light")
        except (OSError, http.client.HTTPException):
            return None
        return json.loads(body) if status == 200 else None

    def packets(self):
        process = self.yard.run(sys.executable, flood.__file__, self.yard.here, str(SECONDS), str(RATE))
        out, _ = process.communicate(timeout=120)
        return int(out.split()[-1])

    def connections(self):
        connectors = [Connector(self.daemon.port) for _ in range(CONNECTORS)]
        most = open_files(self.daemon.pid)
        bound, end = most + ROOM + SPARE, time.monotonic() + SECONDS
        for connector in connectors:
            connector.start()
        while time.monotonic() < end:
            most = max(most, open_files(self.daemon.pid))
            time.sleep(0.05)
        for connector in connectors:
            connector.ends = True
            connector.join()
        self.assertLessEqual(most, bound)
        return sum(connector.count for connector in connectors)

    def test_the_light_goes_on(self):
        for _ in range(2):
            sent = self.attacked(self.packets, "hostile packets", 0.5)
            self.assertGreater(sent, SECONDS * RATE / 4)  # a busy machine makes fewer
        # All that one core can take: the thread of the light has its own time.
        self.assertGreater(self.attacked(self.connections, "half requests", 1.1), 100)
        self.assertEqual(self.daemon.get("/api/light")["mode"], "lit")
        self.assertEqual(self.daemon.end(signal.SIGTERM), 0)


if __name__ == "__main__":
    main()
