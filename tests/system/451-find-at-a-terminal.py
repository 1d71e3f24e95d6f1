"""`panewalk find` as a person uses it, by pipes and at a terminal, in the practice yard."""
import json
import os
import signal
import sqlite3
import subprocess
import textwrap
import unittest

from builder import SITE, Builder, Find, Wired
from running import PANEWALK, PATIENCE, SOURCE, controller, main, make_site, prop
from screen import Screen

NAMES = """\
A1· · · · B1· · · · C1
·         ·         ·
·         ·         ·
·         ·         ·
·         ·         ·
5         5         5
A2· · · · B2· · · · C2
·         ·         ·
·         ·         ·
·         ·         ·
·         ·         ·
A3· · · · B3· · · · C3""".split("\n")
LETTERS = {"dark": "·", "red": "R", "green": "G", "blue": "B", "white": "W", "yellow": "Y",
           "cyan": "C", "magenta": "M"}
BEFORE = """\
The joints, and some of the stations between them, from the FRONT:
{}
The data goes A3 A1 C1 C3 (A3), (B3) B2 (B1), (A2) (B2) and then (B2) (C2).

Type an answer or its beginning. "?" asks the question again, "quit" leaves it
for later.
""".format("\n".join(NAMES))
DARK = "Dark, and the streams are ended.\n"
LEFT_OPEN = DARK + "The search is left open; the same command goes on with it.\n"


def wrapped(text):
    return textwrap.fill(text, 80, break_long_words=False, break_on_hyphens=False) + "\n"


def typed(answer):
    return " ".join(answer) or "none" if isinstance(answer, list) else answer


class Paper:
    """What the window over the slipway is drawn like: a station has two columns and one row."""

    def __init__(self, sound, wired):
        self.builder = Builder(sound, wired)
        self.sound = sound
        self.wired = wired

    def place(self, station):
        x, y = self.sound.place[station]
        return int(y / 90 + 0.5), int(x / 45 + 0.5)

    def light(self, shown):
        rows = [[" "] * 21 for _ in range(12)]
        for station in self.sound.place:
            row, column = self.place(station)
            mark = LETTERS[self.builder.colours({"station": station}, [shown], None)[0]]
            if rows[row][column] in (" ", "·"):
                rows[row][column] = mark
        return ["".join(row).rstrip() for row in rows]

    def names(self, question):
        rows = list(NAMES)
        if "station" in question:
            row, column = self.place(question["station"])
            at = column + (len(question["station"]) if "-" not in question["station"] else 0)
            rows[row] = rows[row][:at].ljust(at) + "*" + rows[row][at + 1:]
        return rows

    def question(self, question, answer):
        """All that is printed for one, with the answer."""
        ask = question["ask"]
        text = f"\nQuestion {question['question']}\n" + wrapped(question["text"])
        for number, frame in enumerate(question["frames"], 1):
            channels = self.sound.packed(frame)
            yard = self.light(self.wired.lights(channels))
            if ask == "same":
                help_, label = self.light(self.sound.lights(channels)), "As drawn, and the"
            elif ask in ("where", "last-lit", "colours"):
                help_, label = self.names(question), "The stations, and the"
            else:
                help_, label = None, "The"
            label += " practice yard"
            if len(question["frames"]) > 1:
                label += f", picture {number} of {len(question['frames'])}"
            if ask == "other":
                label += (", where no other prop is lit" if answer == "none"
                          else f", where besides is lit: {answer}")
            text += label + ":\n"
            if help_:
                width = max(map(len, help_)) + 3
                yard = [left.ljust(width) + right for left, right in zip(help_, yard)]
            text += "\n".join(yard) + "\n"
        return text + wrapped("Answer: " + self.allowed(question)) + f"> {typed(answer)}\n"

    def allowed(self, question):
        *words, unsure = question["choices"]
        if question["ask"] == "where":
            return "all stations that are lit, or none or unsure"
        if question["ask"] == "last-lit":
            return "a station, none, all or unsure"
        if question["ask"] == "colours" and len(question["frames"]) > 1:
            return (f"{len(question['frames'])} colours, one a picture ({', '.join(words[:-1])} or "
                    f"{words[-1]}), or unsure")
        return f"{', '.join(words)} or {unsure}"


class ByPipes(unittest.TestCase):
    def setUp(self):
        self.sound = Wired("slip-window")
        self.state = os.path.abspath(self.id().rpartition(".")[2])
        self.maxDiff = None

    def run_find(self, typed_in, *options, site=SITE):
        done = subprocess.run(
            [PANEWALK, "find", site, "slip-window", "--practice", *options], input=typed_in,
            capture_output=True, text=True, timeout=4 * PATIENCE, check=False,
            env={**os.environ, "STATE_DIRECTORY": self.state})
        return done.returncode, done.stdout, done.stderr

    def learn(self, wired, site=SITE):
        """What is asked and answered, and the finding: the same questions come by either way."""
        builder = Builder(self.sound, wired)
        with Find("slip-window", "--practice", site=site) as find:
            said, questions = find.search(builder)
        return questions, [builder.answer(question) for question in questions], said["finding"]

    def check_whole(self, *faults):
        wired = self.sound
        for fault in faults:
            wired = wired.with_fault(*fault.split("=")) if "=" in fault else wired.with_fault(
                fault, "")
        questions, answers, finding = self.learn(wired)
        options = [word for fault in faults for word in ("--fault", f"slip-window:{fault}")]
        status, out, err = self.run_find("".join(typed(a) + "\n" for a in answers), *options)
        self.assertEqual((status, err), (0, ""))
        self.assertEqual([line for line in out.split("\n") if len(line) > 80 and " " in line and
                          not line.startswith(("--- ", "+++ ", " ", "-", "+"))], [])
        asked = ", ".join(f"slip-window:{fault}" for fault in faults)
        self.assertTrue(out.startswith(
            "slip-window: West window over the slipway, four panes\n"
            "Practice: to built-in receivers on this machine, nothing to the network.\n"
            f"Faults in the yard: {asked}.\n\n- "), out)
        paper = Paper(self.sound, wired)
        expected = BEFORE + "".join(paper.question(question, answer)
                                    for question, answer in zip(questions, answers)) + DARK + "\n"
        _, before, rest = out.partition("The joints,")
        said = (before + rest)[:len(expected)]
        self.assertEqual(said, expected)
        found = finding["fault"] + ("=" + finding["value"] if finding["value"] else "")
        self.assertIn(found, faults)
        return (before + rest)[len(expected):], finding

    def test_a_break_from_the_first_question_to_the_last_step(self):
        out, finding = self.check_whole("data-open=17")
        number = len(out.split("\n"))
        self.assertGreater(number, 10)
        head, _, rest = out.partition("\nCertainty ")
        self.assertEqual(head.split("\n", 1)[1] + "\n", wrapped(finding["text"]))
        self.assertRegex(head.split("\n", 1)[0], r"^Finding after \d+ questions: data-open=17$")
        certainty, _, rest = rest.partition("\nSuspects:\n")
        self.assertRegex(certainty, r"^[<>]?\d+ %: ")
        _, _, rest = rest.partition("\nWhat to do:\n")
        steps, _, afterwards = rest.partition("\nAfterwards:\n")
        words = [word for line in steps.split("\n")
                 for word in (line[5:] if line[4:5] == " " else line).split()]
        self.assertEqual(" ".join(words), finding["do"])
        self.assertTrue(afterwards.startswith("  - "))
        self.assertNotIn("---", out)

    def test_colours_in_another_order(self):
        out, _ = self.check_whole("colour-order=RGB")
        self.assertTrue(out.endswith("""\
--- {0}
+++ {0} (corrected)
@@ -13,6 +13,6 @@
       }} }}
   ],
   "wiring": {{ "route": ["A3 A1 C1 C3 (A3)", "(B3) B2 (B1)", "(A2) (B2)", "(B2) (C2)"] }},
-  "pixel": {{ "order": "GRB", "channels": 3, "volts": 12, "full_white": "45 mA", "idle": "1 mA" }},
+  "pixel": {{ "order": "RGB", "channels": 3, "volts": 12, "full_white": "45 mA", "idle": "1 mA" }},
   "power": {{ "wire": "18 AWG", "feeds": ["lead-in", "tie-back"] }}
 }}
""".format(os.path.join(SOURCE, "config", "props", "slip-window.json"))), out)

    def test_another_prop_lights(self):
        self.check_whole("leads-exchanged=gable-line")

    def test_one_pixel_lacks_its_light(self):
        self.check_whole("pixel-dark=42")

    def make_site(self, name):
        return make_site(name, [controller("bench", "e131", "127.0.0.1")],
                         [prop("slip-window", "bench", 1, level="30 %")])

    def route(self, site):
        path = os.path.join(os.path.dirname(site), "props", "slip-window.json")
        with open(path, encoding="utf-8") as file:
            read = json.load(file)
        return path, read["wiring"]["route"], read["pixel"]["order"]

    def test_the_correction_is_written(self):
        site = self.make_site("written")
        wired = self.sound.with_fault("run-reversed", "2")
        _, answers, _ = self.learn(wired, site)
        status, out, err = self.run_find("".join(typed(a) + "\n" for a in answers), "--write",
                                         "--fault", "slip-window:run-reversed=2", site=site)
        path, route, order = self.route(site)
        self.assertEqual((status, err, out.split("\n")[-2]), (0, "", f"Written to {path}."))
        self.assertEqual((route, order),
                         (["A3 A1 C1 C3 (A3)", "(B1) B2 (B3)", "(A2) (B2)", "(B2) (C2)"], "GRB"))
        self.assertEqual(subprocess.run([PANEWALK, "validate", site], capture_output=True,
                                        check=False).returncode, 0)

    def test_two_faults_are_found_and_both_corrected(self):
        site = self.make_site("both")
        wired = self.sound.with_fault("mirrored", "").with_fault("colour-order", "RGB")
        with Find("slip-window", "--practice", "--write", site=site) as find:
            said, _ = find.questions(Builder(self.sound, wired))
            path, _, _ = self.route(site)
            self.assertEqual(find.end(), (0, "", f"Written to {path}.\n" * 2))
        finding = said["finding"]
        self.assertEqual((finding["fault"], finding["value"], finding["and"]),
                         ("mirrored", "", {"fault": "colour-order", "value": "RGB"}))
        self.assertEqual(self.route(site)[1:], (
            ["C3 C1 A1 A3 (C3)", "(B3) B2 (B1)", "(C2) (B2)", "(B2) (A2)"], "RGB"))

    def test_a_file_that_has_changed_is_left(self):
        site = self.make_site("changed")
        path, _, _ = self.route(site)
        builder = Builder(self.sound, self.sound.with_fault("run-reversed", "2"))
        with Find("slip-window", "--practice", "--write", site=site) as find:
            first = find.hear()
            with open(path, "a", encoding="utf-8") as file:
                file.write("\n")
            find.say(builder.answer(first))
            find.questions(builder)
            self.assertEqual(find.end(), (1, "", f'"{path}" has changed since the site was read, so '
                                                 "nothing was written; read the site again, and "
                                                 "search again\n"))
        self.assertEqual(self.route(site)[1][1], "(B3) B2 (B1)")

    def test_nothing_to_write(self):
        wired = self.sound.with_fault("data-open", "17")
        _, answers, _ = self.learn(wired)
        status, _, err = self.run_find("".join(typed(a) + "\n" for a in answers), "--write",
                                       "--fault", "slip-window:data-open=17")
        self.assertEqual((status, err), (
            0, "panewalk: nothing is written: no description mends a break in the data; mend the "
               "wire after pixel 17 at A1-B1/4, or exchange that pixel or the next\n"))

    def test_a_search_that_was_left_goes_on(self):
        wired = self.sound.with_fault("data-open", "17")
        questions, answers, _ = self.learn(wired)
        fault = ("--fault", "slip-window:data-open=17")
        status, out, err = self.run_find(typed(answers[0]) + "\nperhaps\n", *fault)
        self.assertEqual((status, err), (1, ""))
        self.assertIn("\n> perhaps\n", out)
        self.assertTrue(out.endswith("\n> \n" + LEFT_OPEN), out)
        self.assertIn(wrapped(questions[1]["text"]), out)
        status, out, err = self.run_find(typed(answers[1]) + "\n?\nquit\n", *fault)
        self.assertEqual((status, err), (1, ""))
        self.assertIn("\nThis goes on with the search that was left open: 1 question has its "
                      "answer.\n\nQuestion 2\n", out)
        self.assertEqual(out.count("\nQuestion 3\n"), 2)
        self.assertTrue(out.endswith("\n> quit\n" + LEFT_OPEN), out)
        status, out, err = self.run_find("".join(typed(a) + "\n" for a in answers[2:]), *fault)
        self.assertEqual((status, err), (0, ""))
        self.assertIn("\nThis goes on with the search that was left open: 2 questions have their "
                      "answers.\n\nQuestion 3\n", out)
        self.assertIn(f"\nFinding after {len(answers)} questions: data-open=17\n", out)
        # It is done: the next one is new.
        status, out, err = self.run_find("", *fault)
        self.assertIn("\nfor later.\n\nQuestion 1\n", out)

    def test_a_search_begins_again_where_it_is_wanted(self):
        site = self.make_site("again")
        self.run_find("unsure\n", site=site)
        status, out, _ = self.run_find("", "--new", site=site)
        self.assertIn("\nfor later.\n\nQuestion 1\n", out)
        self.run_find("unsure\n", site=site)
        status, out, _ = self.run_find("", "--place", "yard", site=site)
        self.assertEqual(status, 1)
        self.assertIn("\nThe search that was open is for the bench; a new one begins.\n\n"
                      "Question 1\n", out)
        self.run_find("unsure\n", site=site)
        path, _, _ = self.route(site)
        with open(path, encoding="utf-8") as file:
            text = file.read()
        with open(path, "w", encoding="utf-8") as file:
            file.write(text.replace('"stations": 11', '"stations": 15').replace(
                '"uprights": [6]', '"uprights": [8]'))
        status, out, _ = self.run_find("", site=site)
        self.assertEqual(status, 1)
        self.assertIn("\nThe search that was open is of the site as it was before; a new one "
                      "begins.\n\nQuestion 1\n", out)

    def test_without_a_logbook_it_says_so(self):
        os.mkdir(self.state)
        other = sqlite3.connect(os.path.join(self.state, "logbook.sqlite"))
        other.execute("CREATE TABLE tide (hour INTEGER, metres REAL)")
        other.close()
        status, out, err = self.run_find("unsure\n")
        self.assertEqual(status, 1)
        self.assertEqual(err, f"{self.state}/logbook.sqlite: this is not a logbook: it is a database "
                              "of another program; move the file away; a new one is begun then\n"
                              "panewalk: this search is not kept in the logbook\n")
        self.assertTrue(out.endswith("\n> \n" + DARK), out)


class AtATerminal(unittest.TestCase):
    def open(self, *arguments):
        screen = Screen("find", *arguments, state=os.path.abspath(self.id().rpartition(".")[2]))
        self.addCleanup(screen.close)
        return screen

    def answers(self, site, wired):
        builder = Builder(Wired("slip-window"), wired)
        with Find("slip-window", "--practice", site=site) as find:
            _, questions = find.search(builder)
        return questions, [builder.answer(question) for question in questions]

    def test_the_drawing_follows_the_light_and_ctrl_c_ends_it_dark(self):
        wired = Wired("slip-window").with_fault("data-open", "17")
        questions, answers = self.answers(SITE, wired)
        # The first that is of several pictures.
        several = next(i for i, each in enumerate(questions) if len(each["frames"]) > 1)
        screen = self.open(SITE, "slip-window", "--practice", "--fault",
                           "slip-window:data-open=17")
        at = screen.until("\r\n> ")
        for answer in answers[:several]:
            screen.type(typed(answer) + "\n")
            at = screen.until("\r\n> ", at)
        pictures = len(questions[several]["frames"])
        # Over what was drawn, with the cursor saved and put back.
        at = screen.until("\x1b7", at)
        at = screen.until(f", picture {pictures} of {pictures}:\x1b[K", at)
        at = screen.until("\x1b8", at)
        screen.type("\x03")
        screen.until(LEFT_OPEN.replace("\n", "\r\n"), at)
        self.assertEqual(screen.process.wait(timeout=PATIENCE), 1)

    def test_it_asks_before_it_writes(self):
        site = make_site("asks", [controller("bench", "e131", "127.0.0.1")],
                         [prop("slip-window", "bench", 1, level="30 %")])
        path = os.path.join("asks", "props", "slip-window.json")
        with open(path, encoding="utf-8") as file:
            before = file.read()
        wired = Wired("slip-window").with_fault("run-reversed", "2")
        _, answers = self.answers(site, wired)
        for reply, after in (("\n", before), ("y\n", before.replace("(B3) B2 (B1)",
                                                                    "(B1) B2 (B3)"))):
            screen = self.open(site, "slip-window", "--practice", "--fault",
                               "slip-window:run-reversed=2")
            at = 0
            for answer in answers:
                at = screen.until("\r\n> ", at)
                screen.type(typed(answer) + "\n")
            screen.until("Write it? [y/N] ", at)
            screen.type(reply)
            self.assertEqual(screen.process.wait(timeout=PATIENCE), 0)
            with open(path, encoding="utf-8") as file:
                self.assertEqual(file.read(), after)

    def test_a_lost_terminal_ends_it(self):
        screen = self.open(SITE, "slip-window", "--practice")
        screen.until("\r\n> ")
        screen.process.send_signal(signal.SIGHUP)
        self.assertEqual(screen.process.wait(timeout=PATIENCE), 1)


if __name__ == "__main__":
    main()
