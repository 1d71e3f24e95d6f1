"""kill -9 at a hundred random moments of a bench check, at the real daemon through its API: an answer whose
reply had come is there after the next start, and the check goes on at the right question.

The reader of the logbook is another one: the sqlite3 module of Python.
"""
import http.client
import json
import os
import random
import signal
import sqlite3
import sys
import threading
import time
import unittest

from running import Daemon, Program, controller, main, make_site, prop

KILLS = 100
PROP = "slip-window"
ANSWERS = ("yes", "no", "unsure", "skipped")
ASKED = (OSError, http.client.HTTPException, json.JSONDecodeError)  # the daemon was killed


class Check:
    """Where a bench check must stand by what was said to it."""

    def __init__(self, number=None, answers=None):
        self.number, self.answers = number, answers or {}

    def answered(self, step, answer, note):
        return Check(self.number, {**self.answers, step: (answer, note)})

    def stands(self, told):
        """`told` is what GET /api/bench says."""
        found = {step["step"]: (step["answer"], step["note"]) for step in told["steps"] if step["answer"]}
        return (told["check"], found, told["next"]) == (self.number, self.answers, self.next(told))

    def next(self, told):
        """The first question without an answer that the prop has."""
        if self.number is None:
            return None
        return next((step["step"] for step in told["steps"]
                     if step["fits"] and step["step"] not in self.answers), None)


class Kills(unittest.TestCase):
    def setUp(self):
        self.site = make_site("site", [controller("bench", "e131", "127.0.0.1")], [prop(PROP, "bench", 1)])
        self.path = os.path.join(os.environ["XDG_STATE_HOME"], "panewalk", "logbook.sqlite")
        seed = random.randrange(1 << 32)
        print(f"seed {seed}", file=sys.stderr)
        self.dice = random.Random(seed)
        self.check, self.pending = Check(), None  # confirmed; what was asked and had no reply yet
        self.begun = 0
        self.notes, self.sent = [], 0  # of the answers that had their reply, in order; of all

    def answer_on(self, daemon, told):
        """Until the daemon is gone."""
        try:
            while True:
                if told["next"] is None:
                    self.pending = "begin"
                    told = daemon.post(f"/api/bench/{PROP}/begin")
                    self.begun += 1
                    self.check = Check(told["check"])
                else:
                    self.sent += 1
                    said = (told["next"], self.dice.choice(ANSWERS), f"answer {self.sent}")
                    self.pending = self.check.answered(*said)
                    told = daemon.post(f"/api/bench/{PROP}/answer", {
                        "check": told["check"], "step": said[0], "answer": said[1], "note": said[2]})
                    self.check = self.pending
                    self.notes.append(said[2])
                self.pending = None
                if not self.check.stands(told):
                    raise AssertionError(f"the reply says something else: {told}")
        except ASKED:
            pass
        except AssertionError as error:
            self.wrong = error

    def check_it_goes_on(self, daemon):
        """Either without what had no reply, or with all of it."""
        told = daemon.get(f"/api/bench/{PROP}")
        if isinstance(self.pending, Check) and self.pending.stands(told):
            self.check = self.pending
            self.notes.append(f"answer {self.sent}")
        elif self.pending == "begin" and told["check"] != self.check.number:
            self.begun += 1
            self.check = Check(told["check"])
        self.assertTrue(self.check.stands(told), (self.check.__dict__, told))
        self.pending = None
        return told

    def check_the_logbook(self):
        connection = sqlite3.connect(self.path)
        try:
            self.assertEqual(connection.execute("PRAGMA integrity_check").fetchall(), [("ok",)])
            rows = connection.execute("SELECT number, kind, note FROM entry ORDER BY number").fetchall()
        finally:
            connection.close()
        self.assertEqual([number for number, _, _ in rows], list(range(1, len(rows) + 1)))
        self.assertEqual([note for _, kind, note in rows if kind == "bench answer"], self.notes)
        self.assertEqual(sum(kind == "bench begun" for _, kind, _ in rows), self.begun)

    def kill_at_work(self):
        """Returns whether an answer was on its way."""
        with Daemon(self.site) as daemon:
            told = self.check_it_goes_on(daemon)
            self.check_the_logbook()
            self.wrong = None
            client = threading.Thread(target=self.answer_on, args=(daemon, told))
            client.start()
            time.sleep(self.dice.uniform(0, 0.12))  # the random moment itself
            self.assertEqual(daemon.end(signal.SIGKILL), -signal.SIGKILL)
            client.join()
        if self.wrong:
            raise self.wrong
        return self.pending is not None

    def kill_at_the_start(self):
        with Program("serve", self.site, "--listen", "127.0.0.1:0") as program:
            time.sleep(self.dice.uniform(0, 0.08))
            program.end(signal.SIGKILL)

    def test_a_bench_check_survives_every_one(self):
        on_its_way = 0
        began = time.monotonic()
        for kill in range(KILLS):
            if kill % 5 == 4:
                self.kill_at_the_start()
            else:
                on_its_way += self.kill_at_work()
        with Daemon(self.site) as daemon:
            self.check_it_goes_on(daemon)
            self.check_the_logbook()
            self.assertEqual(daemon.end(signal.SIGTERM), 0)
        print(f"{KILLS} kills in {time.monotonic() - began:.0f} s, {on_its_way} with an answer on its way; "
              f"{len(self.notes)} of {self.sent} answers kept, {self.begun} checks begun", file=sys.stderr)
        self.assertGreater(on_its_way, KILLS // 4)
        self.assertGreater(len(self.notes), KILLS)


if __name__ == "__main__":
    main()
