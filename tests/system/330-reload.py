"""SIGHUP makes `serve` read its site again; a broken one changes nothing on the wire."""
import os
import signal
import unittest

from running import Daemon, Receiver, controller, main, make_site, prop, wait_for


class Reload(unittest.TestCase):
    def setUp(self):
        self.first = Receiver()
        self.second = Receiver()
        self.addCleanup(self.first.close)
        self.addCleanup(self.second.close)
        self.site = self.write(self.first, universe=1)
        self.daemon = Daemon(self.site)
        self.addCleanup(self.daemon.__exit__)

    @staticmethod
    def write(receiver, universe, names=("slip-window", "door-ring")):
        return make_site("site", [controller("bench", "e131", f"127.0.0.1:{receiver.port}")],
                         [prop(name, "bench", universe + i) for i, name in enumerate(names)])

    def reload(self, said):
        lines = self.daemon.lines["out"] + self.daemon.lines["err"]
        before = lines.count(said)
        self.daemon.signal(signal.SIGHUP)
        wait_for(lambda: (self.daemon.lines["out"] + self.daemon.lines["err"]).count(said) > before,
                 said)

    def light(self):
        self.daemon.light("slip-window", pattern="colour-roll")
        wait_for(lambda: self.first.light(1) and not self.first.light(1)[-1].black, "light")

    def end(self):
        self.assertEqual(self.daemon.end(signal.SIGTERM), 0)

    def test_a_changed_site_is_taken_and_the_light_goes_on(self):
        self.light()
        self.write(self.second, universe=7)
        self.reload(f"panewalk: {self.site} was read again")
        self.assertEqual(self.daemon.err(), "")
        wait_for(lambda: self.second.light(7) and not self.second.light(7)[-1].black,
                 "the same light at the new place")
        # What is no longer sent was ended: E1.31-2018 6.2.6.
        for universe in (1, 2):
            self.assertEqual([(p.ended, p.black) for p in self.first.light(universe)[-4:]],
                             [(False, True), (True, True), (True, True), (True, True)])
        self.assertEqual([p["universe"] for p in self.daemon.get("/api/site")["props"]], [7, 8])
        light = self.daemon.get("/api/light")
        self.assertEqual((light["mode"], light["pattern"]), ("lit", "colour-roll"))
        self.assertTrue(self.second.light(8)[-1].black)
        self.end()
        wait_for(lambda: sum(p.ended for p in self.second.light(7)) == 3, "the end of 7")

    def test_what_is_lit_and_no_longer_there_goes_dark(self):
        self.light()
        self.write(self.second, universe=7, names=("door-ring",))
        self.reload(f"panewalk: {self.site} was read again")
        wait_for(lambda: self.second.light(7), "the new site is sent")
        wait_for(lambda: self.daemon.get("/api/light")["mode"] == "dark", "dark")
        self.assertTrue(all(p.black for p in self.second.light(7)))
        self.assertTrue(self.first.light(1)[-1].ended)
        self.end()

    def test_a_silent_daemon_stays_silent(self):
        self.write(self.second, universe=7)
        self.reload(f"panewalk: {self.site} was read again")
        self.assertEqual(self.daemon.get("/api/light")["mode"], "silent")
        self.end()
        self.assertEqual(self.first.datagrams + self.second.datagrams, [])

    def check_broken(self, text, problems):
        with open(self.site, "w", encoding="utf-8") as file:
            file.write(text)
        before = len(self.first.datagrams)
        self.reload(f"panewalk: {self.site} was not taken; the site from before goes on")
        self.assertEqual(self.daemon.lines["err"], [
            *problems, f"panewalk: {self.site} was not taken; the site from before goes on"])
        self.assertEqual(len(self.daemon.lines["out"]), self.said)
        wait_for(lambda: len(self.first.light(1, before)) > 40, "the old one goes on")
        numbers = [p.sequence for p in self.first.light(1)]
        self.assertEqual([(a + 1) % 256 for a in numbers[:-1]], numbers[1:])
        self.assertFalse(any(p.ended for p in self.first.light(1)))
        self.assertEqual(self.daemon.get("/api/light")["mode"], "lit")
        # Mended, it is taken.
        self.write(self.second, universe=7)
        self.reload(f"panewalk: {self.site} was read again")
        wait_for(lambda: self.second.light(7), "the mended site is sent")
        self.end()

    def light_chase(self):
        self.daemon.light("slip-window", pattern="chase")
        wait_for(lambda: self.first.light(1) and not self.first.light(1)[-1].black, "light")
        self.said = len(self.daemon.lines["out"])

    def test_a_broken_text(self):
        self.light_chase()
        self.check_broken('{\n  "site": "boathouse",\n}\n', [
            f"{self.site}:3:1: a comma with nothing after it; no comma after the last one"])

    def test_a_site_with_faults(self):
        self.light_chase()
        self.check_broken(
            '{ "site": "boathouse",\n'
            '  "controllers": [{ "name": "bench", "protocol": "e131", "address": "127.0.0.1" }],\n'
            '  "props": [{ "file": "props/slip-window.json", "controller": "bnch",\n'
            '              "universe": 64000 }] }\n', [
                f'{self.site}:3:63: /props/0/controller: no controller is named "bnch"; did you '
                'mean "bench"?',
                f"{self.site}:4:27: /props/0/universe: 64000 is out of range; from 1 to 63999 with "
                "E1.31, from 0 to 32767 with Art-Net"])

    def test_a_site_that_is_gone(self):
        self.light_chase()
        os.remove(self.site)
        self.reload(f"panewalk: {self.site} was not taken; the site from before goes on")
        self.assertEqual(self.daemon.lines["err"][:-1], [f"{self.site}: there is no such file"])
        self.assertEqual(self.daemon.get("/api/light")["mode"], "lit")
        self.end()


if __name__ == "__main__":
    main()
