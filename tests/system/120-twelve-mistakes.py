"""A site folder with twelve different mistakes: all twelve are told at once, each at its place.

Lines and columns are counted by hand in tests/golden/twelve, in characters from 1. The figures:
  823 chips at 40 per second: 25 ms less 300 µs of reset, by 24 bits at 800 kHz, 30 µs a chip;
  36 per second: 900 chips take 27.0 ms and the reset, 27.3 ms, 36.6 times a second;
  universe 5: 30 RGB pixels from channel 1 end at 90, the other ones begin at 61;
  200: E1.31-2018 §6.2.3; 32767: Art-Net 4, Port-Address, 15 bits.
"""
import os
import subprocess
import unittest

from running import PANEWALK, SOURCE, use_own_state_folder

FOLDER = os.path.join(SOURCE, "tests", "golden", "twelve")

TOLD = [
    # range
    'site.json:6:80: /controllers/2/priority: 201 is out of range; from 0 to 200',
    # overlap, both places named
    'site.json:10:90: /props/1/universe: "rail-west" takes universe 5 channels 61 to 90, which '
    '"rail-east" takes too (/props/0/universe); free from universe 6 on',
    # a name that is not there
    'site.json:11:70: /props/2/controller: no controller is named "bensh"; did you mean "bench"?',
    # universe out of range
    'site.json:12:90: /props/3/universe: 32768 is no Port-Address; allowed: 0 to 32767',
    # a chain too long
    'site.json:13:5: /props/4: "ridge" has 900 chips in one chain on "yard"; at most 823 at 40 per '
    'second, or a rate of at most 36 per second',
    # unknown key
    'site.json:21:3: /walks: unknown name; did you mean "walk"?',
    # no unit; in its line stand characters of two and three bytes
    'props/post.json:3:110: /sections/0/window/columns/pitch: the number 80 has no unit; a length '
    'such as "80 mm", "30 cm", "1.2 m", "3 1/2 in" or "4 ft"',
    # form of the text: placed where a value was expected
    'props/crate.json:3:127: a comma with nothing after it; no comma after the last one',
    # an even count under a centred bar
    'props/hatch.json:7:19: /sections/0/window/panes/0: 2 even panes side by side need an upright in '
    'the middle, and 12 columns have no middle one; 11 or 13 columns work',
    # wiring: no bar; placed at the stop inside the run
    'props/gate.json:9:13: /wiring/route/1: no bar joins B1 and C2; stops of one run follow each '
    'other along one upright or level; end the run here and begin another for a jump',
    # wiring: a station left out
    'props/shutter.json:6:24: /wiring/route: A1-A2/1 is visited by no run; each station is visited '
    'once; list it under "empty" if it has no pixel',
    # geometry, one point in two units
    'props/stay.json:4:49: /sections/0/line/to: the line ends where it begins; two different points',
]


class TwelveMistakes(unittest.TestCase):
    maxDiff = None

    def check(self, *arguments):
        done = subprocess.run([PANEWALK, *arguments], cwd=FOLDER, capture_output=True, text=True,
                              stdin=subprocess.DEVNULL, timeout=60, check=False)
        self.assertEqual(done.stderr.splitlines(), TOLD)
        self.assertTrue(done.stderr.endswith("\n"))
        self.assertEqual(done.returncode, 3)
        self.assertEqual(done.stdout, "")

    def test_validate_tells_all_twelve(self):
        self.check("validate", "site.json")

    def test_validate_effective_prints_no_half_a_site(self):
        self.check("validate", "site.json", "--effective")

    def test_other_commands_tell_the_same(self):
        self.check("map", "site.json", "rail-east")
        self.check("light", "site.json", "rail-east", "chase", "--practice")
        self.check("serve", "site.json", "--listen", "127.0.0.1:0")


if __name__ == "__main__":
    use_own_state_folder()
    unittest.main()
