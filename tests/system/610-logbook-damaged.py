"""A damaged logbook: `serve` keeps the file, says so, and goes on with what can still be read."""
import glob
import os
import random
import re
import shutil
import signal
import sqlite3
import sys
import unittest

from running import Daemon, Program, controller, main, make_site, prop, wait_for

PAGE = 4096  # octets; SQLITE_DEFAULT_PAGE_SIZE, https://www.sqlite.org/compile.html
ANSWERS = 30
# A note of this length lets no more than four entries on a page.
NOTE = "n" * 1000
TOLD = re.compile(r'(.+): the logbook was damaged: (.+); it is kept as "(.+)"; '
                  r"(?:the (\d+) entries that could still be read are in a new one|"
                  r"nothing in it could be read, and a new one is begun)")

BEFOREHAND = ("it is kept, and what can be read of it is carried over; on a bad disk that takes "
              "minutes")


class Damaged(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.site = make_site("site", [controller("bench", "e131", "127.0.0.1")],
                             [prop("slip-window", "bench", 1), prop("gable-line", "bench", 10)])
        whole = os.path.abspath("whole")
        with Daemon(cls.site, "--practice", env={**os.environ, "STATE_DIRECTORY": whole}) as daemon:
            daemon.post("/api/walk/begin", {"by": "order"})
            cls.check = daemon.post("/api/bench/slip-window/begin")["check"]
            for _ in range(ANSWERS):
                cls.answer(daemon, NOTE)
            cls.before = daemon.get("/api/logbook")["entries"]
            daemon.end(signal.SIGTERM)
        with open(os.path.join(whole, "logbook.sqlite"), "rb") as file:
            cls.whole = file.read()
        assert len(cls.before) == ANSWERS + 2 and len(cls.whole) > 8 * PAGE

    @classmethod
    def answer(cls, daemon, note):
        daemon.post("/api/bench/slip-window/answer",
                    {"check": cls.check, "step": "ruler", "answer": "no", "note": note})

    def setUp(self):
        self.state = os.path.abspath(self.id().rpartition(".")[2])
        shutil.copytree("whole", self.state)
        self.path = os.path.join(self.state, "logbook.sqlite")
        self.env = {**os.environ, "STATE_DIRECTORY": self.state}

    def put(self, octets):
        with open(self.path, "wb") as file:
            file.write(octets)

    def octets(self, path):
        with open(path, "rb") as file:
            return file.read()

    def serve_on(self, octets, least):
        """Serves with this logbook; at least so many entries, and no other ones, must be left."""
        self.put(octets)
        with Daemon(self.site, "--practice", env=self.env) as daemon:
            wait_for(lambda: len(daemon.log()) > 1, "words about it")
            first, line = daemon.log()
            told = TOLD.fullmatch(line)
            self.assertTrue(told, line)
            self.assertEqual(first, f"{self.path}: the logbook is damaged: {told[2]}; {BEFOREHAND}")
            left = daemon.get("/api/logbook")["entries"]
            self.assertEqual((told[1], int(told[4] or 0)), (self.path, len(left)))
            self.assertRegex(told[3], rf"^{self.state}/logbook\.damaged-\d{{8}}T\d{{6}}Z\.sqlite$")
            self.assertEqual(self.octets(told[3]), octets)
            for entry in left:
                self.assertIn(entry, self.before)
            self.assertGreaterEqual(len(left), least)
            self.check_goes_on(daemon, left)
        return told[2]

    def check_goes_on(self, daemon, left):
        """What is answered now is kept, with a number of its own."""
        check = daemon.post("/api/bench/gable-line/begin")["check"]
        self.assertGreater(check, max((entry["entry"] for entry in left), default=0))
        daemon.post("/api/bench/gable-line/answer",
                    {"check": check, "step": "ruler", "answer": "yes", "note": "goes on"})
        entries = daemon.get("/api/logbook")["entries"]
        self.assertEqual((entries[2:], entries[0]["note"]), (left, "goes on"))
        daemon.end(signal.SIGTERM)
        with Daemon(self.site, "--practice", env=self.env) as again:
            self.assertEqual(again.log(), [])
            self.assertEqual(again.get("/api/logbook")["entries"], entries)
        self.assertEqual(len(glob.glob(self.state + "/logbook*")), 2)

    def test_cut_short(self):
        half = len(self.whole) // PAGE // 2 * PAGE
        self.assertEqual(self.serve_on(self.whole[:half], ANSWERS // 3),
                         "database disk image is malformed")  # SQLite's words for SQLITE_CORRUPT

    def test_a_page_of_zeros(self):
        middle = len(self.whole) // PAGE // 2 * PAGE
        self.serve_on(self.whole[:middle] + bytes(PAGE) + self.whole[middle + PAGE:],
                      len(self.before) - 4)

    def test_random_octets_in_the_middle(self):
        seed = random.randrange(1 << 32)
        print(f"seed {seed}", file=sys.stderr)
        middle = len(self.whole) // PAGE // 2 * PAGE
        # The first is none of the kinds of pages that the file format has.
        wrong = b"\xee" + random.Random(seed).randbytes(200)
        self.serve_on(self.whole[:middle] + wrong + self.whole[middle + len(wrong):],
                      len(self.before) - 4)

    def test_the_header_overwritten(self):
        hurt = b"x" * 100 + self.whole[100:]
        self.put(hurt)
        with Program("logbook", self.site, env=self.env) as program:
            self.assertEqual((program.end(), program.out()), (1, ""))
        self.assertEqual(program.err(), (
            f"{self.path}: the logbook is damaged: it is no SQLite database; panewalk serve, at "
            "its next start, keeps this file under another name and goes on with every entry that "
            "can still be read"))
        self.assertEqual(self.octets(self.path), hurt)
        self.assertEqual(len(glob.glob(self.state + "/logbook*")), 1)
        self.assertEqual(self.serve_on(hurt, len(self.before)), "it is no SQLite database")

    def test_one_octet(self):
        self.assertEqual(self.serve_on(b"S", 0), "it is no SQLite database")

    def test_a_kill_while_it_was_set_aside(self):
        """What the new one was made of before it had its name is begun again."""
        for name in ("logbook.new.sqlite", "logbook.new.sqlite-journal"):
            with open(os.path.join(self.state, name), "wb") as file:
                file.write(self.whole[:PAGE * 3])
        self.serve_on(b"x" * 100 + self.whole[100:], len(self.before))

    def test_a_journal_left_by_a_kill(self):
        """Half of a change is taken back: https://www.sqlite.org/atomiccommit.html, section 4."""
        other = sqlite3.connect(self.path)
        other.execute("PRAGMA cache_size = 1")
        other.execute("BEGIN")
        other.execute(
            "INSERT INTO entry (at, site, kind, begun, prop, step, answer, note) SELECT at, site, "
            "kind, begun, prop, step, answer, note || ' half' FROM entry WHERE kind = 'bench answer'")
        killed = os.path.join(self.state, "killed")
        os.mkdir(killed)
        for ending in ("", "-journal"):
            shutil.copy(self.path + ending, os.path.join(killed, "logbook.sqlite" + ending))
        other.rollback()
        other.close()
        self.assertNotEqual(self.octets(os.path.join(killed, "logbook.sqlite")), self.whole)
        with Daemon(self.site, "--practice", env={**self.env, "STATE_DIRECTORY": killed}) as daemon:
            self.assertEqual(daemon.log(), [])
            self.assertEqual(daemon.get("/api/logbook")["entries"], self.before)
        self.assertEqual(self.octets(os.path.join(killed, "logbook.sqlite")), self.whole)

    def test_another_programs_file_is_left_alone(self):
        os.remove(self.path)
        other = sqlite3.connect(self.path)
        other.execute("CREATE TABLE tide (hour INTEGER, metres REAL)")
        other.close()
        before = self.octets(self.path)
        with Daemon(self.site, "--practice", env=self.env) as daemon:
            wait_for(lambda: len(daemon.log()) > 1, "what serve says")
            self.assertEqual(daemon.log(), [
                f"{self.path}: this is not a logbook: it is a database of another program; move the "
                "file away; a new one is begun then",
                "panewalk: no logbook is kept: bench checks, yard walks and searches can't be answered"])
        self.assertEqual(self.octets(self.path), before)


if __name__ == "__main__":
    main()
