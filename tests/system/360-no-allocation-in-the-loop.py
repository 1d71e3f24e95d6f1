"""The stream thread of `serve` asks for no memory and gives none back once it runs.

The malloc family is replaced by tests/support/count_malloc.cpp, which counts by thread; a replaced
operator new would miss what libraries take otherwise.
"""
import os
import signal
import struct
import subprocess
import sys
import unittest

from running import (SOURCE, Daemon, Receiver, controller, main, make_site, prop, wait_for)

FRAMES = 400
ENTRY = struct.Struct("=QQQ")


def compile_counter():
    library = os.path.abspath("count_malloc.so")
    subprocess.run(
        [os.environ.get("CXX", "g++"), "-std=c++20", "-O1", "-fPIC", "-shared", "-o", library,
         os.path.join(SOURCE, "tests", "support", "count_malloc.cpp")], check=True, timeout=200)
    return library


def counts(path):
    """By thread id: calls that asked for memory, calls that gave it back."""
    with open(path, "rb") as file:
        entries = ENTRY.iter_unpack(file.read())
    return {thread: (asked, gave) for thread, asked, gave in entries if thread != 0}


class Loop(unittest.TestCase):
    def test_stream_thread(self):
        with Receiver() as e131, Receiver() as artnet:
            site = make_site(
                "site", [controller("bench", "e131", f"127.0.0.1:{e131.port}"),
                         controller("yard", "artnet", f"127.0.0.1:{artnet.port}")],
                [prop("slip-window", "bench", 1), prop("gable-line", "yard", 10)])
            file = os.path.abspath("counts")
            environment = {**os.environ, "LD_PRELOAD": compile_counter(), "PANEWALK_COUNTS": file}
            with Daemon(site, env=environment) as daemon:
                self.check(daemon, file)
                self.assertEqual(daemon.end(signal.SIGTERM), 0)
            self.assertGreater(len(e131.light(1)), 20)
            self.assertGreater(len(artnet.light(10)), 20)

    def threads_named(self, pid, wanted):
        """proc(5), /proc/[pid]/task/[tid]/comm."""
        found = []
        for thread in os.listdir(f"/proc/{pid}/task"):
            with open(f"/proc/{pid}/task/{thread}/comm", encoding="utf-8") as name:
                if name.read().strip() == wanted:
                    found.append(int(thread))
        return found

    def check(self, daemon, file):
        (stream,) = self.threads_named(daemon.pid, "stream")
        # The control: it has asked for its signal stack, so it is counted.
        wait_for(lambda: stream in counts(file), "the stream thread is counted")
        self.assertGreater(counts(file)[stream][0], 0)

        daemon.light("slip-window", "gable-line")
        wait_for(lambda: daemon.get("/api/light")["mode"] == "lit", "lit")
        before = counts(file)
        start = daemon.get("/api/light")["frames"]
        wait_for(lambda: daemon.get("/api/light")["frames"] >= start + FRAMES, "400 frames", 120)
        after = counts(file)
        self.assertGreater(after[daemon.pid][0], before[daemon.pid][0])
        self.assertEqual(after[stream], before[stream])

        # Nor for what it is told: pictures by hand, other patterns, the dark, another start.
        for pattern in ("corner-check", "per-pane", "colour-roll", "chase"):
            daemon.light("slip-window", pattern=pattern)
            daemon.post("/api/step", {"go": "next"})
            daemon.post("/api/dark")
            wait_for(lambda: daemon.get("/api/light")["mode"] == "dark", "dark")
        daemon.post("/api/release")
        wait_for(lambda: daemon.get("/api/light")["mode"] == "silent", "silent")
        daemon.light("gable-line")
        wait_for(lambda: daemon.get("/api/light")["mode"] == "lit", "lit")
        self.assertEqual(counts(file)[stream], before[stream])
        print(f"stream thread: {after[stream]} calls at its start, none in {FRAMES} frames; "
              f"controlling thread: {counts(file)[daemon.pid]}", file=sys.stderr)


if __name__ == "__main__":
    main()
