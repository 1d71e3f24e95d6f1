"""`serve` where the system gives no more files, and where it gives no more memory: the lights go on, or they end
dark with their streams terminated; it never hangs lit."""
import http.client
import re
import resource
import signal
import socket
import sys
import unittest

import pace
from meter import held, open_files
from running import Daemon, Program, Receiver, controller, main, make_site, prop, show_end, wait_for

SPARE = 3  # files
WINDOW = 60  # frames
MOST_OF_A_CORE = 0.3
OVER = (0, 128, 512)  # KiB beyond what it has


def limits(what, most):
    def apply():
        resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
        resource.setrlimit(what, (most, most))
    return apply


class Short(unittest.TestCase):
    def setUp(self):
        self.receiver = Receiver()
        self.addCleanup(self.receiver.close)
        self.site = make_site("site", [controller("bench", "e131", f"127.0.0.1:{self.receiver.port}",
                                                  repeat="every frame")], [prop("slip-window", "bench", 1)])

    def serve_lit(self, **popen):
        daemon = Daemon(self.site, **popen)
        self.addCleanup(daemon.__exit__)
        start = len(self.receiver.datagrams)
        daemon.light("slip-window")
        wait_for(lambda: len(self.receiver.light(1, start)) > 20, "frames")
        return daemon

    def test_no_more_files_while_it_serves(self):
        daemon = self.serve_lit()
        missed = daemon.get("/api/light")["missed_frames"]
        files = open_files(daemon.pid)
        resource.prlimit(daemon.pid, resource.RLIMIT_NOFILE, (files + SPARE, files + SPARE))
        start = len(self.receiver.datagrams)
        crowd = [socket.create_connection(("127.0.0.1", daemon.port)) for _ in range(4 * SPARE)]
        wait_for(lambda: open_files(daemon.pid) == files + SPARE, "all files are taken")
        wait_for(lambda: daemon.log() == [
            "panewalk: nobody new can open the page: Too many open files; close pages, or allow more open files "
            "(RLIMIT_NOFILE, in a systemd unit LimitNOFILE=)"], "it tells")
        before = held(daemon.pid)
        count = len(self.receiver.light(1))
        wait_for(lambda: len(self.receiver.light(1)) > count + WINDOW, "frames go on")
        share = (held(daemon.pid).processor - before.processor) / (WINDOW * pace.PERIOD / 1000)
        # The site can't be read then, and that is told; the one from before goes on.
        daemon.signal(signal.SIGHUP)
        wait_for(lambda: len(daemon.log()) >= 3, "two lines more")
        self.assertEqual(daemon.log()[1:], [
            f"{self.site}: can't be read: Too many open files",
            f"panewalk: {self.site} was not taken; the site from before goes on"])
        for each in crowd:
            each.close()
        wait_for(lambda: daemon.log()[3:] == ["panewalk: the page can be opened again"], "it tells that too")
        self.assertEqual(daemon.get("/api/light")["mode"], "lit")
        packets = self.receiver.light(1, start)
        missed = daemon.get("/api/light")["missed_frames"] - missed
        print(f"without files: {share:.1%} of a core, {pace.told(packets)}; {missed} told as missed",
              file=sys.stderr)
        self.assertLess(share, MOST_OF_A_CORE)
        pace.check_pace(self, packets, missed)
        self.assertEqual(daemon.end(signal.SIGTERM), 0)
        wait_for(lambda: sum(packet.ended for packet in self.receiver.light(1)) == 3, "the end")

    def test_too_few_files_to_start(self):
        """It starts, or it says why not, whatever is lacking; never a light that then can't be reached."""
        started = 0
        for most in range(4, 24):
            with Program("serve", self.site, "--listen", "127.0.0.1:0",
                         preexec_fn=limits(resource.RLIMIT_NOFILE, most)) as program:
                wait_for(lambda p=program: p.process.poll() is not None or
                         any("No light is sent until" in line for line in p.lines["out"]), "one of both")
                if program.process.poll() is None:
                    port = int(re.search(r":(\d+)/$", program.lines["out"][0])[1])
                    socket.create_connection(("127.0.0.1", port)).close()
                    self.assertEqual(program.end(signal.SIGTERM), 0)
                    started += 1
                    continue
                self.assertEqual(program.end(), 1, program.err())
            self.assertEqual(program.out(), "")
            self.assertIn("Too many open files", program.err())
            self.assertEqual(started, 0, "more files are never worse")
        self.assertGreater(started, 0)
        self.assertEqual(self.receiver.datagrams, [])

    # Where there is no more memory.

    def reload(self, daemon):
        for _ in range(3):
            daemon.signal(signal.SIGHUP)
            daemon.get("/api/light")

    def call(self, daemon):
        for _ in range(20):
            daemon.ask("GET", "/api/openapi.json")

    def search(self, daemon):
        daemon.post("/api/find/slip-window/begin", {"place": "bench"})
        daemon.get("/api/find/slip-window")

    def without_memory(self, over, what):
        """How it went: still there, or in which way it ended."""
        daemon = self.serve_lit(preexec_fn=limits(resource.RLIMIT_CORE, 0))
        with open(f"/proc/{daemon.pid}/statm", encoding="ascii") as file:
            octets = int(file.read().split()[0]) * resource.getpagesize()
        start = len(self.receiver.datagrams)
        resource.prlimit(daemon.pid, resource.RLIMIT_AS, (octets + over * 1024,) * 2)
        try:
            what(daemon)
        except (OSError, http.client.HTTPException, AssertionError):
            pass  # it ended
        try:
            wait_for(lambda: daemon.process.poll() is not None, "its end", 0.3)
        except AssertionError:
            count = len(self.receiver.light(1))
            wait_for(lambda: len(self.receiver.light(1)) > count + 10, "frames go on")
            self.assertEqual(daemon.end(signal.SIGTERM), 0)
            way = "goes on"
        else:
            way = show_end(daemon.end())
            self.assertRegex(daemon.err(), "this machine has no memory left for it|bad_alloc")
        # A plan that was exchanged was ended too, so it is the last ones that count.
        wait_for(lambda: [(packet.ended, packet.black) for packet in self.receiver.light(1, start)[-3:]] ==
                 [(True, True)] * 3, f"dark and terminated ({over} KiB, {what.__name__}, {way}; {daemon.err()})")
        return way

    def test_no_more_memory_ends_dark(self):
        ways = {}
        for over in OVER:
            for what in (self.reload, self.call, self.search):
                way = self.without_memory(over, what)
                ways[way] = ways.get(way, 0) + 1
        print(f"without memory: {ways}", file=sys.stderr)
        self.assertGreater(sum(count for way, count in ways.items() if way != "goes on"), 0)


if __name__ == "__main__":
    main()
