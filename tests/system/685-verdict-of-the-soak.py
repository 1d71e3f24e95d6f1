"""The soak's verdict can fail: each thing that it looks at, as it should be and as it should not."""
import os
import sys
import unittest

from stream_watch import Gap, Pause, Stream, StreamWatch
from running import SOURCE, Light

sys.path.insert(0, os.path.join(SOURCE, "tests", "soak"))
import verdict  # noqa: E402  (beside the soak, which ctest does not run)

SECOND = 1_000_000_000
HOUR = 3600


def samples(private, entries=lambda _: 0, hours=1):
    """One every ten seconds; memory by hours."""
    return [{"seconds": second, "private": private(second / HOUR), "entries": entries(second / HOUR)}
            for second in range(0, int(hours * HOUR), 10)]


def heap(hours):
    """12 MiB that settle in the first minutes and go up and down by half of one."""
    return 12000 + min(hours * 60, 5) * 300 + (512 if int(hours * 20) % 3 == 0 else 0)


class Verdict(unittest.TestCase):
    def test_a_heap_that_settles(self):
        self.assertEqual(verdict.Growth(samples(heap)).problems(), [])

    def test_a_leak(self):
        # 2 MiB an hour; 0.69 hours of it are looked at, in which 1200 KiB may come.
        (problem,) = verdict.Growth(samples(lambda hours: heap(hours) + 2048 * hours)).problems()
        self.assertRegex(problem, r"^memory grows: \+20\d\d KiB an hour over the last three quarters; median of "
                                  r"the second quarter \d+ KiB, of the last \d+ KiB; may grow by 1200 KiB$")

    def test_a_step_at_the_end(self):
        (problem,) = verdict.Growth(samples(lambda hours: 12000 + (1230 if hours > 0.85 else 0))).problems()
        self.assertRegex(problem, "^memory (grows|has grown): ")

    def test_entries_of_the_logbook_may_take_what_they_take(self):
        def with_entries(each):
            return samples(lambda hours: 12000 + each * 3000 * hours, lambda hours: int(3000 * hours))
        self.assertEqual(verdict.Growth(with_entries(0.5)).problems(), [])
        self.assertEqual(len(verdict.Growth(with_entries(2)).problems()), 1)

    def test_files_and_threads(self):
        start = {"files": 24, "threads": 3}
        self.assertEqual(verdict.back_to_the_start(start, {"files": 24, "threads": 3}), [])
        self.assertEqual(verdict.back_to_the_start(start, {"files": 25, "threads": 4}),
                         ["open files: 24 at the start, 25 at the end", "threads: 3 at the start, 4 at the end"])

    def gap(self, missing, at, restarts=False):
        return Gap(1, missing, at * SECOND, at * SECOND + 25_000_000 * (missing + 1), restarts)

    def lost(self, gaps, windows=(), restarts=(), dropped=0):
        return verdict.lost_packets("bench", gaps, [(a * SECOND, b * SECOND) for a, b in windows],
                                    [(a * SECOND, b * SECOND) for a, b in restarts], dropped)

    def test_lost_packets(self):
        gaps = [self.gap(40, 100), self.gap(2, 200)]
        self.assertEqual(self.lost([]), [])
        self.assertEqual(self.lost(gaps, [(99, 103), (190, 210)]), [])
        self.assertEqual(self.lost(gaps, [(99, 103)], dropped=2), [])
        (problem,) = self.lost(gaps, [(99, 103)], dropped=1)
        self.assertRegex(problem, r"^bench: 2 packets are missing in 1 gaps that nothing explains \(1 were dropped "
                                  r"by the daemon\); the first: Gap\(universe=1, missing=2, ")

    def test_a_sequence_begins_anew_only_with_a_reload(self):
        self.assertEqual(self.lost([self.gap(40, 100, True)], restarts=[(99, 103)]), [])
        self.assertEqual(len(self.lost([self.gap(40, 100, False)], restarts=[(99, 103)])), 1)
        self.assertEqual(len(self.lost([self.gap(40, 100, True)], restarts=[(1, 2)])), 1)

    def missed(self, milliseconds, told, windows=()):
        pauses = [Pause(1, 100 * SECOND, 100 * SECOND + milliseconds * 1_000_000)]
        return verdict.missed_frames("bench", pauses, [(a * SECOND, b * SECOND) for a, b in windows], 25, told)

    def test_missed_frames(self):
        self.assertEqual(self.missed(51, 0), [])  # late, not missed
        self.assertEqual(self.missed(101, 2), [])
        self.assertEqual(self.missed(101, 0, [(90, 110)]), [])
        self.assertEqual(len(self.missed(101, 1)), 1)

    def test_dark_and_ended(self):
        good = {1: Stream(ended=3, black=True, ends=True), 10: Stream(black=True)}
        self.assertEqual(verdict.dark_and_ended("bench", good), [])
        bad = {1: Stream(ended=2, black=True, ends=True), 2: Stream(ended=3, black=False, ends=True),
               10: Stream(black=False)}
        self.assertEqual([problem.partition(" did not end")[0] for problem in
                          verdict.dark_and_ended("bench", bad)],
                         ["bench: universe 1", "bench: universe 2", "bench: universe 10"])


class Watch(StreamWatch):
    """Is given its packets."""

    def start(self):
        self.ends = True


class Watching(unittest.TestCase):
    def watch(self, kind, packets):
        watch = Watch(None, 50)
        for milliseconds, sequence, ended in packets:
            watch.take(Light(milliseconds * 1_000_000, kind, 1, sequence, ended, b"\1"))
        return watch

    def test_a_stream_in_order(self):
        watch = self.watch("e131", [(0, 254, False), (25, 255, False), (50, 0, False), (100, 1, False)])
        self.assertEqual((watch.gaps, watch.pauses, watch.packets), ([], [], 4))
        self.assertEqual(self.watch("artnet", [(0, 254, False), (25, 255, False), (50, 1, False)]).gaps, [])

    def test_what_is_missing(self):
        watch = self.watch("e131", [(0, 7, False), (75, 10, False)])
        self.assertEqual([(gap.missing, gap.restarts) for gap in watch.gaps], [(2, False)])
        self.assertEqual([pause.milliseconds for pause in watch.pauses], [75])
        (twice,) = self.watch("e131", [(0, 7, False), (25, 7, False)]).gaps
        self.assertEqual(twice.missing, 255)

    def test_a_stream_that_ended_begins_anew(self):
        end = [(0, 7, False), (25, 8, True), (50, 9, True), (75, 10, True)]
        watch = self.watch("e131", [*end, (9000, 0, False)])
        self.assertEqual((watch.gaps, watch.pauses), ([], []))
        # Not after two of the three.
        self.assertEqual(len(self.watch("e131", [*end[:3], (9000, 0, False)]).gaps), 1)


if __name__ == "__main__":
    unittest.main()
