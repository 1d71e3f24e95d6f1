"""No room for the logbook, or a disk that may only be read: told in words, nothing is lost, and the
lights go on."""
import ctypes
import json
import os
import signal
import subprocess
import unittest

from running import (Daemon, Program, Receiver, controller, main, make_site, prop, wait_for)

CLONE_NEWNS = 0x00020000  # Linux, linux/sched.h; Python has it from 3.12 on
LIBC = ctypes.CDLL(None, use_errno=True)
NO_LOGBOOK = "panewalk: no logbook is kept: bench checks, yard walks and searches can't be answered"


def setUpModule():
    """Mounts of these tests are seen by nobody else."""
    if LIBC.unshare(CLONE_NEWNS) != 0:
        raise OSError(ctypes.get_errno(), "unshare")
    subprocess.run(["mount", "--make-rprivate", "/"], check=True)


class Disk(unittest.TestCase):
    def setUp(self):
        self.receiver = Receiver()
        self.addCleanup(self.receiver.close)
        self.site = make_site(
            "site", [controller("bench", "e131", f"127.0.0.1:{self.receiver.port}")],
            [prop("slip-window", "bench", 1)])
        self.state = os.path.abspath(self.id().rpartition(".")[2])
        self.path = os.path.join(self.state, "logbook.sqlite")
        os.mkdir(self.state)
        subprocess.run(["mount", "-t", "tmpfs", "-o", "size=512k", "none", self.state], check=True)
        self.addCleanup(subprocess.run, ["umount", self.state], check=True)
        self.env = {**os.environ, "STATE_DIRECTORY": self.state}

    def fill(self):
        """Not an octet more goes onto the disk."""
        with open(os.path.join(self.state, "ballast"), "wb", buffering=0) as ballast:
            try:
                while True:
                    ballast.write(bytes(4096))
            except OSError:
                pass

    def make_room(self):
        os.remove(os.path.join(self.state, "ballast"))

    def check_lights_go_on(self, daemon):
        before = len(self.receiver.datagrams)
        daemon.light("slip-window", pattern="chase")
        wait_for(lambda: any(not packet.black for packet in self.receiver.light(1, before)),
                 "light")

    def refused(self, daemon, method, path, body, message, remedy):
        status, text = daemon.ask(method, path, body)
        self.assertEqual((status, json.loads(text)), (
            503, {"problems": [{"where": "", "message": message, "remedy": remedy}]}))

    def test_full_during_a_check(self):
        with Daemon(self.site, env=self.env) as daemon:
            check = daemon.post("/api/bench/slip-window/begin")["check"]

            def answer(note):
                return {"check": check, "step": "ruler", "answer": "no", "note": note}
            daemon.post("/api/bench/slip-window/answer", answer("first"))
            before = daemon.get("/api/bench/slip-window")
            kept = daemon.get("/api/logbook")
            self.fill()
            # More than the file has room for in the pages that it has.
            for path, body in (("/api/bench/slip-window/answer", answer("n" * 1000)),) * 3:
                self.refused(daemon, "POST", path, body,
                             "the logbook can't be written: the disk is full",
                             "make room, then do it again; nothing was written")
            self.assertEqual(daemon.get("/api/bench/slip-window"), before)
            self.assertEqual(daemon.get("/api/logbook"), kept)
            self.check_lights_go_on(daemon)
            self.make_room()
            daemon.post("/api/bench/slip-window/answer", answer("after all"))
            entries = daemon.get("/api/logbook")["entries"]
            self.assertEqual([entry.get("note") for entry in entries],
                             ["after all", "first", None])
            daemon.end(signal.SIGKILL)
        with Program("logbook", self.site, "--as", "json", env=self.env) as program:
            self.assertEqual((program.end(), program.err()), (0, ""))
        self.assertEqual(json.loads(program.out())["entries"], entries[::-1])

    def test_full_and_damaged(self):
        with Daemon(self.site, env=self.env) as daemon:
            daemon.post("/api/bench/slip-window/begin")
            entries = daemon.get("/api/logbook")["entries"]
            daemon.end(signal.SIGTERM)
        with open(self.path, "r+b") as file:
            file.write(b"x" * 100)
        with open(self.path, "rb") as file:
            damaged = file.read()
        self.fill()
        names = sorted(os.listdir(self.state))
        with Daemon(self.site, env=self.env) as daemon:
            wait_for(lambda: len(daemon.log()) > 2, "what serve says")
            self.assertEqual(daemon.log(), [
                f"{self.path}: the logbook is damaged: it is no SQLite database; it is kept, and what "
                "can be read of it is carried over; on a bad disk that takes minutes",
                f"{self.path}: the logbook is damaged: it is no SQLite database, and can't be set "
                "aside: the disk is full; it is left as it is; move it away and keep it for a new "
                "one to be begun", NO_LOGBOOK])
            self.check_lights_go_on(daemon)
            daemon.end(signal.SIGTERM)
        with open(self.path, "rb") as file:
            self.assertEqual(file.read(), damaged)
        self.assertEqual(sorted(os.listdir(self.state)), names)
        self.make_room()
        with Daemon(self.site, env=self.env) as daemon:
            self.assertEqual(daemon.get("/api/logbook")["entries"], entries)

    def test_only_to_be_read(self):
        with Daemon(self.site, env=self.env) as daemon:
            daemon.post("/api/bench/slip-window/begin")
            daemon.end(signal.SIGTERM)
        subprocess.run(["mount", "-o", "remount,ro", self.state], check=True)
        message = "the logbook can't be written: it may only be read"
        remedy = (f'the file and its folder "{self.state}" must be writable for the user who runs '
                  "this")
        with Daemon(self.site, env=self.env) as daemon:
            wait_for(lambda: len(daemon.log()) > 1, "what serve says")
            self.assertEqual(daemon.log(), [f"{self.path}: {message}; {remedy}", NO_LOGBOOK])
            self.check_lights_go_on(daemon)
            self.refused(daemon, "POST", "/api/bench/slip-window/begin", None, message, remedy)

    def test_only_to_be_read_from_the_first_start(self):
        """Who we are on the network could not stay the same: E1.31-2018 5.6."""
        subprocess.run(["mount", "-o", "remount,ro", self.state], check=True)
        with Program("serve", self.site, "--listen", "127.0.0.1:0", env=self.env) as program:
            self.assertEqual((program.end(), program.out()), (1, ""))
        self.assertEqual(program.err(), (
            f"{self.state}/cid: can't be written: Read-only file system; the folder "
            f'"{self.state}" must be writable for the user who runs this'))
        self.assertEqual(self.receiver.datagrams, [])


if __name__ == "__main__":
    main()
