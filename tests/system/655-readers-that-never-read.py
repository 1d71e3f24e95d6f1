"""Pages and calls that never read what they are told, with the light changing all the while: what waits for
them is bounded, and the frames go on. tests/system/410 has how they are ended."""
import signal
import socket
import sys
import time
import unittest

import pace
from meter import held
from running import Daemon, Receiver, controller, main, make_site, prop, wait_for

EACH = 8  # pages, and as many calls
STATES = 25  # that a page which reads is told meanwhile; it answers no ping, so it has 20 s
PROPS = 40  # so that a few states are more than the system's own queue of a page holds
MOST_WAITING = 2048  # KiB: for each of the 16 a state or an answer, and the heap's steps
UPGRADE = ("GET /api/live HTTP/1.1\r\nHost: 127.0.0.1:{}\r\nUpgrade: websocket\r\nConnection: Upgrade\r\n"
           "Sec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==\r\nSec-WebSocket-Version: 13\r\n\r\n")  # RFC 6455, 1.3
CALL = "GET /api/openapi.json HTTP/1.1\r\nHost: 127.0.0.1:{}\r\n\r\n"


class NeverRead(unittest.TestCase):
    def connect(self, octets, small=True):
        made = socket.socket()
        self.addCleanup(made.close)
        if small:
            made.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, 2048)
        made.settimeout(0.5)
        made.connect(("127.0.0.1", self.daemon.port))
        try:
            made.sendall(octets)
        except (TimeoutError, socket.timeout):
            pass  # it is not read from any more, as it should be
        return made

    def read_states(self):
        """A page that reads is told how the light changes."""
        live = self.connect(UPGRADE.format(self.daemon.port).encode(), small=False)
        live.settimeout(30)
        octets, changes = b"", 0
        while (states := octets.count(b'{"mode":')) < STATES:
            more = live.recv(1 << 20)
            self.assertNotEqual(more, b"")
            octets += more
            if states >= 10 * changes:
                self.daemon.light("slip-window", pattern=("chase", "ruler")[changes % 2])
                changes += 1
        return len(octets)

    @staticmethod
    def left_for(page):
        """Octets that waited for a page that reads at last."""
        octets = 0
        try:
            while more := len(page.recv(1 << 20)):
                octets += more
        except OSError:  # nothing for half a second, or it was ended
            pass
        return octets

    def test_memory_is_bounded(self):
        with Receiver() as receiver:
            site = make_site("site", [controller("bench", "e131", f"127.0.0.1:{receiver.port}",
                                                 repeat="every frame"),
                                      controller("yard", "e131", f"127.0.0.1:{receiver.port}")],
                             [prop("slip-window", "bench", 1)] +
                             [{**prop("loft-windows", "yard", 2 * number), "name": f"loft-{number}"}
                              for number in range(1, PROPS)])
            self.daemon = Daemon(site)
            self.addCleanup(self.daemon.__exit__)
            self.daemon.light("slip-window")
            wait_for(lambda: receiver.light(1), "light")
            self.read_states()
            before, start = held(self.daemon.pid), len(receiver.datagrams)
            missed = self.daemon.get("/api/light")["missed_frames"]
            pages = []
            for _ in range(EACH):
                pages.append(self.connect(UPGRADE.format(self.daemon.port).encode()))
                self.connect(CALL.format(self.daemon.port).encode() * 1000)
            begun = time.monotonic()
            octets = self.read_states()
            passed, late = time.monotonic() - begun, held(self.daemon.pid)
            packets = receiver.light(1, start)
            missed = self.daemon.get("/api/light")["missed_frames"] - missed
            print(f"{2 * EACH} readers that never read, {passed:.0f} s, {octets >> 10} KiB to one that does: memory "
                  f"of its own {before.private} and {late.private} KiB; {pace.told(packets)}; "
                  f"{missed} told as missed", file=sys.stderr)
            self.assertLess(late.private - before.private, MOST_WAITING)
            pace.check_pace(self, packets, missed)
            self.daemon.post("/api/dark")
            for page in pages[:2]:  # the newest state, not all of them
                self.assertLess(self.left_for(page), octets / 2)
            self.assertEqual(self.daemon.end(signal.SIGTERM), 0)
            wait_for(lambda: sum(packet.ended for packet in receiver.light(1)) == 3, "the end")


if __name__ == "__main__":
    main()
