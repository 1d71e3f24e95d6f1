"""`panewalk power` of the demo's slip-window and of small props, against a computation of its own.

The window's wires are typed from the drawing (see 110-map-of-the-slip-window.py): 60 and 90 mm along
the bars, 420, 810 and 180 mm for the splices, 510 + 810 mm for the tie-back. 18 AWG is 1.0237 mm thick
(ASTM B258), copper has 1.7241e-8 ohm metres (IACS). Every pair of nodes is a resistor; the rest is
Gaussian elimination.
"""
import json
import math
import os
import subprocess
import unittest

from running import PANEWALK, SOURCE, controller, make_site, prop, use_own_state_folder

SITE = os.path.join(SOURCE, "config", "boathouse.json")
PAIR = 2 * 1.7241e-8 / (math.pi / 4 * 1.0237e-3 ** 2)  # ohms a metre of pair

# Millimetres from each pixel to the next: up the left stile, along the top, down the right stile,
# along the bottom; the jump, up the mullion; the jump, along the crossbar with its hop.
STILE = [60, 90, 90, 90, 90, 90, 90, 90, 90, 90, 90, 60]
WIRES = (STILE + [90] * 10 + STILE + [90] * 9 + [420] + [90] * 10 +
         [810] + [90] * 3 + [180] + [90] * 3)


def solved(matrix, right):
    """Gaussian elimination with partial pivoting."""
    n = len(right)
    rows = [row[:] + [value] for row, value in zip(matrix, right)]
    for i in range(n):
        best = max(range(i, n), key=lambda r: abs(rows[r][i]))
        rows[i], rows[best] = rows[best], rows[i]
        for r in range(i + 1, n):
            factor = rows[r][i] / rows[i][i]
            if factor:
                for c in range(i, n + 1):
                    rows[r][c] -= factor * rows[i][c]
    values = [0.0] * n
    for i in reversed(range(n)):
        rest = sum(rows[i][c] * values[c] for c in range(i + 1, n))
        values[i] = (rows[i][n] - rest) / rows[i][i]
    return values


def window(amps, tie_back_mm=1320):
    """Volts of the 63 pixels on 12 V at pixel 1 and behind the tie-back; amps of both feeds."""
    count = len(WIRES) + 1
    matrix = [[0.0] * count for _ in range(count)]
    right = [-amps] * count
    for i, length in enumerate(WIRES):
        siemens = 1000 / (PAIR * length)
        matrix[i][i] += siemens
        matrix[i + 1][i + 1] += siemens
        matrix[i][i + 1] -= siemens
        matrix[i + 1][i] -= siemens
    tie = 1000 / (PAIR * tie_back_mm)
    matrix[-1][-1] += tie
    right[-1] += tie * 12
    matrix[0] = [1.0] + [0.0] * (count - 1)
    right[0] = 12.0
    volts = solved(matrix, right)
    back = (12 - volts[-1]) * tie
    return volts, (count * amps - back, back)


def asked(*words, status=0):
    done = subprocess.run([PANEWALK, "power", *words], capture_output=True, text=True, timeout=60,
                          check=False)
    if done.returncode != status:
        raise AssertionError(f"power {words}: {done.returncode} {done.stderr}")
    return done.stdout if status == 0 else done.stderr


def told(*words):
    return json.loads(asked(*words, "--as", "json"))


class PowerOfTheSlipWindow(unittest.TestCase):
    maxDiff = None

    def check(self, answer, amps):
        volts, feeds = window(amps)
        self.assertEqual([pixel["index"] for pixel in answer["pixels"]], list(range(1, 64)))
        for pixel, expected in zip(answer["pixels"], volts):
            self.assertAlmostEqual(pixel["volts"], expected, delta=2e-5)
            self.assertAlmostEqual(pixel["amps"], amps, places=6)
        self.assertEqual([feed["at"] for feed in answer["feeds"]], ["lead-in", "tie-back"])
        for feed, expected in zip(answer["feeds"], feeds):
            self.assertAlmostEqual(feed["amps"], expected, delta=2e-4)
        self.assertAlmostEqual(answer["amps"], 63 * amps, places=6)
        self.assertAlmostEqual(answer["watts"], 12 * 63 * amps, places=5)
        lowest = min(volts)
        self.assertAlmostEqual(answer["lowest"]["volts"], lowest, delta=2e-5)
        self.assertEqual(answer["lowest"]["index"], volts.index(lowest) + 1)

    def test_full_white(self):
        answer = told(SITE, "slip-window")
        self.assertEqual(list(answer), ["lowest", "pixels", "feeds", "amps", "watts",
                                        "level_limit", "fuses"])
        self.check(answer, 0.045)
        self.assertEqual(answer["lowest"]["station"], "B3")
        # 18 AWG, 5 A at most: 1.25 times 1.80 and 1.04 A in blade sizes.
        self.assertEqual(answer["fuses"], [{"leg": "lead-in", "amps": 3},
                                           {"leg": "tie-back", "amps": 2}])

    def test_half_level_and_a_reading(self):
        self.check(told(SITE, "slip-window", "--level", "50"), 0.001 + 0.5 * 0.044)
        self.check(told(SITE, "slip-window", "--ten-white", "310 mA", "--ten-black", "19.6 mA"),
                   0.031)

    def test_the_level_limit_counts_what_else_is_on_the_supply(self):
        # 8 A for 63 px of 1 and 45 mA, 126 of 2 and 41, 28 of 1 and 60.
        idle = 0.063 + 0.252 + 0.028
        full = 63 * 0.045 + 126 * 0.041 + 28 * 0.060
        expected = (8 - idle) / (full - idle)
        for name in ("slip-window", "loft-windows", "door-ring"):
            self.assertAlmostEqual(told(SITE, name)["level_limit"], expected, delta=2e-6)
        self.assertEqual(told(SITE, "gable-line")["level_limit"], 1)

    def test_a_pattern_is_judged_by_its_worst_picture(self):
        chase = told(SITE, "slip-window", "--pattern", "chase")
        self.assertLess(chase["amps"], 0.4)
        self.assertGreater(chase["lowest"]["volts"], told(SITE, "slip-window")["lowest"]["volts"])
        self.assertIn("no pattern is named \"chas\"; did you mean \"chase\"?",
                      asked(SITE, "slip-window", "--pattern", "chas", status=2))

    def test_the_report_for_the_bench(self):
        text = asked(SITE, "slip-window")
        for words in ("slip-window, full white: 2.84 A, 34.02 W from 12 V (",
                      "From the BACK: where the mullion meets the bottom rail",
                      "Lowest: 11.87 V at pixel 40 at B3", "White turns warm below 10.1 V",
                      "Level limit: 82.0 %", "lead-in: 3 A, carries 1.80 A",
                      "20 AWG: lowest 11.80 V, the thinnest that is enough",
                      "This supply is not Class 2", "licensed electrician"):
            self.assertIn(words, text.replace("\n", " "))
        reading = asked(SITE, "slip-window", "--near-volts", "12", "--far-volts", "11.9")
        self.assertIn("lost to the last pixel: 0.10 V measured, 0.06 V computed", reading)
        self.assertIn("the volts of one end alone",
                      asked(SITE, "slip-window", "--near-volts", "12", status=2))

    def test_wrong_volts_are_refused_with_both_places(self):
        supply = {"supply": {"volts": 5, "amps": 10}}
        site = make_site("volts", [controller("bench", "e131", "127.0.0.1", **supply)],
                         [prop("slip-window", "bench", 1)])
        self.assertEqual(
            asked(site, "slip-window", status=3).split(": ", 1)[1],
            "/props/0/controller: these pixels take 12 V (volts/props/slip-window.json: "
            "/pixel/volts), but the supply of \"bench\" gives 5 V (/controllers/0/supply/volts); "
            "a supply of the pixels' volts; the wrong one destroys them\n")

    def test_regulated_pixels_that_collapse(self):
        site = make_site("collapse", [controller("bench", "e131", "127.0.0.1")],
                         [prop("eaves-line", "bench", 1)])
        path = os.path.join("collapse", "props", "eaves-line.json")
        with open(path, encoding="utf-8") as file:
            line = json.load(file)
        line["pixel"].update(draws="constant power", full_white="400 mA")
        line["power"] = {"wire": "22 AWG"}
        with open(path, "w", encoding="utf-8") as file:
            json.dump(line, file)
        answer = told(site, "eaves-line")
        self.assertIsNone(answer["lowest"])
        self.assertIsNone(answer["amps"])
        self.assertGreater(answer["level_limit"], 0.001)
        self.assertLess(answer["level_limit"], 0.2)
        self.assertIn("collapses", asked(site, "eaves-line"))


if __name__ == "__main__":
    use_own_state_folder()
    unittest.main()
