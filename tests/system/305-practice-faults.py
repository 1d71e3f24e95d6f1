"""`--fault`: the practice yard shows what a prop with a fault would show for the real packets."""
import os
import signal
import unittest

from running import PATIENCE, SOURCE, Daemon, Program, controller, main, make_site, prop, wait_for

BOATHOUSE = os.path.join(SOURCE, "config", "boathouse.json")


def run(*arguments):
    """(exit status, output, errors) of the program."""
    with Program(*arguments) as program:
        status = program.end(seconds=4 * PATIENCE)
    return status, program.out(), program.err()


class Light(unittest.TestCase):
    def light(self, *faults):
        asked = [word for fault in faults for word in ("--fault", fault)]
        return run("light", BOATHOUSE, "slip-window", "colour-roll", "--practice", "--seconds", "3",
                   *asked)

    def test_without_a_fault_all_is_well(self):
        status, out, err = self.light("slip-window:none")
        self.assertEqual((status, err), (0, ""))
        self.assertIn("Faults in the yard: slip-window:none.\n", out)
        self.assertIn(", each as the map says; 63 of 63 pixels were lit, each at its station.", out)

    def test_a_break_is_seen(self):
        status, out, err = self.light("slip-window:data-open=17")
        self.assertEqual((status, err), (1, ""))
        self.assertIn("Faults in the yard: slip-window:data-open=17.\n", out)
        self.assertRegex(out, r"differed from the map; the first: pixel 18 at B1: sent red \d+ green "
                              r"0 blue 0, showed dark\.")

    def test_faults_of_other_props_are_not_seen_here(self):
        status, _, err = self.light("door-ring:no-response", "gable-line:nulls=0")
        self.assertEqual((status, err), (0, ""))


class WrongUsage(unittest.TestCase):
    def test_everything_wrong_is_said_at_once(self):
        for command in (("light", BOATHOUSE, "slip-window", "chase", "--practice"),
                        ("serve", BOATHOUSE, "--practice", "--listen", "127.0.0.1:0"),
                        ("demo", BOATHOUSE, "slip-window")):
            status, out, err = run(
                *command, "--fault", "slip-windw:turned", "--fault", "slip-window:tuned",
                "--fault", "slip-window:data-open=63", "--fault", "slip-window:surprise")
            self.assertEqual((status, out), (2, ""))
            self.assertEqual(err.splitlines(), [
                '--fault slip-windw:turned: no prop is named "slip-windw"; did you mean '
                '"slip-window"?',
                '--fault slip-window:tuned: no fault is named "tuned"; did you mean "turned"?',
                '--fault slip-window:data-open=63: "63" is not allowed; 1 to 62'])

    def test_real_lights_have_no_faults_on_request(self):
        for command in (("light", BOATHOUSE, "slip-window", "chase"),
                        ("serve", BOATHOUSE, "--listen", "127.0.0.1:0")):
            status, out, err = run(*command, "--fault", "slip-window:turned")
            self.assertEqual((status, out), (2, ""))
            self.assertEqual(err.splitlines()[0], "--fault requires --practice")


class Demo(unittest.TestCase):
    def test_a_surprise_shows_and_is_not_told(self):
        status, out, err = run("demo", BOATHOUSE, "slip-window", "--fault", "slip-window:surprise")
        self.assertEqual((status, err), (1, ""))
        self.assertIn("Faults in the yard: slip-window:surprise.\n", out)
        self.assertRegex(out, r"\nVerdict: \d+ pictures differed from the map or never came\.\n")
        self.assertEqual(out.count("slip-window:"), 2, "the heading and what was asked")
        self.assertNotRegex(out, r"(open|dark|stuck|colour|order|reversed|swapped|skipped|extra|late|"
                                 r"nulls|channel|packing|missing|shifted|short|exchanged|sag)=")


class Serve(unittest.TestCase):
    def setUp(self):
        self.site = make_site(
            "site", [controller("bench", "e131", "127.0.0.1"),
                     controller("yard", "artnet", "127.0.0.1")],
            [prop("slip-window", "bench", 1), prop("gable-line", "yard", 10),
             prop("door-ring", "yard", 12)])

    def shown(self, daemon):
        """What each prop shows, and whether that is what was sent to it."""
        light = {lit["prop"]: lit for lit in daemon.get("/api/light")["props"]}
        return {name: "dark" if not lit["shown"].strip("0") else
                "as sent" if lit["shown"] == lit["sent"] else "otherwise"
                for name, lit in light.items()}

    def wait_for_shown(self, daemon, **expected):
        expected = {name.replace("_", "-"): what for name, what in expected.items()}
        wait_for(lambda: self.shown(daemon) == expected, expected)

    def test_exchanged_leads_light_the_other_prop_and_stay_after_a_reload(self):
        with Daemon(self.site, "--practice", "--fault",
                    "slip-window:leads-exchanged=gable-line") as daemon:
            self.assertIn("Faults in the yard: slip-window:leads-exchanged=gable-line.",
                          daemon.lines["out"])
            daemon.light("slip-window", pattern="load-step")
            self.wait_for_shown(daemon, slip_window="dark", gable_line="otherwise",
                                door_ring="dark")
            daemon.light("gable-line", "door-ring", pattern="load-step")
            self.wait_for_shown(daemon, slip_window="otherwise", gable_line="dark",
                                door_ring="as sent")
            daemon.signal(signal.SIGHUP)
            wait_for(lambda: f"panewalk: {self.site} was read again" in daemon.lines["out"],
                     "the site is read again")
            self.wait_for_shown(daemon, slip_window="otherwise", gable_line="dark",
                                door_ring="as sent")
            self.assertEqual(daemon.end(signal.SIGTERM), 0)
            self.assertEqual(daemon.err(), "")


if __name__ == "__main__":
    main()
