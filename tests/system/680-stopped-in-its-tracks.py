"""The whole daemon stands still for five seconds (SIGSTOP), as on a machine that sleeps or is out of breath:
what was missed is not made up for, it goes on in the same time, and it says how much was missed."""
import os
import re
import signal
import sys
import time
import unittest

import pace
from running import Daemon, Receiver, controller, main, make_site, prop, wait_for

STANDS = 5  # seconds
LEAST = 0.98 * STANDS * 1000 / pace.PERIOD  # frames
AFTER = 80  # frames
PHASE = 6  # milliseconds that half of the frames keep to, on a machine that has other things to do


def off_the_beat(packet, first):
    """Milliseconds from the beat that the first packet gives, to either side."""
    after = (packet.time - first.time) / 1e6 % pace.PERIOD
    return min(after, pace.PERIOD - after)


def is_stopped(pid):
    """Every thread; proc(5), /proc/[pid]/task/[tid]/status."""
    def stands(thread):
        with open(f"/proc/{pid}/task/{thread}/status", encoding="ascii") as file:
            return re.search(r"^State:\tT", file.read(), re.MULTILINE)
    return all(stands(thread) for thread in os.listdir(f"/proc/{pid}/task"))


class Stopped(unittest.TestCase):
    def test_it_goes_on_in_time_and_tells(self):
        with Receiver() as receiver:
            site = make_site("site", [controller("bench", "e131", f"127.0.0.1:{receiver.port}",
                                                 repeat="every frame")], [prop("slip-window", "bench", 1)])
            with Daemon(site, env={**os.environ}) as daemon:
                daemon.light("slip-window")
                wait_for(lambda: len(receiver.light(1)) > 60, "frames")
                before = daemon.get("/api/light")
                daemon.signal(signal.SIGSTOP)
                wait_for(lambda: is_stopped(daemon.pid), "it stands")
                stood = time.time_ns()
                time.sleep(STANDS)  # the time itself
                count = len(receiver.light(1))
                self.assertLess(receiver.light(1)[-1].time, stood)
                daemon.signal(signal.SIGCONT)
                wait_for(lambda: len(receiver.light(1)) > count + AFTER, "frames again")
                after = daemon.get("/api/light")
                wait_for(lambda: "frames were missed; see what else keeps this machine busy" in daemon.err(),
                         "the log tells it")
                self.check(receiver.light(1), after["missed_frames"] - before["missed_frames"])
                self.assertEqual(after["mode"], "lit")
                self.assertGreater(after["late"]["most_ms"], 0.98 * STANDS * 1000)
                self.assertEqual(daemon.end(signal.SIGTERM), 0)
            wait_for(lambda: sum(packet.ended for packet in receiver.light(1)) == 3, "the end")

    def check(self, packets, missed):
        print(f"{missed} frames told as missed; {pace.told(packets)}", file=sys.stderr)
        self.assertGreater(missed, LEAST)
        pace.check_pace(self, packets, missed, most=1)
        halt = max(range(1, len(packets)), key=lambda i: packets[i].time - packets[i - 1].time)
        # The one that was late comes at once, the next in time.
        for part in (packets[:halt], packets[halt + 1:]):
            off = sorted(off_the_beat(packet, packets[0]) for packet in part)
            self.assertLess(off[len(off) // 2], PHASE, off)
        numbers = [packets[halt - 1].sequence, packets[halt].sequence]
        self.assertEqual(numbers[1], (numbers[0] + 1) % 256)


if __name__ == "__main__":
    main()
