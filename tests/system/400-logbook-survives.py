"""What the logbook has confirmed it keeps: after kill -9, on a full disk, with two who write.

The reader is another one: the sqlite3 module of Python.
"""
import ctypes
import os
import random
import re
import signal
import sqlite3
import subprocess
import sys
import time
import unittest

from running import (PANEWALK, SOURCE, Daemon, Program, controller, main, make_site, prop,
                     wait_for)

KEEP_NOTES = os.path.join(os.path.dirname(PANEWALK), "tests", "keep_notes")
CLONE_NEWNS = 0x00020000  # Linux, linux/sched.h; Python has it from 3.12 on
LIBC = ctypes.CDLL(None, use_errno=True)
KILLS = 30
WALKED = ["slip-window", "gable-line", "hoist-ring"]
FULL = ("! {}: the logbook can't be written: the disk is full; "
        "make room, then do it again; nothing was written")


def setUpModule():
    """Mounts of these tests are seen by nobody else."""
    if LIBC.unshare(CLONE_NEWNS) != 0:
        raise OSError(ctypes.get_errno(), "unshare")
    subprocess.run(["mount", "--make-rprivate", "/"], check=True)


class Keeper:
    """keep_notes, which says what it has kept."""

    def __init__(self, path, inside=(), site="boathouse"):
        self.process = subprocess.Popen([*inside, KEEP_NOTES, path, site], stdin=subprocess.PIPE,
                                        stdout=subprocess.PIPE, text=True)

    def feed(self, lines):
        self.process.stdin.write("".join(line + "\n" for line in lines))
        self.process.stdin.flush()

    def keep(self, line):
        """The number of the entry, or the problem."""
        self.feed([line])
        said = self.process.stdout.readline().rstrip("\n")
        return int(said) if said.isdecimal() else said

    def end(self):
        """(exit status, all it had still to say)"""
        said, _ = self.process.communicate(timeout=60)
        return self.process.returncode, said

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self.process.kill()
        self.process.wait()
        self.process.stdin.close()
        self.process.stdout.close()


class Logbook(unittest.TestCase):
    def ask(self, path, sql, *values):
        connection = sqlite3.connect(path)
        try:
            return connection.execute(sql, values).fetchall()
        finally:
            connection.close()

    def check_whole(self, path):
        """By integrity; every walk with its order. Returns number → note."""
        self.assertEqual(self.ask(path, "PRAGMA integrity_check"), [("ok",)])
        walks = self.ask(path, "SELECT number FROM entry WHERE kind = 'walk begun'")
        orders = self.ask(path, "SELECT walk, place, prop FROM walk_order ORDER BY walk, place")
        self.assertEqual(orders, [(walk, place, name) for (walk,) in sorted(walks)
                                  for place, name in enumerate(WALKED, 1)])
        return dict(self.ask(path, "SELECT number, note FROM entry"))

    def test_kill_takes_nothing_that_was_confirmed(self):
        path = os.path.abspath("killed.sqlite")
        seed = random.randrange(1 << 32)
        chance = random.Random(seed)
        print(f"seed {seed}", file=sys.stderr)
        confirmed, killed_at_work = {}, 0
        for kill in range(KILLS):
            lines = [line for i in range(500) for line in (f"note {kill}-{i}", "walk")]
            numbers, status = self.killed(path, lines, chance.uniform(0, 0.25),
                                          at_the_beginning=kill % 3 == 0)
            killed_at_work += status == -signal.SIGKILL
            if numbers:
                # Each run before may have written one more than it could confirm.
                self.assertGreater(numbers[0], max(confirmed, default=0))
                self.assertLessEqual(numbers[0], len(confirmed) + kill + 1)
                self.assertEqual(numbers, list(range(numbers[0], numbers[0] + len(numbers))))
                confirmed.update(zip(numbers, (None if line == "walk" else line
                                               for line in lines)))
            # The other runs find the file as the kill left it.
            if kill % 2 and os.path.exists(path) and os.path.getsize(path):
                self.check_has(path, confirmed)
        kept = self.check_has(path, confirmed)
        print(f"{len(confirmed)} confirmed, {len(kept)} kept, {killed_at_work} killed at work",
              file=sys.stderr)
        self.assertLessEqual(len(kept), len(confirmed) + KILLS)
        self.assertGreater(killed_at_work, KILLS // 2)
        self.assertGreater(len(confirmed), KILLS)

    def check_has(self, path, confirmed):
        kept = self.check_whole(path)
        self.assertEqual({number: kept.get(number, "gone") for number in confirmed}, confirmed)
        return kept

    def killed(self, path, lines, seconds, at_the_beginning):
        """(the numbers that it confirmed, exit status)"""
        with open("lines", "w", encoding="ascii") as file:
            file.write("".join(line + "\n" for line in lines))
        with open("lines", encoding="ascii") as fed, open("said", "wb") as said:
            process = subprocess.Popen([KEEP_NOTES, path, "boathouse"], stdin=fed, stdout=said)
        if not at_the_beginning:
            wait_for(lambda: os.path.getsize("said") > 0, "an entry")
        time.sleep(seconds)  # the random moment itself
        process.send_signal(signal.SIGKILL)
        status = process.wait()
        with open("said", encoding="ascii") as file:
            # What follows the last line end was not said in full.
            return [int(line) for line in file.read().split("\n")[:-1]], status

    def test_two_write_at_once(self):
        path = os.path.abspath("two.sqlite")
        lines = [line for i in range(20) for line in (f"note {i}", "walk")]
        keepers = [Keeper(path, site=site) for site in ("boathouse", "jetty")]
        for keeper in keepers:
            keeper.feed(lines)
        numbers = []
        for keeper in keepers:
            status, said = keeper.end()
            self.assertEqual(status, 0, said)
            numbers.append([int(number) for number in said.split()])
        self.assertEqual(sorted(numbers[0] + numbers[1]), list(range(1, 81)))
        self.check_whole(path)
        for site, own in zip(("boathouse", "jetty"), numbers):
            self.assertEqual(own, sorted(own))
            self.assertEqual(
                self.ask(path, "SELECT number, coalesce(note, 'walk') FROM entry WHERE site = ? "
                               "ORDER BY number", site), list(zip(own, lines)))

    def test_a_full_disk_is_told_and_nothing_is_half_written(self):
        os.mkdir("small")
        subprocess.run(["mount", "-t", "tmpfs", "-o", "size=256k", "none", "small"], check=True)
        self.addCleanup(subprocess.run, ["umount", "small"], check=True)
        path = os.path.abspath("small/logbook.sqlite")
        full = FULL.format(path)
        expected = {}
        with Keeper(path) as keeper:
            number = keeper.keep("the first")
            self.assertEqual(number, 1)
            expected[1] = "the first"
            with open("small/ballast", "wb") as ballast:
                ballast.write(bytes(120 * 1024))
            while True:
                note = f"{len(expected)} " + "n" * 3000
                number = keeper.keep(note)
                if number == full:
                    break
                self.assertEqual(number, len(expected) + 1)
                expected[number] = note
                self.assertLess(len(expected), 100)
            self.assertEqual(keeper.keep("m" * 9000), full)
            self.assertEqual(self.check_whole(path), expected)
            # One that is begun while the disk is full can read, and says the same.
            with Keeper(path) as other:
                self.assertEqual(other.keep("o" * 9000), full)
            os.remove("small/ballast")
            expected[len(expected) + 1] = "after all"
            self.assertEqual(keeper.keep("after all"), len(expected))
            self.assertIsInstance(keeper.keep("walk"), int)
            expected[len(expected) + 1] = None
            keeper.process.stdin.close()
            self.assertEqual(keeper.process.wait(60), 0)
        self.assertEqual(self.check_whole(path), expected)

    def test_no_room_for_a_new_one(self):
        os.mkdir("tiny")
        subprocess.run(["mount", "-t", "tmpfs", "-o", "size=8k", "none", "tiny"], check=True)
        self.addCleanup(subprocess.run, ["umount", "tiny"], check=True)
        path = os.path.abspath("tiny/logbook.sqlite")
        with Keeper(path) as keeper:
            status, said = keeper.end()
        self.assertEqual((status, said), (1, FULL.format(path) + "\n"))
        subprocess.run(["mount", "-o", "remount,size=256k", "tiny"], check=True)
        with Keeper(path) as keeper:
            self.assertEqual(keeper.keep("now there is room"), 1)

    def check_may_only_be_read(self, path, why, inside=()):
        folder = os.path.dirname(path)
        with Keeper(path, inside) as keeper:
            status, said = keeper.end()
        self.assertEqual(
            (status, said),
            (1, f"! {path}: the logbook can't be written: {why}; the file and its folder "
                f'"{folder}" must be writable for the user who runs this\n'))

    def test_what_may_only_be_read(self):
        path = os.path.abspath("shelf/logbook.sqlite")
        os.mkdir("shelf")
        # Root may write everywhere, as long as it has that capability.
        inside = ["setpriv", "--bounding-set", "-all", "--inh-caps", "-all"]
        self.addCleanup(os.chmod, "shelf", 0o755)
        os.chmod("shelf", 0o555)
        self.check_may_only_be_read(path, "its folder may only be read", inside)
        os.chmod("shelf", 0o755)
        with Keeper(path) as keeper:
            self.assertEqual(keeper.keep("on the shelf"), 1)
        os.chmod("shelf", 0o555)
        self.check_may_only_be_read(path, "its folder may only be read", inside)
        os.chmod("shelf", 0o755)
        os.chmod(path, 0o444)
        self.check_may_only_be_read(path, "it may only be read", inside)
        os.chmod(path, 0o644)
        subprocess.run(["mount", "--bind", "-o", "ro", "shelf", "shelf"], check=True)
        self.addCleanup(subprocess.run, ["umount", "shelf"], check=True)
        self.check_may_only_be_read(path, "it may only be read")
        self.assertEqual(self.check_whole(path), {1: "on the shelf"})


class Command(unittest.TestCase):
    """`panewalk logbook`."""

    def setUp(self):
        self.site = make_site("site", [controller("bench", "e131", "127.0.0.1")],
                              [prop("slip-window", "bench", 1), prop("gable-line", "bench", 10)])
        self.state = os.path.abspath(self.id().rpartition(".")[2])
        self.path = os.path.join(self.state, "logbook.sqlite")

    def run_it(self, *options):
        with Program("logbook", self.site, *options,
                     env={**os.environ, "STATE_DIRECTORY": self.state}) as program:
            status = program.end()
        return status, program.out(), program.err()

    def fill(self):
        os.makedirs(self.state, exist_ok=True)
        with Keeper(self.path) as keeper:
            keeper.keep('all "well"')
            keeper.keep("walk")

    def test_an_empty_one(self):
        self.assertEqual(self.run_it(),
                         (0, f"Nothing is in the logbook yet of the site boathouse ({self.path}).", ""))
        self.assertEqual(self.run_it("--as", "json"), (0, '{\n  "site": "boathouse",\n  "entries": []\n}', ""))
        self.assertFalse(os.path.exists(self.path))

    def test_its_forms(self):
        self.fill()
        with Keeper(self.path, site="jetty") as other:
            other.keep("of another site")
        self.assertEqual(self.run_it(), (
            0,
            "when                  what                 prop         answer  note\n"
            '2026-11-25T17:08:21Z  bench ruler          slip-window  yes     all "well"\n'
            "2026-11-25T17:08:22Z  walk begun by order                       "
            "slip-window, gable-line, hoist-ring", ""))
        self.assertEqual(self.run_it("--as", "csv", "--prop", "slip-window"), (
            0,
            "entry,at,kind,prop,check,walk,step,answer,seen,other,by,order,note,find,place,from,"
            "question,asked,fault,and,index,station,certainty,also_possible,questions,repair\n"
            '1,2026-11-25T17:08:21Z,bench answer,slip-window,1,,ruler,yes,,,,,"all ""well""",,,,,,,'
            ",,,,,,\n"
            "2,2026-11-25T17:08:22Z,walk begun,,,,,,,,order,slip-window gable-line hoist-ring,,,,,"
            ",,,,,,,,,", ""))
        status, out, err = self.run_it("--as", "json", "--prop", "gable-line")
        self.assertEqual((status, err), (0, ""))
        self.assertEqual(out, """{
  "site": "boathouse",
  "entries": [
    {
      "entry": 2,
      "at": "2026-11-25T17:08:22Z",
      "kind": "walk begun",
      "by": "order",
      "order": [
        "slip-window",
        "gable-line",
        "hoist-ring"
      ]
    }
  ]
}""")

    def fill_with_a_find(self):
        """By another hand than the program's, on the day after."""
        self.fill()
        connection = sqlite3.connect(self.path)
        with connection:
            connection.executescript("""
                INSERT INTO entry (at, site, kind, prop, place, came_from) VALUES
                  (1795651200, 'boathouse', 'find begun', 'slip-window', 'bench', 'bench ruler');
                INSERT INTO entry (at, site, kind, begun, prop, question, asked, answer) VALUES
                  (1795651201, 'boathouse', 'find answer', 3, 'slip-window', 1,
                   'where: pixels 3 and 9 in green', '["A1","B2"]');
                INSERT INTO entry (at, site, kind, begun, prop, fault, second, station, pixel,
                                   certainty, also_possible, questions) VALUES
                  (1795651202, 'boathouse', 'finding', 3, 'slip-window', 'data-open=17', '', 'B2',
                   17, 873, 'count-short=17 0.12', 1);
                INSERT INTO entry (at, site, kind, begun, prop, repair, fault, note) VALUES
                  (1795651203, 'boathouse', 'repair', 3, 'slip-window', 'mended', '', 'soldered');
                """)
        connection.close()

    def test_what_was_found(self):
        self.fill_with_a_find()
        self.assertEqual(self.run_it("--kind", "find", "--since", "2026-11-26"), (
            0,
            "when                  what                     prop         answer        note\n"
            "2026-11-26T00:00:00Z  find begun on the bench  slip-window                "
            "from bench ruler\n"
            "2026-11-26T00:00:01Z  find question 1          slip-window  A1, B2        "
            "where: pixels 3 and 9 in green\n"
            "2026-11-26T00:00:02Z  finding                  slip-window  data-open=17  "
            "pixel 17, station B2, 87.3 % sure after 1 question, also possible: "
            "count-short=17 0.12\n"
            "2026-11-26T00:00:03Z  repair                   slip-window  mended        soldered",
            ""))

    def test_a_logbook_of_the_first_schema(self):
        os.makedirs(self.state)
        header = os.path.join(SOURCE, "tests", "unit", "logbook", "first_schema.hpp")
        with open(header, encoding="utf-8") as file:
            schema, entries = re.findall(r'R"\((.*?)\)"', file.read(), re.DOTALL)
        connection = sqlite3.connect(self.path)
        connection.executescript(f"{schema}{entries}PRAGMA application_id = 1349408619;"
                                 "PRAGMA user_version = 1")
        connection.close()
        self.assertEqual(self.run_it(), (
            1, "", f"{self.path}: this is the logbook of an older Panewalk: its schema is 1; "
                   "run panewalk serve once as a user who may write it"))
        with Daemon(self.site, "--practice",
                    env={**os.environ, "STATE_DIRECTORY": self.state}) as daemon:
            listed = daemon.get("/api/logbook")["entries"]
            self.assertEqual([entry["entry"] for entry in listed], [9, 4, 2, 1])
            daemon.post("/api/bench/slip-window/begin")
        status, out, err = self.run_it("--as", "csv")
        self.assertEqual((status, err), (0, ""))
        self.assertEqual([line.split(",")[0] for line in out.split("\n")[1:]],
                         ["1", "2", "4", "9", "10"])

    def test_a_prop_that_is_nowhere(self):
        self.fill()
        self.assertEqual(self.run_it("--prop", "slip-windw"), (
            2, "", 'no prop is named "slip-windw"; did you mean "slip-window"?'))
        # It is gone from the site, and was walked once.
        status, out, _ = self.run_it("--prop", "hoist-ring", "--as", "csv")
        self.assertEqual((status, len(out.split("\n"))), (0, 2))

    def test_a_damaged_one(self):
        os.makedirs(self.state)
        with open(self.path, "w", encoding="ascii") as file:
            file.write("the boathouse\n")
        self.assertEqual(self.run_it(), (
            1, "", f"{self.path}: the logbook is damaged: it is no SQLite database; "
                   "panewalk serve, at its next start, keeps this file under another name and "
                   "goes on with every entry that can still be read"))


if __name__ == "__main__":
    main()
