"""`panewalk map` of the demo's slip-window, against a table typed by hand from the drawing.

Worked out from config/props/slip-window.json alone. Columns 1 to 11 are 90 mm apart. Rows 1 to 13 lie
at 0, 60, 150, 240, 330, 420, 510, 600, 690, 780, 870, 960 and 1020 mm. So joints A, B, C stand at
x 0, 450, 900 and joints 1, 2, 3 at y 0, 510, 1020: 44 stations around, 20 on the cross, 1 counted
in both, 63 in all. RGB pixels in universe 1 from channel 1: pixel n begins at channel 3 n - 2.

Wire, along the bars:
  jump 44 to 45: A3-B3/1 (90, 1020) to B3, 360 mm, up to B2-B3/5 (450, 960), 60 mm: 420 mm
  jump 55 to 56: B1-B2/1 (450, 60) down to B2, 450 mm, left to A2-B2/1 (90, 510), 360 mm: 810 mm
                 (around by B1, A1 and A2 it would be 1110 mm)
  hop 59 to 60:  A2-B2/4 (360, 510) to B2-C2/1 (540, 510): 180 mm
"""
import csv
import io
import json
import os
import subprocess
import unittest

from running import PANEWALK, SOURCE, use_own_state_folder

# index, station, x mm, y mm, run, reached by, universe, channel
TABLE = """
 1 A3      0   1020 1 lead-in 1   1
 2 A2-A3/5 0    960 1 run     1   4
 3 A2-A3/4 0    870 1 run     1   7
 4 A2-A3/3 0    780 1 run     1  10
 5 A2-A3/2 0    690 1 run     1  13
 6 A2-A3/1 0    600 1 run     1  16
 7 A2      0    510 1 run     1  19
 8 A1-A2/5 0    420 1 run     1  22
 9 A1-A2/4 0    330 1 run     1  25
10 A1-A2/3 0    240 1 run     1  28
11 A1-A2/2 0    150 1 run     1  31
12 A1-A2/1 0     60 1 run     1  34
13 A1      0      0 1 run     1  37
14 A1-B1/1 90     0 1 run     1  40
15 A1-B1/2 180    0 1 run     1  43
16 A1-B1/3 270    0 1 run     1  46
17 A1-B1/4 360    0 1 run     1  49
18 B1      450    0 1 run     1  52
19 B1-C1/1 540    0 1 run     1  55
20 B1-C1/2 630    0 1 run     1  58
21 B1-C1/3 720    0 1 run     1  61
22 B1-C1/4 810    0 1 run     1  64
23 C1      900    0 1 run     1  67
24 C1-C2/1 900   60 1 run     1  70
25 C1-C2/2 900  150 1 run     1  73
26 C1-C2/3 900  240 1 run     1  76
27 C1-C2/4 900  330 1 run     1  79
28 C1-C2/5 900  420 1 run     1  82
29 C2      900  510 1 run     1  85
30 C2-C3/1 900  600 1 run     1  88
31 C2-C3/2 900  690 1 run     1  91
32 C2-C3/3 900  780 1 run     1  94
33 C2-C3/4 900  870 1 run     1  97
34 C2-C3/5 900  960 1 run     1 100
35 C3      900 1020 1 run     1 103
36 B3-C3/4 810 1020 1 run     1 106
37 B3-C3/3 720 1020 1 run     1 109
38 B3-C3/2 630 1020 1 run     1 112
39 B3-C3/1 540 1020 1 run     1 115
40 B3      450 1020 1 run     1 118
41 A3-B3/4 360 1020 1 run     1 121
42 A3-B3/3 270 1020 1 run     1 124
43 A3-B3/2 180 1020 1 run     1 127
44 A3-B3/1 90  1020 1 run     1 130
45 B2-B3/5 450  960 2 jump    1 133
46 B2-B3/4 450  870 2 run     1 136
47 B2-B3/3 450  780 2 run     1 139
48 B2-B3/2 450  690 2 run     1 142
49 B2-B3/1 450  600 2 run     1 145
50 B2      450  510 2 run     1 148
51 B1-B2/5 450  420 2 run     1 151
52 B1-B2/4 450  330 2 run     1 154
53 B1-B2/3 450  240 2 run     1 157
54 B1-B2/2 450  150 2 run     1 160
55 B1-B2/1 450   60 2 run     1 163
56 A2-B2/1 90   510 3 jump    1 166
57 A2-B2/2 180  510 3 run     1 169
58 A2-B2/3 270  510 3 run     1 172
59 A2-B2/4 360  510 3 run     1 175
60 B2-C2/1 540  510 4 hop     1 178
61 B2-C2/2 630  510 4 run     1 181
62 B2-C2/3 720  510 4 run     1 184
63 B2-C2/4 810  510 4 run     1 187
"""
COLUMNS = ["index", "station", "x_mm", "y_mm", "run", "reached_by", "universe", "channel"]
ROWS = [line.split() for line in TABLE.strip().splitlines()]
IS_TEXT = {"station", "reached_by"}


def asked(form):
    done = subprocess.run(
        [PANEWALK, "map", os.path.join(SOURCE, "config", "boathouse.json"), "slip-window", *form],
        capture_output=True, text=True, timeout=60, check=False)
    if done.returncode != 0 or done.stderr:
        raise AssertionError(f"map {form}: {done.returncode} {done.stderr}")
    return done.stdout


def valued(row):
    """A row of texts with its figures as numbers, so that 90 and 90.0 are the same."""
    return [text if name in IS_TEXT else float(text) for name, text in zip(COLUMNS, row)]


class MapOfTheSlipWindow(unittest.TestCase):
    maxDiff = None

    def test_the_table_is_whole(self):
        self.assertEqual([int(row[0]) for row in ROWS], list(range(1, 64)))
        self.assertEqual({len(row) for row in ROWS}, {8})
        self.assertEqual(len({row[1] for row in ROWS}), 63)

    def test_json(self):
        told = json.loads(asked(["--as", "json"]))
        self.assertEqual(sorted(told), sorted(
            ["prop", "pixels", "runs", "hops", "jumps", "jump_wire_mm"]))
        self.assertEqual(told["prop"], "slip-window")
        self.assertEqual((told["runs"], told["hops"], told["jumps"]), (4, 1, 2))
        self.assertAlmostEqual(told["jump_wire_mm"], 1410, places=6)  # 420 + 810 + 180
        for pixel in told["pixels"]:
            self.assertEqual(sorted(pixel), sorted([*COLUMNS, "controller"]))
            self.assertEqual(pixel["controller"], "bench")
            for name in COLUMNS:
                self.assertIs(isinstance(pixel[name], str), name in IS_TEXT, name)
            for name in ("index", "run", "universe", "channel"):
                self.assertIsInstance(pixel[name], int, name)
        self.assertEqual([[pixel[name] for name in COLUMNS] for pixel in told["pixels"]],
                         [valued(row) for row in ROWS])

    def test_csv(self):
        read = list(csv.reader(io.StringIO(asked(["--as", "csv"]), newline="")))
        self.assertEqual(read[0], ["index", "station", "x_mm", "y_mm", "run", "reached_by",
                                   "controller", "universe", "channel"])
        self.assertEqual({row[6] for row in read[1:]}, {"bench"})
        self.assertEqual([valued(row[:6] + row[7:]) for row in read[1:]],
                         [valued(row) for row in ROWS])

    def test_table(self):
        text = asked(["--as", "table"])
        lines = text.splitlines()
        self.assertEqual(lines[0].split(), "index station x mm y mm run reached by controller "
                                           "universe channel".split())
        told = [line.split() for line in lines[1:64]]
        self.assertEqual({row[6] for row in told}, {"bench"})
        self.assertEqual([valued(row[:6] + row[7:]) for row in told], [valued(row) for row in ROWS])
        # What is left is the summary, with the counts and the wire of the drawing.
        self.assertEqual(lines[64:], ["slip-window: 63 pixels in 4 runs, 1 hop and 2 jumps, "
                                      "1410 mm of wire for them"])
        self.assertEqual(asked([]), text)


if __name__ == "__main__":
    use_own_state_folder()
    unittest.main()
