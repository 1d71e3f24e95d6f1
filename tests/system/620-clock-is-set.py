"""The wall clock is set back and forward, by hours and while all goes on: nothing but the time that the
logbook notes goes with it. tests/support/shift_clock.cpp changes it for the daemon alone."""
import json
import mmap
import os
import signal
import struct
import sys
import time
import unittest
from datetime import datetime, timezone

import pace
from network_daemon import CLIENTS, SERVER, NetworkDaemon, use_addresses
from preload import compile_library
from running import PATIENCE, Program, Receiver, controller, main, make_site, prop, wait_for

HOUR = 3600
# A session ends when it is idle for 12 hours, and light that nobody watches after ten minutes.
SETTINGS = [-HOUR, HOUR, 13 * HOUR, -13 * HOUR, 0]
FRAMES = 60  # after each setting
NEARLY = 5  # seconds by which a stamp may be older than its reply
GUEST, GUESSER = CLIENTS[:2]


class Clock:
    def __init__(self, path):
        self.offset = 0
        with open(path, "wb+") as file:
            file.write(bytes(8))
            file.flush()
            self.shared = mmap.mmap(file.fileno(), 8)

    def set(self, seconds):
        self.offset = seconds
        self.shared[:8] = struct.pack("=q", seconds * 1_000_000_000)

    def now(self):
        return time.time() + self.offset


def seconds_of(text):
    return datetime.strptime(text, "%Y-%m-%dT%H:%M:%SZ").replace(tzinfo=timezone.utc).timestamp()


class ClockIsSet(unittest.TestCase):
    def setUp(self):
        use_addresses(SERVER, *CLIENTS)
        self.every = Receiver()
        self.kept = Receiver()
        for receiver in (self.every, self.kept):
            self.addCleanup(receiver.close)
        self.site = make_site(
            "site", [controller("bench", "e131", f"127.0.0.1:{self.every.port}", repeat="every frame"),
                     controller("jetty", "e131", f"127.0.0.1:{self.kept.port}")],
            [prop("slip-window", "bench", 1), prop("door-ring", "jetty", 3)])
        self.clock = Clock(os.path.abspath("offset"))
        self.environment = {**os.environ, "LD_PRELOAD": compile_library("shift_clock"),
                            "PANEWALK_CLOCK": os.path.abspath("offset")}

    def call(self, method, target, body=None):
        status, _, text = self.daemon.call(method, target, body, GUEST, self.cookie)
        self.assertEqual(status, 200, text)
        return json.loads(text)

    def light(self):
        return self.call("GET", "/api/light")

    def frames_go_on(self):
        start = len(self.every.datagrams)
        wait_for(lambda: len(self.every.light(1, start)) >= FRAMES, "frames")

    def guess(self):
        return self.daemon.call("POST", "/api/join", {"code": "2222-2222"}, GUESSER)[0]

    def states_come(self, live):
        live.settimeout(PATIENCE)
        self.assertTrue(live.recv(65536), "the page is told more")

    def test_everything_goes_on(self):
        self.daemon = NetworkDaemon(self.site, env=self.environment)
        self.addCleanup(self.daemon.__exit__)
        self.cookie = self.daemon.join(GUEST)
        self.call("POST", "/api/light", {"prop": "slip-window", "pattern": "chase"})
        wait_for(lambda: self.every.light(1) and self.kept.light(3), "light")
        bench = self.call("POST", "/api/bench/slip-window/begin")
        live, head = self.daemon.upgrade(GUEST, self.cookie)
        self.addCleanup(live.close)
        self.assertIn(" 101 ", head)
        for _ in range(5):
            self.assertEqual(self.guess(), 403)
        guessed = time.monotonic()
        start, missed = len(self.every.datagrams), self.light()["missed_frames"]
        dark_from = len(self.kept.datagrams)
        stamps = []
        for offset in SETTINGS:
            self.clock.set(offset)
            self.frames_go_on()
            before = int(self.clock.now())
            asked = bench["next"]
            bench = self.call("POST", "/api/bench/slip-window/answer", {
                "check": bench["check"], "step": asked, "answer": "yes", "note": f"at {offset}"})
            self.states_come(live)
            step = next(each for each in bench["steps"] if each["step"] == asked)
            stamps.append((seconds_of(step["at"]), before))
            self.assertEqual(self.light()["mode"], "lit")
            if time.monotonic() - guessed < 50:  # codes are looked at again after a minute
                self.assertEqual(self.guess(), 429)
        packets = self.every.light(1, start)
        missed = self.light()["missed_frames"] - missed
        print(f"{pace.told(packets)}; {missed} told as missed", file=sys.stderr)
        pace.check_pace(self, packets, missed)
        for stamp, clock in stamps:
            self.assertTrue(clock <= stamp <= clock + NEARLY, (stamp, clock))
        self.check_the_record(bench, stamps)
        self.check_kept_alive(dark_from, missed)
        self.assertEqual(self.daemon.end(signal.SIGTERM), 0)

    def check_kept_alive(self, start, missed):
        """ANSI E1.31-2018 6.6.2: an unchanged universe every 800 to 1000 ms."""
        gaps = pace.gaps_of(self.kept.light(3, start))
        self.assertGreater(len(gaps), 4)
        self.assertGreater(min(gaps[3:]), 500)
        self.assertLess(max(gaps), 1000 + pace.PERIOD * (missed + 1))

    def check_the_record(self, bench, stamps):
        """In the order in which it was said, whatever the clock said."""
        steps = [step for step in bench["steps"] if step["answer"]]
        self.assertEqual([step["note"] for step in steps], [f"at {offset}" for offset in SETTINGS])
        self.assertEqual(bench["next"], bench["steps"][len(SETTINGS)]["step"])
        entries = self.call("GET", "/api/logbook")["entries"]
        self.assertEqual([entry["entry"] for entry in entries],
                         list(range(len(SETTINGS) + 1, 0, -1)))
        self.assertEqual([seconds_of(entry["at"]) for entry in entries[-2::-1]],
                         [stamp for stamp, _ in stamps])

    def test_light_ends_when_its_seconds_are_over(self):
        with Program("light", self.site, "slip-window", "chase", "--seconds", "3",
                     env=self.environment) as light:
            wait_for(lambda: self.every.light(1), "light")
            for offset in (-HOUR, HOUR, -HOUR):
                self.clock.set(offset)
                start = len(self.every.datagrams)
                wait_for(lambda s=start: len(self.every.light(1, s)) > 20, "frames")
            self.assertEqual(light.end(), 0)
        packets = [packet for packet in self.every.light(1) if not packet.ended]
        self.assertTrue(2.8 < (packets[-1].time - packets[0].time) / 1e9 < 2.8 + PATIENCE)


if __name__ == "__main__":
    main()
