"""The CID says who a source is. It must stay the same for ever, or be missed aloud."""
import os
import re
import signal
import stat
import tempfile
import unittest

from running import Daemon, Program, Receiver, controller, main, make_site, prop, wait_for

# RFC 4122 section 4.4: the 4 and the first of the fourth group.
UUID = re.compile(r"^[0-9a-f]{8}-[0-9a-f]{4}-4[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}\n$")


class Cid(unittest.TestCase):
    def setUp(self):
        self.receiver = Receiver()
        self.addCleanup(self.receiver.close)
        self.site = make_site(
            "site", [controller("bench", "e131", f"127.0.0.1:{self.receiver.port}")],
            [prop("slip-window", "bench", 1)])
        self.state = tempfile.mkdtemp(prefix="s")
        self.environment = {**os.environ, "XDG_STATE_HOME": self.state}
        self.file = os.path.join(self.state, "panewalk", "cid")

    def cids_of_a_run(self, command="serve", number=signal.SIGTERM, **environment):
        before = len(self.receiver.datagrams)
        env = {**self.environment, **environment}
        if command == "serve":
            with Daemon(self.site, env=env) as daemon:
                daemon.light("slip-window")
                wait_for(lambda: len(self.receiver.light(1, before)) > 3, "packets")
                daemon.end(number)
        else:
            with Program("light", self.site, "slip-window", "chase", "--seconds", "0.5",
                         env=env) as light:
                self.assertEqual(light.end(), 0)
            wait_for(lambda: any(p.ended for p in self.receiver.light(1, before)), "the end")
        return {packet.cid for packet in self.receiver.light(1, before)}

    def refused(self, inside=(), **environment):
        env = {**self.environment, **environment}
        env = {name: value for name, value in env.items() if value is not None}
        with Program("serve", self.site, "--listen", "127.0.0.1:0", inside=inside,
                     env=env) as program:
            self.assertEqual(program.end(), 1, program.out() + program.err())
        self.assertEqual(program.out(), "")
        self.assertEqual(self.receiver.datagrams, [])
        return program.err()

    def test_two_at_once_are_two_components(self):
        """Two streams of one CID would mix their sequence numbers (E1.31-2018 6.7.2)."""
        (first,) = self.cids_of_a_run()
        with Daemon(self.site, env=self.environment) as daemon:
            daemon.light("slip-window")
            wait_for(lambda: len(self.receiver.light(1)) > 3, "packets")
            before = len(self.receiver.datagrams)
            with Program("light", self.site, "slip-window", "chase", "--seconds", "1",
                         env=self.environment) as light:
                self.assertEqual(light.end(), 0)
            together = self.receiver.light(1, before)
            daemon.end(signal.SIGTERM)
        cids = {packet.cid for packet in together}
        self.assertEqual(len(cids), 2)
        self.assertIn(first, cids)
        (again,) = self.cids_of_a_run()
        self.assertEqual(again, first)

    def test_it_is_the_same_after_every_kind_of_end(self):
        (first,) = self.cids_of_a_run()
        with open(self.file, encoding="ascii") as file:
            text = file.read()
        self.assertRegex(text, UUID)
        self.assertEqual(text.strip().replace("-", ""), first)
        for number in (signal.SIGKILL, signal.SIGINT):
            self.assertEqual(self.cids_of_a_run(number=number), {first})
        self.assertEqual(self.cids_of_a_run("light"), {first})

    def test_each_state_folder_has_its_own(self):
        (first,) = self.cids_of_a_run()
        (other,) = self.cids_of_a_run(STATE_DIRECTORY=os.path.abspath("of-the-service"))
        self.assertNotEqual(first, other)
        self.assertTrue(os.path.exists("of-the-service/cid"))

    def test_what_is_no_uuid_is_refused_with_its_place(self):
        os.makedirs(os.path.dirname(self.file))
        for text, found in (("the boathouse\n", '"the boathouse"'), ("", '""'),
                            ("1b4e28ba-2fa1-41d2-883f\n", '"1b4e28ba-2fa1-41d2-883f"')):
            with open(self.file, "w", encoding="ascii") as file:
                file.write(text)
            self.assertEqual(
                self.refused(),
                f"{self.file}:1:1: {found} is not a UUID, which says who we are on the network; "
                "put back the one it had, or remove the file for a new one")
            with open(self.file, encoding="ascii") as file:
                self.assertEqual(file.read(), text)

    def test_a_folder_that_cannot_be_made(self):
        with open("a-file", "w", encoding="ascii"):
            pass
        place = os.path.abspath("a-file")
        self.assertEqual(
            self.refused(STATE_DIRECTORY=os.path.join(place, "state")),
            f"{place}/state: the folder can't be made: Not a directory; "
            "set STATE_DIRECTORY to a folder that may be written")

    def test_a_folder_that_may_only_be_read(self):
        os.makedirs(os.path.dirname(self.file))
        os.chmod(os.path.dirname(self.file), stat.S_IRUSR | stat.S_IXUSR)
        self.addCleanup(os.chmod, os.path.dirname(self.file), stat.S_IRWXU)
        # Root may write everywhere, as long as it has that capability.
        command = ["setpriv", "--bounding-set", "-all", "--inh-caps", "-all"]
        said = (f"{self.file}: can't be written: Permission denied; the folder "
                f'"{os.path.dirname(self.file)}" must be writable for the user who runs this')
        self.assertEqual(self.refused(inside=command), said)

    def test_no_home_at_all(self):
        self.assertEqual(
            self.refused(XDG_STATE_HOME=None, HOME=None),
            "there is no folder to keep the logbook in: HOME is not set; "
            "set STATE_DIRECTORY to a folder")

    def test_home_is_enough(self):
        home = os.path.abspath("home")
        (cid,) = self.cids_of_a_run(HOME=home, XDG_STATE_HOME="")
        with open(os.path.join(home, ".local/state/panewalk/cid"), encoding="ascii") as file:
            self.assertEqual(file.read().strip().replace("-", ""), cid)


if __name__ == "__main__":
    main()
