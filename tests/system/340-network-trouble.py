"""Trouble on the network: the stream goes on, says in plain words what is wrong, mends by itself.

Two network namespaces joined by a veth pair: the daemon at 10.79.0.1, the controllers at 10.79.0.2.
"""
import json
import os
import re
import signal
import subprocess
import sys
import time
import unittest

import udp_recorder
from far_network import FarNetwork, ip
from running import Daemon, controller, main, make_site, processor_seconds, prop, wait_for

HERE, THERE = "10.79.0.1", "10.79.0.2"
MOST_PROCESSOR = 0.30  # of one core
WINDOW = 3  # seconds
# A destination that is well again, and what the watch of the network finds meanwhile.
MAY_BE_TOLD = re.compile(
    r"panewalk: (controller \w+, [\d.:]+: no more errors"
    r"|There is no way to controller \w+ \([\d.]+\) from this machine\. .*"
    r"|Controller \w+ \([\d.]+\) answered neither ArtPoll nor a ping\. .*"
    r"|Controller \w+ answers again\.)")
NOBODY_LISTENS = ("nothing listens there; check that the controller takes this protocol, and on this "
                  "port")
NO_NETWORK = "no network leads there; check this machine's network cable and address"
NO_ANSWER = ("it does not answer on the network; check the controller's power, its cable and its "
             "address")


class Yard(FarNetwork):
    """The other end of the cable."""

    def __init__(self):
        super().__init__()
        self.plug_in()

    def plug_in(self):
        self.connect("house", HERE, "yard", THERE)

    def listen(self, port=0):
        return self.receiver(THERE, port)

    def program_that_receives(self):
        process = subprocess.Popen(
            [*self.inside, sys.executable, udp_recorder.__file__, "--out", "yard.pcap", "--bind",
             THERE, "--seconds", "600"], stdout=subprocess.PIPE, text=True)
        return process, json.loads(process.stdout.readline())["listening"]


class Trouble(unittest.TestCase):
    def setUp(self):
        self.yard = Yard()
        self.addCleanup(subprocess.run, ["ip", "link", "delete", "house"], check=False,
                        stderr=subprocess.DEVNULL)
        self.addCleanup(self.yard.close)
        self.other = self.yard.listen()
        self.addCleanup(self.other.close)

    def serve(self, address, **popen):
        """The bench is what has trouble; the yard's controller has none of its own."""
        site = make_site("site", [controller("bench", "e131", address),
                                  controller("yard", "artnet", f"{THERE}:{self.other.port}")],
                         [prop("slip-window", "bench", 1), prop("gable-line", "yard", 10)])
        daemon = Daemon(site, **popen)
        self.addCleanup(daemon.__exit__)
        daemon.light("slip-window", "gable-line")
        return daemon

    def state(self, daemon, index=0):
        told = daemon.get("/api/light")["controllers"][index]
        return told["state"], told["text"]

    def wait_for_state(self, daemon, expected, index=0):
        try:
            wait_for(lambda: self.state(daemon, index) == expected, f"the state {expected}")
        except AssertionError as error:
            raise AssertionError(f"{error}; found {self.state(daemon, index)}") from None

    def check_it_does_not_spin(self, *daemons):
        before = [processor_seconds(daemon.pid) for daemon in daemons]
        start = time.monotonic()
        time.sleep(WINDOW)  # what is measured is the time itself
        passed = time.monotonic() - start
        for daemon, used in zip(daemons, before):
            share = (processor_seconds(daemon.pid) - used) / passed
            print(f"{self.id().rpartition('.')[2]}: {share:.1%} of a core", file=sys.stderr)
            self.assertLess(share, MOST_PROCESSOR)

    def check_other_lost_nothing(self):
        numbers = [p.sequence for p in self.other.light(10)]
        self.assertEqual([a % 255 + 1 for a in numbers[:-1]], numbers[1:])

    def check_goes_on(self, daemon):
        """Frames and the other controller's packets."""
        frames = daemon.get("/api/light")["frames"]
        packets = len(self.other.light(10))
        wait_for(lambda: daemon.get("/api/light")["frames"] > frames + 40 and
                 len(self.other.light(10)) > packets + 10, "the stream goes on")

    def end(self, daemon, failing=(), words=""):
        """`failing`: the destinations that the log tells of, which is all that it may say but for what
        comes and goes with them."""
        self.assertEqual(daemon.end(signal.SIGTERM), 0)
        told = [line for line in daemon.log() if not MAY_BE_TOLD.fullmatch(line)]
        self.assertEqual(told, [f"panewalk: controller {name}: {words}" for name in failing])
        self.assertTrue(self.other.light(10)[-1].black)

    def test_receiver_is_killed_and_comes_back(self):
        process, port = self.yard.program_that_receives()
        self.addCleanup(process.stdout.close)
        self.addCleanup(process.wait)
        self.addCleanup(process.kill)
        daemon = self.serve(f"{THERE}:{port}")
        wait_for(lambda: self.other.light(10), "packets")
        self.wait_for_state(daemon, ("sending", None))
        process.kill()
        process.wait()
        self.wait_for_state(daemon, (
            "failing", f"{THERE}:{port}: nothing listens there; "
                       "check that the controller takes this protocol, and on this port"))
        self.assertEqual(self.state(daemon, 1), ("sending", None))
        self.check_it_does_not_spin(daemon)
        self.check_goes_on(daemon)
        self.check_other_lost_nothing()
        back = self.yard.listen(port)
        self.addCleanup(back.close)
        wait_for(lambda: len(back.light(1)) > 10, "packets again")
        self.wait_for_state(daemon, ("sending", None))
        numbers = [p.sequence for p in back.light(1)]
        self.assertEqual([(a + 1) % 256 for a in numbers[:-1]], numbers[1:])
        bench = f"panewalk: controller bench, {THERE}:{port}: "
        self.assertEqual(daemon.log()[:1], [bench + NOBODY_LISTENS])
        wait_for(lambda: daemon.log()[-1] == bench + "no more errors", "the log tells that it is well")
        self.end(daemon, [f"bench, {THERE}:{port}"], NOBODY_LISTENS)
        wait_for(lambda: sum(p.ended for p in back.light(1)) == 3, "the end")

    def check_recovers(self, daemon, bench, mend):
        before = len(bench.datagrams), len(self.other.datagrams)
        mended = time.time_ns()
        mend()
        for receiver, universe, start in ((bench, 1, before[0]), (self.other, 10, before[1])):
            wait_for(lambda r=receiver, u=universe, s=start: r.light(u, s), "packets again")
            after = (receiver.light(universe, start)[0].time - mended) / 1e9
            print(f"{self.id().rpartition('.')[2]}: packets after {after:.2f} s", file=sys.stderr)
            self.assertLess(after, 3)
        self.wait_for_state(daemon, ("sending", None))
        self.wait_for_state(daemon, ("sending", None), 1)

    def lit_bench(self):
        bench = self.yard.listen()
        self.addCleanup(bench.close)
        daemon = self.serve(f"{THERE}:{bench.port}")
        wait_for(lambda: bench.light(1) and self.other.light(10), "packets")
        return bench, daemon

    def test_our_link_goes_down_and_up(self):
        bench, daemon = self.lit_bench()
        ip("link", "set", "house", "down")
        self.wait_for_state(daemon, ("failing", f"{THERE}:{bench.port}: no network leads there; "
                                                "check this machine's network cable and address"))
        self.check_it_does_not_spin(daemon)
        self.check_recovers(daemon, bench, lambda: ip("link", "set", "house", "up"))
        self.end(daemon, [f"bench, {THERE}:{bench.port}", f"yard, {THERE}:{self.other.port}"], NO_NETWORK)
        wait_for(lambda: sum(p.ended for p in bench.light(1)) == 3, "the end")

    def test_our_card_is_gone_and_another_comes(self):
        bench, daemon = self.lit_bench()
        ip("link", "delete", "house")
        self.wait_for_state(daemon, ("failing", f"{THERE}:{bench.port}: no network leads there; "
                                                "check this machine's network cable and address"))
        wait_for(lambda: len(daemon.log()) >= 2, "the log tells it")
        self.check_recovers(daemon, bench, self.yard.plug_in)
        self.end(daemon, [f"bench, {THERE}:{bench.port}", f"yard, {THERE}:{self.other.port}"], NO_NETWORK)

    def test_controller_is_off_and_on(self):
        bench, daemon = self.lit_bench()
        # Its own network goes with its power; our link stays up, as behind a switch.
        ip("address", "delete", f"{THERE}/24", "dev", "yard", inside=self.yard.inside)
        ip("neighbour", "flush", "dev", "house")
        self.wait_for_state(daemon, ("failing", f"{THERE}:{bench.port}: it does not answer on the "
                                                "network; check the controller's power, its cable "
                                                "and its address"))
        self.check_it_does_not_spin(daemon)
        ip("address", "add", f"{THERE}/24", "dev", "yard", inside=self.yard.inside)
        start = len(bench.datagrams)
        wait_for(lambda: bench.light(1, start), "packets again")
        self.wait_for_state(daemon, ("sending", None))
        self.end(daemon, [f"bench, {THERE}:{bench.port}", f"yard, {THERE}:{self.other.port}"], NO_ANSWER)

    def test_no_network_leads_there(self):
        daemon = self.serve("10.99.0.1")
        self.wait_for_state(daemon, ("failing", "10.99.0.1:5568: no network leads there; "
                                                "check this machine's network cable and address"))
        self.assertEqual(self.state(daemon, 1), ("sending", None))
        self.check_it_does_not_spin(daemon)
        self.check_goes_on(daemon)
        self.check_other_lost_nothing()
        self.end(daemon, ["bench, 10.99.0.1:5568"], NO_NETWORK)

    def test_two_daemons_on_the_same_universes(self):
        bench = self.yard.listen()
        self.addCleanup(bench.close)
        daemons = [self.serve(f"{THERE}:{bench.port}",
                              env={**os.environ, "XDG_STATE_HOME": os.path.abspath(f"state-{i}")})
                   for i in (1, 2)]
        wait_for(lambda: len({p.cid for p in bench.light(1)}) == 2, "both are heard")
        self.check_it_does_not_spin(*daemons)
        for cid in {p.cid for p in bench.light(1)}:
            numbers = [p.sequence for p in bench.light(1) if p.cid == cid]
            self.assertGreater(len(numbers), 10)
            self.assertEqual([(a + 1) % 256 for a in numbers[:-1]], numbers[1:])
        for daemon in daemons:
            self.assertEqual(daemon.end(signal.SIGTERM), 0)
        wait_for(lambda: sum(p.ended for p in bench.light(1)) == 6, "both end")


if __name__ == "__main__":
    main()
