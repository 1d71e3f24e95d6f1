"""How soon `serve` is ready and how much memory it holds, for the README. Only a limit on memory is
checked: times of a busy machine say little."""
import os
import signal
import unittest

from running import SOURCE, Daemon, Receiver, main, wait_for

MOST_MEMORY = 64 << 10  # KiB
STARTS = 5


def resident_kib(pid, field):
    """proc(5), /proc/[pid]/status."""
    with open(f"/proc/{pid}/status", encoding="ascii") as file:
        return next(int(line.split()[1]) for line in file if line.startswith(field + ":"))


class StartUp(unittest.TestCase):
    def test_time_and_memory(self):
        site = os.path.join(SOURCE, "config", "boathouse.json")
        times = []
        # The demo site's own addresses, in this namespace.
        with Receiver(5568) as e131, Receiver(6454):
            for _ in range(STARTS):
                with Daemon(site) as daemon:
                    times.append(daemon.ready_after)
                    idle = resident_kib(daemon.pid, "VmRSS")
                    daemon.light("slip-window", "loft-windows", "door-ring", "gable-line",
                                 "eaves-line")
                    start = daemon.get("/api/light")["frames"]
                    wait_for(lambda d=daemon, s=start: d.get("/api/light")["frames"] > s + 20,
                             "frames")
                    lit = resident_kib(daemon.pid, "VmHWM")
                    self.assertEqual(daemon.end(signal.SIGTERM), 0)
            self.assertTrue(e131.light(1))
        median = sorted(times)[STARTS // 2]
        print(f"serve is ready after {median * 1000:.0f} ms (median of {STARTS}, "
              f"{min(times) * 1000:.0f} to {max(times) * 1000:.0f}); resident: "
              f"{idle / 1024:.1f} MiB idle, {lit / 1024:.1f} MiB at most with all props lit")
        self.assertLess(lit, MOST_MEMORY)


if __name__ == "__main__":
    main()
