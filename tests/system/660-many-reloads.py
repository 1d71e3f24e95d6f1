"""SIGHUP two hundred times, with good and broken files in turn, while it is lit: each is answered, and what the
daemon holds stays as it was."""
import json
import os
import signal
import sys
import unittest

import pace
from manager import Manager
from meter import held, open_files
from running import Daemon, Receiver, controller, main, make_site, prop, wait_for

ROUNDS = 25  # of eight reloads
WARM = 3  # rounds after which the heap has seen everything
MOST_GROWTH = 256  # KiB; the heap's own steps. A plan that stays behind has some 100 KiB, 22 times 4 of them
KINDS = ("good", "comma", "good", "unknown name", "moved", "gone", "good", "empty")
TAKEN = ("good", "moved")


class ManyReloads(unittest.TestCase):
    def write(self, kind):
        bench = controller("bench", "e131", f"127.0.0.1:{self.receiver.port}", repeat="every frame")
        universe = 3 if kind == "moved" else 2
        site = make_site("site", [bench], [prop("slip-window", "bench", 1),
                                           prop("loft-windows", "bench", universe)])
        broken = {"comma": "{ \"site\": \"boathouse\", }", "empty": "",
                  "unknown name": json.dumps({"site": "boathouse", "controllers": [], "props": [], "lamp": 1})}
        if kind in broken:
            with open(site, "w", encoding="utf-8") as file:
                file.write(broken[kind])
        return site

    def reload(self, daemon, kind):
        site = self.write(kind)
        if kind == "gone":
            os.remove(site)
        # The log leaves out what goes beyond its bound; the manager is told of each.
        before = len(self.manager.told)
        daemon.signal(signal.SIGHUP)
        wait_for(lambda: len(self.manager.told) == before + 2, f"{kind}: reloading and ready")

    def test_nothing_stays_behind(self):
        self.manager = Manager(watchdog_usec=0)
        self.addCleanup(self.manager.close)
        with Receiver() as self.receiver, Daemon(self.write("good"), env=self.manager.environment) as daemon:
            wait_for(lambda: self.manager.told, "ready")
            daemon.light("slip-window")
            wait_for(lambda: self.receiver.light(1), "light")
            rounds, files = [], open_files(daemon.pid)
            for _ in range(ROUNDS):
                for kind in KINDS:
                    self.reload(daemon, kind)
                start = len(self.receiver.datagrams)
                wait_for(lambda s=start: len(self.receiver.light(1, s)) > 2, "frames")
                wait_for(lambda: open_files(daemon.pid) <= files, "as many files as before")
                rounds.append(held(daemon.pid))
            light = daemon.get("/api/light")
            self.assertEqual((light["mode"], light["site_read"]),
                             ("lit", 1 + ROUNDS * sum(kind in TAKEN for kind in KINDS)))
            self.assertEqual(daemon.end(signal.SIGTERM), 0)
        warm, last = rounds[WARM], rounds[-1]
        print(f"{ROUNDS * len(KINDS)} reloads: memory of its own {rounds[0].private} KiB after the first round, "
              f"{warm.private} warm, {last.private} at the end", file=sys.stderr)
        self.assertEqual({each.threads for each in rounds}, {warm.threads})
        self.assertLess(last.private - warm.private, MOST_GROWTH)
        self.check_streams()

    def check_streams(self):
        """Each plan that was exchanged was ended, and nothing was lost in between (E1.31-2018 6.2.5, 6.2.6)."""
        packets = self.receiver.light(1)
        ended = 0
        for before, after in zip(packets, packets[1:]):
            ended = ended + 1 if before.ended else 0
            if ended == 3:
                continue  # the next stream
            self.assertEqual(after.sequence, (before.sequence + 1) % 256)
            self.assertFalse(before.ended and not after.ended)
        self.assertEqual(sum(packet.ended for packet in packets) % 3, 0)
        self.assertTrue(packets[-1].ended and packets[-1].black)
        print(pace.told([packet for packet in packets if not packet.ended]), file=sys.stderr)


if __name__ == "__main__":
    main()
