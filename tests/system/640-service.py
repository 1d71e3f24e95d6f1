"""`serve` under a service manager: ready, signs of life, levels in the journal, and the unit itself.

The words are those of sd_notify(3) and sd_watchdog_enabled(3), the levels those of sd-daemon(3) (RFC
5424, table 2). The manager and the journal are sockets of this test.
"""
import os
import re
import shutil
import signal
import socket
import subprocess
import threading
import time
import unittest

from held_thread import HeldThread
from manager import Manager
from running import (PANEWALK, PATIENCE, SOURCE, Daemon, Receiver, controller, main, make_site, prop,
                     wait_for)

UNIT = os.path.join(SOURCE, "config", "panewalk.service")
SIGN_EVERY = 0.2  # a third of the watchdog's time


class Service(unittest.TestCase):
    def setUp(self):
        self.receiver = Receiver()
        self.addCleanup(self.receiver.close)
        self.manager = Manager()
        self.addCleanup(self.manager.close)
        self.site = make_site("site", [controller("bench", "e131", f"127.0.0.1:{self.receiver.port}")],
                              [prop("slip-window", "bench", 1)])
        self.daemon = Daemon(self.site, env=self.manager.environment)
        self.addCleanup(self.daemon.__exit__)

    def wait_for_signs(self, more):
        until = self.manager.signs() + more
        wait_for(lambda: self.manager.signs() >= until, f"{more} signs of life")

    def test_it_tells_how_it_stands(self):
        ready = "READY=1\nSTATUS=serves boathouse, 1 prop"
        wait_for(lambda: self.manager.states() == [ready], "ready")
        self.wait_for_signs(3)
        self.daemon.signal(signal.SIGHUP)
        reloading = "RELOADING=1\nMONOTONIC_USEC=…"
        wait_for(lambda: self.manager.states() == [ready, reloading, ready], "read again")
        self.daemon.light("slip-window")
        self.wait_for_signs(3)
        self.assertEqual(self.daemon.end(signal.SIGTERM), 0)
        self.assertEqual(self.manager.states(), [ready, reloading, ready, "STOPPING=1"])

    def no_sign_while(self, held):
        # One may have been on its way.
        threading.Event().wait(SIGN_EVERY)
        before = self.manager.signs()
        threading.Event().wait(5 * SIGN_EVERY)
        self.assertEqual(self.manager.signs(), before, f"{held} stands still")

    def test_a_stream_that_hangs_gives_no_sign(self):
        self.daemon.light("slip-window", pattern="colour-roll")
        self.wait_for_signs(2)
        stream = HeldThread(self.daemon.pid, "stream")
        self.no_sign_while("the stream")
        self.assertEqual(self.daemon.get("/api/light")["mode"], "lit", "the control thread goes on")
        stream.let_go()
        self.wait_for_signs(3)

    def test_a_control_thread_that_hangs_gives_no_sign(self):
        self.wait_for_signs(2)
        control = HeldThread(self.daemon.pid, "panewalk")
        self.no_sign_while("the control thread")
        control.let_go()
        self.wait_for_signs(3)

    def test_the_end_of_a_hanging_stream_is_dark(self):
        self.daemon.light("slip-window", pattern="colour-roll")
        wait_for(lambda: any(not packet.black for packet in self.receiver.light(1)), "light")
        stream = HeldThread(self.daemon.pid, "stream")
        self.daemon.signal(signal.SIGABRT)  # WatchdogSignal= of systemd.service(5)
        wait_for(lambda: sum(packet.ended for packet in self.receiver.light(1)) == 3,
                 "three terminated packets")
        self.assertEqual([(packet.black, packet.ended) for packet in self.receiver.light(1)[-4:]],
                         [(True, False), (True, True), (True, True), (True, True)])
        stream.wait()
        self.assertEqual(self.daemon.end(), -signal.SIGABRT)


class Journal(unittest.TestCase):
    def test_each_line_has_its_level(self):
        ours, journal = socket.socketpair()
        self.addCleanup(ours.close)
        facts = os.fstat(journal.fileno())
        site = make_site("site", [controller("bench", "e131", "127.0.0.1:5999")],
                         [prop("slip-window", "bench", 1)])
        daemon = subprocess.Popen(
            [PANEWALK, "serve", site, "--listen", "127.0.0.1:0"], stdin=subprocess.DEVNULL,
            stdout=journal, stderr=journal, start_new_session=True,
            env=dict(os.environ, JOURNAL_STREAM=f"{facts.st_dev}:{facts.st_ino}"))
        self.addCleanup(daemon.kill)
        journal.close()
        lines = ours.makefile(encoding="utf-8")
        heard = []

        def until(end):
            while not heard or not heard[-1].endswith(end):
                heard.append(next(lines).rstrip("\n"))

        until("Ctrl-C: dark, and end.")
        with open(site, "a", encoding="utf-8") as file:
            file.write("}")
        daemon.send_signal(signal.SIGHUP)
        until("the site from before goes on")
        daemon.terminate()
        until("Dark, and the streams are ended.")
        self.assertEqual(daemon.wait(PATIENCE), 0)
        self.assertEqual({line[:3] for line in heard}, {"<4>", "<5>", "<6>"})
        self.assertRegex(heard[0], r"^<5>panewalk serves boathouse at http://127\.0\.0\.1:\d+/$")
        self.assertIn("<6>No light is sent until it is asked for. Ctrl-C: dark, and end.", heard)
        self.assertRegex(heard[-3], r"^<4>site/site\.json:\d+:\d+: ")
        self.assertEqual(heard[-2:],
                         ["<4>panewalk: site/site.json was not taken; the site from before goes on",
                          "<5>Dark, and the streams are ended."])

    def test_what_it_can_not_do_is_an_error(self):
        ours, journal = socket.socketpair()
        self.addCleanup(ours.close)
        facts = os.fstat(journal.fileno())
        status = subprocess.run(
            [PANEWALK, "serve", "nowhere.json"], stdin=subprocess.DEVNULL, stdout=journal, stderr=journal,
            env=dict(os.environ, JOURNAL_STREAM=f"{facts.st_dev}:{facts.st_ino}"), check=False).returncode
        journal.close()
        with ours.makefile(encoding="utf-8") as lines:
            self.assertEqual(lines.read(), "<3>nowhere.json: there is no such file\n")
        self.assertEqual(status, 3)


class File(unittest.TestCase):
    def test_each_line_has_its_time(self):
        site = make_site("site", [controller("bench", "e131", "127.0.0.1:5999")],
                         [prop("slip-window", "bench", 1)])
        begin = self.utc()
        with open("serve.log", "w", encoding="utf-8") as log, \
                subprocess.Popen([PANEWALK, "serve", site, "--listen", "127.0.0.1:0"], stdin=subprocess.DEVNULL,
                                 stdout=log, stderr=log, start_new_session=True) as daemon:
            self.addCleanup(daemon.kill)
            wait_for(lambda: "Ctrl-C: dark, and end.\n" in self.log(), "it serves")
            daemon.terminate()
            self.assertEqual(daemon.wait(PATIENCE), 0)
        lines = self.log().splitlines()
        end = self.utc()
        for line in lines:
            self.assertTrue(begin <= line[:20] <= end, line)
        self.assertRegex(lines[0], r"^....-..-..T..:..:..Z  panewalk serves boathouse at http://127\.0\.0\.1:\d+/$")
        self.assertEqual([line[22:] for line in lines[-2:]],
                         ["No light is sent until it is asked for. Ctrl-C: dark, and end.",
                          "Dark, and the streams are ended."])

    @staticmethod
    def utc():
        return time.strftime("%Y-%m-%dT%H:%M:%SZ", time.gmtime())

    @staticmethod
    def log():
        with open("serve.log", encoding="utf-8") as file:
            return file.read()


class Unit(unittest.TestCase):
    def analyze(self, *arguments):
        return subprocess.run(["systemd-analyze", *arguments], stdin=subprocess.DEVNULL, text=True,
                              stdout=subprocess.PIPE, stderr=subprocess.STDOUT, check=False)

    def test_systemd_understands_it(self):
        with open(UNIT, encoding="utf-8") as file:
            text = file.read()
        self.assertIn("ExecStart=/usr/bin/panewalk serve /etc/panewalk/site.json $PANEWALK_OPTIONS\n", text)
        os.makedirs("units", exist_ok=True)
        with open("units/panewalk.service", "w", encoding="utf-8") as file:
            file.write(text.replace("/usr/bin/panewalk", PANEWALK))
        done = self.analyze("verify", "--man=no", "--recursive-errors=no", "units/panewalk.service")
        self.assertEqual((done.returncode, done.stdout), (0, ""))

    def test_it_may_do_no_more_than_it_needs(self):
        # systemd's own scale from 0.0 (closed) to 10; the threshold is in tenths.
        done = self.analyze("security", "--offline=true", "--threshold=14", "--no-pager", UNIT)
        self.assertEqual(done.returncode, 0, done.stdout)


if __name__ == "__main__":
    if shutil.which("systemd-analyze") is None:
        del Unit
    main()
