"""`panewalk find --json`: another program plays the builder, by the frames that it is told or by
the packets that it hears, and the finding must be what is wrong.
"""
import signal
import subprocess
import unittest
from concurrent.futures import ThreadPoolExecutor

from builder import SITE, Builder, Find, Wired, read_json
from running import (PANEWALK, PATIENCE, Receiver, controller, main, make_site, prop, wait_for)

KINDS = {"same", "where", "other", "last-lit", "colours", "hold"}
MOST_STATIONS = 12  # nobody taps more
FINDING = {"fault", "value", "index", "station", "text", "do", "certainty", "also_possible"}

# Of one fault each: what else shows exactly the same light. A break shows what a count that is too
# small shows; one null pixel more shifts as much as three channels, or four with a white chip.
SEARCHES = {
    "slip-window": [
        ("none", ""), ("data-open=17", "count-short=17"), ("data-open=30", "count-short=30"),
        ("data-open=44", "count-short=44"), ("pixel-dark=42", ""), ("pixel-dark=1", ""),
        ("colour-order=RGB", ""), ("colour-order=BRG", ""), ("mirrored", ""),
        ("run-reversed=1", ""), ("run-reversed=2", ""), ("run-reversed=4", ""),
        ("pixel-extra=20", ""), ("pixel-skipped=33", ""), ("nulls=1", "start-channel=3"),
        ("start-channel=1", ""), ("no-response", ""), ("leads-exchanged=gable-line", ""),
        ("count-short=50", "data-open=50")],
    "gable-line": [
        ("none", ""), ("data-open=27", "power-open=27 count-short=28 count-short=29"),
        ("pixel-dark=5", ""), ("colour-order=GRB", ""), ("mirrored", ""), ("run-reversed=1", ""),
        ("pixel-extra=10", ""), ("pixel-skipped=30", ""), ("nulls=0", "start-channel=-3"),
        ("nulls=3", "start-channel=6"), ("start-channel=2", ""), ("no-response", ""),
        ("leads-exchanged=slip-window", ""), ("count-short=40", "data-open=38 power-open=38")],
    "door-ring": [
        ("none", ""), ("data-open=9", "power-open=9 count-short=9"), ("pixel-dark=1", ""),
        ("colour-order=RGBW", ""), ("mirrored", ""), ("run-reversed=1", ""), ("pixel-extra=3", ""),
        ("pixel-skipped=12", ""), ("nulls=2", "start-channel=8"), ("start-channel=1", ""),
        ("no-response", ""), ("count-short=20", "data-open=20 power-open=20")],
}


def check_farewell(test, receiver, universe, start=0):
    """Black, then three terminated packets."""
    def ended():
        return sum(packet.ended for packet in receiver.light(universe, start)) == 3
    wait_for(ended, "three terminated packets")
    test.assertEqual([(p.ended, p.black) for p in receiver.light(universe, start)[-4:]],
                     [(False, True), (True, True), (True, True), (True, True)])


def as_asked(possible):
    return possible["fault"] + ("=" + possible["value"] if possible["value"] else "")


class ByFrames(unittest.TestCase):
    """The builder sees what the frames make of the prop."""

    def check_question(self, sound, question, number, cap):
        self.assertEqual(list(question), [
            key for key in ("question", "ask", "text", "frames", "station", "choices")
            if key != "station" or question["ask"] == "colours"])
        self.assertEqual(question["question"], number)
        self.assertIn(question["ask"], KINDS)
        self.assertGreater(len(question["text"]), 10)
        self.assertIn("unsure", question["choices"])
        for frame in question["frames"]:
            self.assertEqual(len(frame), len(sound.chain))
            self.assertEqual({len(levels) for levels in frame}, {len(sound.order)})
            for levels in frame:
                self.assertTrue(all(isinstance(level, int) and 0 <= level <= cap
                                    for level in levels), levels)
        if question["ask"] == "colours":
            self.assertIn(question["station"], sound.place)
        if question["ask"] == "where":
            self.assertLessEqual(len(Builder(sound, sound).answer(question)), MOST_STATIONS)

    def check_finding(self, said, questions, fault, alike):
        finding = said["finding"]
        self.assertEqual(said["questions"], len(questions))
        self.assertEqual(set(finding) - {"and"}, FINDING)
        self.assertIn(as_asked(finding), [fault, *alike.split()])
        self.assertNotIn("and", finding)
        possible = [finding, *finding["also_possible"]]
        self.assertIn(fault, [as_asked(each) for each in possible])
        for each in possible:
            self.assertTrue(0 <= each["certainty"] <= 1, each)
        self.assertEqual(sorted(set(map(len, finding["also_possible"]))), sorted(
            set(map(len, finding["also_possible"])) & {3, 4}))
        self.assertGreater(len(finding["text"]), 10)
        self.assertGreater(len(finding["do"]), 10)

    def search(self, sound, fault, alike, cap):
        kind, _, value = fault.partition("=")
        wired = sound.with_fault(kind, value)
        with Find(sound.name, "--practice") as find:
            said, questions = find.search(Builder(sound, wired))
        for number, question in enumerate(questions, 1):
            self.check_question(sound, question, number, cap)
        self.check_finding(said, questions, fault, alike)

    def check_prop(self, name):
        sound = Wired(name)
        placed = next(placed for placed in read_json("config", "boathouse.json")["props"]
                      if placed["file"] == f"props/{name}.json")
        cap = int(float(placed["level"].split()[0]) / 100 * 255 + 0.5)
        def search(case):
            try:
                self.search(sound, *case, cap)
            except AssertionError as error:
                return f"{name}:{case[0]}: {error}"
            return None
        with ThreadPoolExecutor(2) as pool:
            wrong = [said for said in pool.map(search, SEARCHES[name]) if said]
        self.assertEqual(wrong, [])

    def test_slip_window(self):
        self.check_prop("slip-window")

    def test_gable_line_with_a_null_and_a_spare(self):
        self.check_prop("gable-line")

    def test_door_ring_with_white_chips(self):
        self.check_prop("door-ring")

    def test_where_the_fault_sits(self):
        sound = Wired("slip-window")
        with Find("slip-window", "--practice") as find:
            said, _ = find.search(Builder(sound, sound.with_fault("pixel-dark", "42")))
        self.assertEqual((said["finding"]["index"], said["finding"]["station"]),
                         (42, sound.station(42)))
        with Find("slip-window", "--practice") as find:
            said, _ = find.search(Builder(sound, sound))
        self.assertEqual((said["finding"]["value"], said["finding"]["index"],
                          said["finding"]["station"]), ("", None, None))


class ByPackets(unittest.TestCase):
    """The builder sees what the packets make of the prop."""

    def setUp(self):
        self.e131, self.artnet = Receiver(), Receiver()
        self.addCleanup(self.e131.close)
        self.addCleanup(self.artnet.close)
        self.site = make_site(
            "site", [controller("bench", "e131", f"127.0.0.1:{self.e131.port}"),
                     controller("yard", "artnet", f"127.0.0.1:{self.artnet.port}")],
            [prop("slip-window", "bench", 1, level="30 %"),
             prop("gable-line", "yard", 10, nulls=1, level="50 %")])

    def search(self, name, fault, value, receiver, universe):
        sound = Wired(name)
        wired = sound.with_fault(fault, value)
        builder = Builder(sound, wired)
        size = len(sound.chain) * len(sound.order)
        with Find(name, site=self.site) as find:
            while True:
                start = len(receiver.datagrams)
                question = find.hear()
                if question is None or "finding" in question:
                    self.assertEqual(find.end()[::2], (0, ""))
                    return question["finding"]
                told = [bytes(sound.packed(frame)) for frame in question["frames"]]
                def heard(wanted=told, since=start):
                    slots = {bytes(light.slots[:size])
                             for light in receiver.light(universe, since)}
                    return slots.issuperset(wanted)
                wait_for(heard, f"{question['text']} is sent as it was told")
                # The last of the packets that carry each picture.
                pictures = [next(light.slots for light in reversed(receiver.light(universe, start))
                                 if bytes(light.slots[:size]) == wanted) for wanted in told]
                find.say(builder.say(question, [wired.lights(slots) for slots in pictures],
                                     [sound.lights(slots) for slots in pictures]))

    def test_e131(self):
        finding = self.search("slip-window", "run-reversed", "2", self.e131, 1)
        self.assertEqual((finding["fault"], finding["value"]), ("run-reversed", "2"))
        check_farewell(self, self.e131, 1)
        self.assertEqual([p for p in self.artnet.light(10) if not p.black], [])

    def test_artnet(self):
        finding = self.search("gable-line", "pixel-skipped", "30", self.artnet, 10)
        self.assertEqual((finding["fault"], finding["value"]), ("pixel-skipped", "30"))
        wait_for(lambda: self.artnet.light(10)[-1].black, "it is dark")


class WaysOut(unittest.TestCase):
    def setUp(self):
        self.sound = Wired("slip-window")
        self.receiver = Receiver()
        self.addCleanup(self.receiver.close)
        self.site = make_site(
            "site", [controller("bench", "e131", f"127.0.0.1:{self.receiver.port}")],
            [prop("slip-window", "bench", 1)])

    def lit(self, start=0):
        return any(not light.black for light in self.receiver.light(1, start))

    def test_the_end_of_the_input_is_no_finding(self):
        with Find("slip-window", site=self.site) as find:
            find.hear()
            wait_for(self.lit, "it is lit")
            self.assertEqual(find.end(), (1, "", ""))
        check_farewell(self, self.receiver, 1)

    def test_a_signal_is_no_finding(self):
        for number in (signal.SIGINT, signal.SIGTERM):
            start = len(self.receiver.datagrams)
            with self.subTest(signal=number), Find("slip-window", site=self.site) as find:
                find.hear()
                wait_for(lambda since=start: self.lit(since), "it is lit")
                self.assertEqual(find.end(number), (1, "", ""))
                check_farewell(self, self.receiver, 1, start)

    def test_nobody_reads(self):
        with Find("slip-window", site=self.site) as find:
            find.hear()
            find.process.stdout.close()
            find.say("unsure")
            self.assertEqual(find.process.wait(timeout=PATIENCE), 1)
        check_farewell(self, self.receiver, 1)

    def test_a_bad_answer_is_asked_again(self):
        with Find("slip-window", "--practice") as find:
            first = find.hear()
            for line in ("", "A1", '{"answer":"maybe"}', '{"answer":["A1","Z9"]}', '{"answer":1}',
                         '{"question":1}', '{"answer":"yes"'):
                find.say_line(line)
                self.assertEqual(find.hear(), first, line)
            find.say_line('{"question":1,"answer":"unsure"}')
            second = find.hear()
            self.assertEqual(second["question"], 2)
            status, out, err = find.end()
        self.assertEqual((status, out), (1, ""))
        lines = err.split("\n")
        self.assertEqual(len(lines), 8, err)
        such = '{"answer": "yes"} or {"answer": ["A1", "B2"]}'
        self.assertTrue(all(lines[:7]), err)
        self.assertEqual(lines[4:6], [
            f"the answer is neither a word nor a list of words; {such}",
            f'there is no "answer"; {such}'])

    def test_wrong_usage_and_faulty_input(self):
        def run(*arguments):
            done = subprocess.run([PANEWALK, "find", *arguments], capture_output=True, text=True,
                                  stdin=subprocess.DEVNULL, timeout=PATIENCE, check=False)
            return done.returncode, done.stdout, done.stderr
        self.assertEqual(run(SITE, "slip-windw"), (
            2, "", 'no prop is named "slip-windw"; did you mean "slip-window"?\n'))
        self.assertEqual(run(SITE, "slip-window", "--fault", "slip-window:none")[0], 2)
        self.assertEqual(run(SITE, "slip-window", "--place", "shed")[0], 2)
        with open("broken.json", "w", encoding="ascii") as file:
            file.write("{}")
        status, out, err = run("broken.json", "slip-window")
        self.assertEqual((status, out), (3, ""))
        self.assertTrue(err.startswith("broken.json:1:1: "), err)

    def test_every_search_is_kept_and_begins_anew(self):
        with Find("slip-window", site=self.site) as find:
            find.hear()
            find.say("unsure")
            find.hear()
            find.end()
        with Find("slip-window", site=self.site) as find:
            find.search(Builder(self.sound, self.sound))
        kept = subprocess.run([PANEWALK, "logbook", self.site, "--as", "csv"], check=True,
                              capture_output=True, text=True).stdout.split("\n")[1:-1]
        kinds = [line.split(",")[2] for line in kept[-12:]]
        begun = [i for i, kind in enumerate(kinds) if kind == "find begun"]
        self.assertGreaterEqual(len(begun), 2)
        self.assertEqual(kinds[begun[-2]:begun[-1]], ["find begun", "find answer"])
        self.assertEqual(set(kinds[begun[-1] + 1:-1]), {"find answer"})
        self.assertEqual(kinds[-1], "finding")


if __name__ == "__main__":
    main()
