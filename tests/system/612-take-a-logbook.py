"""`panewalk logbook SITE --take FILE`: what was checked on the bench's laptop goes to the yard."""
import json
import os
import signal
import unittest

from running import Daemon, Program, controller, main, make_site, prop, wait_for


class Take(unittest.TestCase):
    def setUp(self):
        self.site = make_site("site", [controller("bench", "e131", "127.0.0.1")],
                              [prop("slip-window", "bench", 1), prop("gable-line", "bench", 10)])
        self.name = self.id().rpartition(".")[2]

    def env(self, machine):
        return {**os.environ, "STATE_DIRECTORY": os.path.abspath(f"{self.name}-{machine}")}

    def book(self, machine):
        return os.path.join(self.env(machine)["STATE_DIRECTORY"], "logbook.sqlite")

    def serve(self, machine):
        return Daemon(self.site, "--practice", env=self.env(machine))

    def logbook(self, machine, *options):
        with Program("logbook", self.site, *options, env=self.env(machine)) as program:
            status = program.end()
        return status, program.out(), program.err()

    def export(self, machine, *options):
        status, out, err = self.logbook(machine, "--as", "json", *options)
        self.assertEqual((status, err), (0, ""))
        path = os.path.abspath(f"{self.name}-{machine}.json")
        with open(path, "w", encoding="utf-8") as file:
            file.write(out + "\n")
        return path, json.loads(out)["entries"]

    def work_at_the_bench(self, daemon):
        """A check, a walk and a search with its finding and repair."""
        check = daemon.post("/api/bench/slip-window/begin")["check"]
        daemon.post("/api/bench/slip-window/answer", {
            "check": check, "step": "ruler", "answer": "no", "note": "über B2,\n\"dark\""})
        walk = daemon.post("/api/walk/begin", {"by": "order"})["walk"]
        daemon.post("/api/walk/answer", {"walk": walk, "prop": "slip-window",
                                         "seen": "another prop", "other": "gable-line"})
        dark = {"same": "no", "where": [], "other": "none", "last-lit": "none", "hold": "dark"}
        state = daemon.post("/api/find/gable-line/begin", {"place": "bench", "from": "walk"})
        while state["progress"] == "open":
            asked = state["question"]
            state = daemon.post("/api/find/gable-line/answer", {
                "find": state["find"], "question": asked["number"],
                "answer": dark.get(asked["ask"], ["dark"] * asked["pictures"])})
        self.assertEqual(state["finding"]["fault"], "no-response")
        daemon.post("/api/find/gable-line/repaired",
                    {"find": state["find"], "repair": "mended", "note": ""})

    def without_numbers(self, entries):
        first = {entry["entry"]: place for place, entry in enumerate(entries)}
        return [{name: first[value] if name in ("entry", "check", "walk", "find") else value
                 for name, value in entry.items()} for entry in entries]

    def test_from_the_bench_to_the_yard(self):
        with self.serve("bench") as daemon:
            self.work_at_the_bench(daemon)
            daemon.end(signal.SIGTERM)
        path, entries = self.export("bench")
        self.assertGreater(len(entries), 6)
        with self.serve("yard") as daemon:
            daemon.post("/api/bench/gable-line/begin")
            # The daemon goes on, and shows what came.
            self.assertEqual(self.logbook("yard", "--take", path), (
                0, f"{path}: took {len(entries)} entries, 0 were there already; they are in {self.book('yard')}", ""))
            wait_for(lambda: daemon.get("/api/bench/slip-window")["check"], "what was taken")
            with self.serve("bench") as other:
                for call in ("/api/bench/slip-window", "/api/find/gable-line", "/api/walk"):
                    there, here = other.get(call), daemon.get(call)
                    for member in ("check", "walk", "find"):
                        there.pop(member, None)
                        here.pop(member, None)
                    self.assertEqual(here, there)
            check = daemon.get("/api/bench/slip-window")["check"]
            daemon.post("/api/bench/slip-window/answer",
                        {"check": check, "step": "ruler", "answer": "yes", "note": ""})
            daemon.end(signal.SIGKILL)
        _, there = self.export("yard")
        self.assertEqual([entry["entry"] for entry in there], list(range(1, len(entries) + 3)))
        self.assertEqual(self.without_numbers(there[1:-1]), self.without_numbers(entries))
        self.assertEqual(self.logbook("yard", "--take", path), (
            0, f"{path}: took 0 entries, {len(entries)} were there already; they are in {self.book('yard')}", ""))
        self.assertEqual(self.export("yard")[1], there)

    def test_some_days_later(self):
        with self.serve("bench") as daemon:
            check = daemon.post("/api/bench/slip-window/begin")["check"]
            path, _ = self.export("bench")
            self.assertEqual(self.logbook("yard", "--take", path)[1],
                             f"{path}: took 1 entry, 0 were there already; they are in {self.book('yard')}")
            daemon.post("/api/bench/slip-window/answer",
                        {"check": check, "step": "ruler", "answer": "yes", "note": ""})
        path, _ = self.export("bench")
        self.assertEqual(self.logbook("yard", "--take", path)[1],
                         f"{path}: took 1 entry, 1 was there already; they are in {self.book('yard')}")

    def test_an_answer_without_its_check(self):
        with self.serve("bench") as daemon:
            check = daemon.post("/api/bench/slip-window/begin")["check"]
            daemon.post("/api/bench/slip-window/answer",
                        {"check": check, "step": "ruler", "answer": "yes", "note": ""})
        path, entries = self.export("bench")
        with open(path, "w", encoding="utf-8") as file:
            json.dump({"site": "boathouse", "entries": entries[1:]}, file)
        self.assertEqual(self.logbook("yard", "--take", path), (
            0, f"{path}: took 1 entry, 0 were there already; they are in {self.book('yard')}",
            f"{path}: 1 of them belongs to a check, a walk or a search that the file does not "
            "have; export without --prop, --kind and --since to have these too"))

    def test_what_is_none_changes_nothing(self):
        with self.serve("yard") as daemon:
            daemon.post("/api/bench/slip-window/begin")
        _, before = self.export("yard")
        sound = json.dumps(before[0])
        for text, problem in (
                ("entry,at,kind,prop\n", " this is no export of a logbook; make one with `panewalk logbook "
                 "SITE --as json`"),
                ('{"site": "jetty", "entries": []}',
                 '1:10: /site: these are entries of "jetty"; the site here is "boathouse"'),
                (f'{{"entries": [{sound},\n{sound}]}}',
                 "2:1: /entries/1: a second entry 1; each number once"),
                (f'{{"entries": [{sound},\n{{"entry": 2, "kind": "bench begun"}}]}}',
                 "2:1: /entries/1/at: missing; a time such as 2026-11-25T17:08:21Z\n"
                 "{}:2:1: /entries/1/prop: missing; the name of the prop")):
            path = os.path.abspath("none.json")
            with open(path, "w", encoding="utf-8") as file:
                file.write(text)
            self.assertEqual(self.logbook("yard", "--take", path),
                             (3, "", f"{path}:{problem}".replace("{}", path)))
        self.assertEqual(self.export("yard")[1], before)
        self.assertEqual(self.logbook("yard", "--take", "gone.json"),
                         (3, "", 'gone.json: there is no such file; did you mean "none.json"?'))
        self.assertEqual(self.logbook("yard", "--take", path, "--as", "json"), (
            2, "", "--take excludes --as\nRun with --help for more information."))


if __name__ == "__main__":
    main()
