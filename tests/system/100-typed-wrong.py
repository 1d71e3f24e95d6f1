"""What is typed wrong is answered in the words that were typed, with the nearest right thing."""
import os
import subprocess
import unittest

from running import PANEWALK, SOURCE, main

SITE = "config/boathouse.json"
USAGE = 2


class TypedWrong(unittest.TestCase):
    def said(self, *words):
        done = subprocess.run([PANEWALK, *words], cwd=SOURCE, stdin=subprocess.DEVNULL, capture_output=True,
                              text=True, timeout=60, check=False, env={**os.environ, "XDG_STATE_HOME": os.getcwd()})
        self.assertEqual((done.returncode, done.stdout), (USAGE, ""))
        return done.stderr

    def test_nothing(self):
        self.assertEqual(
            self.said(), "say what to do: validate, map, wire, power, sheet, light, find, serve, scan, demo, logbook "
                         "or manual; `panewalk help` tells more\n")

    def test_a_command(self):
        self.assertEqual(self.said("lihgt"), 'no command is named "lihgt"; did you mean "light"?\n')

    def test_a_prop(self):
        self.assertEqual(self.said("light", SITE, "slip-windo", "chase", "--practice"),
                         'no prop is named "slip-windo"; did you mean "slip-window"?\n')

    def test_a_pattern(self):
        self.assertEqual(self.said("light", SITE, "slip-window", "chse", "--practice"),
                         'no pattern is named "chse"; did you mean "chase"?\n')

    def test_a_region(self):
        self.assertEqual(
            self.said("light", SITE, "slip-window", "chase", "--region", "pane Z9", "--practice"),
            '--region: this prop has no pane Z9; it has "pane A1", "pane B1", "pane A2" and "pane B2"\n')


if __name__ == "__main__":
    main()
