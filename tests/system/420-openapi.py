"""The API's OpenAPI document, held against what the daemon answers, with ajv as the judge."""
import json
import os
import re
import sqlite3
import subprocess
import unittest

from running import PATIENCE, SOURCE, Daemon, controller, main, make_site, prop, wait_for


class Document(unittest.TestCase):
    def setUp(self):
        self.site = make_site(
            "site", [controller("bench", "e131", "127.0.0.1", supply={"volts": 12, "amps": 5}),
                     controller("yard", "artnet", "127.0.0.1")],
            [prop("slip-window", "bench", 1, level="30 %", place=["1 m", "2 m"]),
             prop("gable-line", "yard", 10)])
        self.answers = []

    def call(self, method, path, body=None, prop_name="slip-window", headers=None):
        """Asks and keeps what was answered; `path` as the document has it."""
        status, text = self.daemon.ask(method, path.replace("{prop}", prop_name), body, headers)
        answer = json.loads(text)
        self.answers.append({"method": method, "path": path, "body": body, "status": status,
                             "answer": answer})
        return answer

    def test_says_what_the_daemon_answers(self):
        with Daemon(self.site, "--practice") as self.daemon:
            document = self.call("GET", "/api/openapi.json")
            for path in ("/api/site", "/api/patterns", "/api/light", "/api/walk", "/api/logbook",
                         "/api/joined", "/api/network"):
                self.call("GET", path)
            for name in ("slip-window", "gable-line"):
                for path in ("/api/props/{prop}/map", "/api/props/{prop}/drawing",
                             "/api/bench/{prop}"):
                    self.call("GET", path, prop_name=name)
            self.call("GET", "/api/props/{prop}/map", prop_name="boat")
            self.call("GET", "/api/live")
            self.call("POST", "/api/step", {"go": "next"})
            self.call("POST", "/api/light", {"prop": "slip-window", "pattern": "chase",
                                             "level": "80 %", "region": "run 2"})
            self.call("POST", "/api/light", {"props": ["gable-line"], "pattern": "ruler",
                                             "level": 1})
            for fault in ({}, {"prop": "slip-window"}, {"props": [], "pattern": "chase"},
                          {"prop": "slip-window", "pattern": "chase", "lvl": 1}):
                self.call("POST", "/api/light", fault)
            self.call("GET", "/api/light")
            self.call("POST", "/api/step", {"go": "hold"})
            self.call("POST", "/api/step", {"go": "round"})
            self.bench()
            self.walk()
            self.search()
            self.search_for_a_colour_order()
            self.find()
            wait_for(self.logbook_has_every_kind, "what another program wrote")
            self.call("POST", "/api/dark")
            self.call("POST", "/api/release", {})
            self.call("POST", "/api/join", {"code": "7"})
            self.call("POST", "/api/leave", {})
            self.call("GET", "/api/site", headers={"Host": "boats.example"})
            # Spoken in 320, where a WebSocket is at hand.
            self.answers.append({"method": "GET", "path": "/api/live", "body": None, "status": 101,
                                 "answer": None})
        with Daemon(self.site) as self.daemon:  # only where it is no practice it listens
            wait_for(lambda: self.call("GET", "/api/network")["seen"], "something to be seen")
        self.judge(document)

    def bench(self):
        begun = self.call("POST", "/api/bench/{prop}/begin")
        for step, answer in (("first-pixel", "yes"), ("colour-order", "no"), ("ruler", "unsure"),
                             ("runs", "skipped")):
            self.call("POST", "/api/bench/{prop}/answer",
                      {"check": begun["check"], "step": step, "answer": answer, "note": "as seen"})
        self.call("POST", "/api/bench/{prop}/answer",
                  {"check": begun["check"] + 999, "step": "ruler", "answer": "yes"})
        self.call("POST", "/api/bench/{prop}/answer", {"check": begun["check"], "step": "ruler"})
        self.call("GET", "/api/bench/{prop}")

    def walk(self):
        begun = self.call("POST", "/api/walk/begin", {"by": "nearest"})
        self.call("POST", "/api/walk/answer", {"walk": begun["walk"], "prop": "slip-window",
                                               "seen": "another prop", "other": "gable-line"})
        self.call("POST", "/api/walk/answer", {"walk": begun["walk"], "prop": "gable-line",
                                               "seen": "nothing", "note": "dark"})
        self.call("POST", "/api/walk/answer", {"walk": begun["walk"] + 999, "prop": "gable-line",
                                               "seen": "nothing"})
        self.call("POST", "/api/walk/begin", {"by": "colour"})
        self.call("GET", "/api/walk")

    def logbook_has_every_kind(self):
        kinds = {entry["kind"] for entry in self.call("GET", "/api/logbook")["entries"]}
        return kinds == {"bench begun", "bench answer", "walk begun", "walk answer", "find begun",
                         "find answer", "finding", "repair"}

    def search(self):
        """Of a prop that nothing lights."""
        dark = {"same": "no", "where": [], "other": "none", "last-lit": "none", "hold": "dark"}
        self.call("GET", "/api/find/{prop}", prop_name="gable-line")
        self.call("POST", "/api/find/{prop}/begin", {"place": "roof"}, "gable-line")
        state = self.call("POST", "/api/find/{prop}/begin",
                          {"place": "yard", "from": "walk"}, "gable-line")
        find = state["find"]
        self.call("POST", "/api/find/{prop}/show", {"find": find, "question": 1}, "gable-line")
        self.call("POST", "/api/find/{prop}/show", {"find": find, "question": 1, "picture": 0},
                  "gable-line")
        while state["progress"] == "open":
            asked = state["question"]
            answer = dark.get(asked["ask"], ["dark"] * asked["pictures"])
            state = self.call("POST", "/api/find/{prop}/answer",
                              {"find": find, "question": asked["number"], "answer": answer},
                              "gable-line")
        self.assertEqual(state["finding"]["fault"], "no-response")
        self.call("POST", "/api/find/{prop}/answer", {"find": find + 999, "question": 1,
                                                      "answer": "no"}, "gable-line")
        self.call("POST", "/api/find/{prop}/repaired", {"find": find, "repair": "mended",
                                                        "note": "the fuse"}, "gable-line")
        self.call("GET", "/api/find/{prop}", prop_name="gable-line")

    def search_for_a_colour_order(self):
        """Red and green of a whole prop are exchanged: its file can say so."""
        pixels = self.call("GET", "/api/props/{prop}/map", prop_name="gable-line")["pixels"]
        station = {pixel["index"]: pixel["station"] for pixel in pixels}

        def answer(asked):
            if asked["ask"] == "where":
                lit = [int(number) for number in re.findall(r"\d+", asked["shown"])]
                if " to " in asked["shown"]:
                    lit = range(lit[0], lit[-1] + 1)
                return [station[index] for index in lit]
            if asked["ask"] == "colours" and asked["shown"] == "all pixels in red, green and blue":
                return ["green", "red", "blue"]
            if asked["ask"] == "same" and "row of colours" not in asked["shown"]:
                return "no" if "red" in asked["shown"] or "green" in asked["shown"] else "yes"
            return {"last-lit": "all", "other": "none"}.get(asked["ask"], "unsure")

        state = self.call("POST", "/api/find/{prop}/begin", {"place": "bench"}, "gable-line")
        while state["progress"] == "open":
            asked = state["question"]
            state = self.call("POST", "/api/find/{prop}/answer",
                              {"find": state["find"], "question": asked["number"],
                               "answer": answer(asked)}, "gable-line")
        self.assertEqual((state["finding"]["fault"], state["finding"]["value"]),
                         ("colour-order", "GRB"))
        self.call("POST", "/api/find/{prop}/accept", {"find": state["find"]}, "gable-line")

    def find(self):
        """What another program wrote into the logbook, with and without what may be missing."""
        path = os.path.join(os.environ["XDG_STATE_HOME"], "panewalk", "logbook.sqlite")
        connection = sqlite3.connect(path)
        with connection:
            connection.executescript("""
                INSERT INTO entry (at, site, kind, prop, place, came_from) VALUES
                  (0, 'boathouse', 'find begun', 'slip-window', 'bench', 'bench ruler'),
                  (0, 'boathouse', 'find begun', 'slip-window', 'yard', '');
                INSERT INTO entry (at, site, kind, begun, prop, question, asked, answer) VALUES
                  (1, 'boathouse', 'find answer', 1, 'slip-window', 1, 'same: in red', '"yes"'),
                  (1, 'boathouse', 'find answer', 1, 'slip-window', 2, 'where: pixel 3',
                   '["A1", "B2"]');
                INSERT INTO entry (at, site, kind, begun, prop, fault, second, station, pixel,
                                   certainty, also_possible, questions) VALUES
                  (2, 'boathouse', 'finding', 1, 'slip-window', 'data-open=17', 'turned', 'B2', 17,
                   873, 'count-short=17 0.12', 2),
                  (2, 'boathouse', 'finding', 1, 'slip-window', 'none', '', '', 0, 1000, '', 2);
                INSERT INTO entry (at, site, kind, begun, prop, repair, fault, note) VALUES
                  (3, 'boathouse', 'repair', 1, 'slip-window', 'mended', '', 'soldered'),
                  (3, 'boathouse', 'repair', 1, 'slip-window', 'was another fault', 'nulls=1', '');
                """)
        connection.close()
        self.call("GET", "/api/find/{prop}")
        self.call("GET", "/api/find/{prop}", prop_name="boat")
        now = self.call("POST", "/api/find/{prop}/begin", {"place": "bench"})
        find = now["find"]
        for call in ("repaired", "accept"):  # nothing is found yet
            self.call("POST", "/api/find/{prop}/" + call,
                      {"find": find, "repair": "mended"} if call == "repaired" else {"find": find})
        self.call("POST", "/api/find/{prop}/answer",
                  {"find": find, "question": 1, "answer": "unsure"})
        self.call("POST", "/api/find/{prop}/answer",
                  {"find": find, "question": 1, "answer": "unsure", "again": True})

    def judge(self, document):
        for name, value in (("document.json", document), ("answers.json", self.answers)):
            with open(name, "w", encoding="utf-8") as file:
                json.dump(value, file)
        done = subprocess.run(
            ["node", os.path.join(SOURCE, "tests", "peers", "check_openapi.mjs"), "document.json",
             "answers.json"], text=True, capture_output=True, timeout=PATIENCE, check=False)
        self.assertEqual((done.returncode, done.stderr), (0, ""), done.stdout)


if __name__ == "__main__":
    main()
