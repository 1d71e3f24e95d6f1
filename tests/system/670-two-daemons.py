"""Two daemons of one site and one state folder: the port belongs to the first, a second at another port is a
component of its own, and both write into one logbook."""
import os
import signal
import sqlite3
import threading
import unittest

from running import Daemon, Program, Receiver, controller, main, make_site, prop, wait_for

EACH = 20  # answers


class TwoDaemons(unittest.TestCase):
    def setUp(self):
        self.receiver = Receiver()
        self.addCleanup(self.receiver.close)
        self.site = make_site("site", [controller("bench", "e131", f"127.0.0.1:{self.receiver.port}",
                                                  repeat="every frame")], [prop("slip-window", "bench", 1)])
        self.first = Daemon(self.site)
        self.addCleanup(self.first.__exit__)
        self.first.light("slip-window")
        wait_for(lambda: len(self.receiver.light(1)) > 20, "frames")

    def check_sequences(self, packets):
        numbers = [packet.sequence for packet in packets]
        self.assertEqual([(number + 1) % 256 for number in numbers[:-1]], numbers[1:])

    def test_the_port_is_taken(self):
        with Program("serve", self.site, "--listen", f"127.0.0.1:{self.first.port}") as second:
            self.assertEqual(second.end(), 1)
        self.assertEqual(second.out(), "")
        port = self.first.port
        self.assertEqual(second.err(), f"127.0.0.1:{port}: port {port} is taken by another program; give another "
                                       "port, or 0 for any that is free")
        # The one that is there has not noticed, and its CID was not spoken by another.
        start = len(self.receiver.datagrams)
        wait_for(lambda: len(self.receiver.light(1, start)) > 40, "frames")
        self.assertEqual(len({packet.cid for packet in self.receiver.light(1)}), 1)
        self.check_sequences(self.receiver.light(1))
        self.assertFalse(any(packet.ended for packet in self.receiver.light(1)))

    def answers(self, daemon, name):
        """Both answer the same check; the newest counts."""
        check = daemon.get("/api/bench/slip-window")["check"]
        for number in range(EACH):
            daemon.post("/api/bench/slip-window/answer", {
                "check": check, "step": "ruler", "answer": "yes", "note": f"{name} {number}"})

    def test_both_work_at_two_ports(self):
        self.first.post("/api/bench/slip-window/begin")
        with Daemon(self.site) as second:
            second.light("slip-window")
            wait_for(lambda: len({packet.cid for packet in self.receiver.light(1)}) == 2, "both are heard")
            writers = [threading.Thread(target=self.answers, args=pair)
                       for pair in ((self.first, "first"), (second, "second"))]
            for writer in writers:
                writer.start()
            for writer in writers:
                writer.join()
            for daemon in (self.first, second):  # each sees what the other has written within a second
                wait_for(lambda d=daemon: len(d.get("/api/logbook")["entries"]) == 2 * EACH + 1, "all entries")
            self.check_the_logbook()
            self.assertEqual(second.end(signal.SIGTERM), 0)
        self.assertEqual(self.first.end(signal.SIGTERM), 0)
        wait_for(lambda: sum(packet.ended for packet in self.receiver.light(1)) == 6, "both end")
        for cid in {packet.cid for packet in self.receiver.light(1)}:
            self.check_sequences([packet for packet in self.receiver.light(1) if packet.cid == cid])

    def check_the_logbook(self):
        connection = sqlite3.connect(os.path.join(os.environ["XDG_STATE_HOME"], "panewalk", "logbook.sqlite"))
        try:
            self.assertEqual(connection.execute("PRAGMA integrity_check").fetchall(), [("ok",)])
            rows = connection.execute("SELECT number, note FROM entry ORDER BY number").fetchall()
        finally:
            connection.close()
        self.assertEqual([number for number, _ in rows], list(range(1, 2 * EACH + 2)))
        for name in ("first", "second"):
            self.assertEqual([note for _, note in rows if note and note.startswith(name)],
                             [f"{name} {number}" for number in range(EACH)])


if __name__ == "__main__":
    main()
