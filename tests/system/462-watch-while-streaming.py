"""The watch that `serve` keeps beside the stream: what comes and goes on the network is told in its log.

At the bench stands an E1.31 receiver, in the yard an Art-Net node of npm `dmxnet`. A second source of npm
`sacn` sends the bench's universe.
"""
import os
import signal
import socket
import sys
import time
import unittest

from running import Daemon, Receiver, controller, main, make_site, prop, wait_for
from yards import Yard

SOURCE = os.environ["PANEWALK_SOURCE"]
PEERS = os.path.join(SOURCE, "tests", "peers")
TAKEN = ('panewalk: "desk of the ferry" at 10.79.1.2 sends universe 1 of controller bench too by bench. It '
         "wins: its priority is 150, the site's 100. Stop it, or give the two different universes, or set "
         "the priorities so that the right one wins.")
NO_LONGER = ('panewalk: "desk of the ferry" at 10.79.1.2 no longer sends what controller bench gets.')
MOST_OF_A_CORE = 0.10  # for the ears, whatever comes
FLOOD = """
import os, socket, sys, time
made = [socket.socket(socket.AF_INET, socket.SOCK_DGRAM) for _ in range(2)]
made[1].setsockopt(socket.SOL_SOCKET, socket.SO_BROADCAST, 1)
root = b"\\0\\x10\\0\\0ASC-E1.17\\0\\0\\0\\x72\\x6e\\0\\0\\0\\4"
frame = b"\\x72\\x58\\0\\0\\0\\2" + b"flood".ljust(64, b"\\0") + b"\\xc8\\0\\0"
end = time.monotonic() + float(sys.argv[2])
begin, sent = time.monotonic(), 0
print("on", flush=True)
while time.monotonic() < end:
    for _ in range(50):
        levels = b"\\x72\\x0b\\2\\xa1\\0\\0\\0\\1\\2\\1\\0" + bytes(512)
        made[0].sendto(root + os.urandom(16) + frame + bytes([sent & 255, 0, 0, 1]) + levels,
                       ("239.255.0.1", 5568))
        made[1].sendto(b"Art-Net\\0\\0\\x50\\0\\x0e" + os.urandom(4) + b"\\2\\0" + bytes(512),
                       (sys.argv[1], 6454))
        sent += 2
    time.sleep(max(0, begin + sent / 10000 - time.monotonic()))
print(sent, flush=True)
"""


def ears_seconds(pid):
    """Processor time of the thread "ears"; proc(5), /proc/[pid]/task/[tid]/stat."""
    for task in os.listdir(f"/proc/{pid}/task"):
        with open(f"/proc/{pid}/task/{task}/stat", encoding="ascii") as file:
            name, _, fields = file.read().partition("(")[2].rpartition(")")
        if name == "ears":
            return sum(int(f) for f in fields.split()[11:13]) / os.sysconf("SC_CLK_TCK")
    raise AssertionError("no thread listens")


class Watch(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.bench, cls.yard = Yard("bench", 1), Yard("yard", 2)
        for yard in (cls.bench, cls.yard):
            cls.addClassCleanup(yard.close)
        cls.site = make_site("site", [controller("bench", "e131", cls.bench.there),
                                      controller("yard", "artnet", cls.yard.there)],
                             [prop("slip-window", "bench", 1), prop("gable-line", "yard", 10)])

    def listen(self):
        """The receiver at the bench: a plain socket; what comes waits in it."""
        made = self.bench.socket(socket.AF_INET, socket.SOCK_DGRAM)
        made.bind((self.bench.there, 5568))
        self.addCleanup(made.close)
        return made

    def start(self, yard, script, *arguments):
        process = yard.run("node", os.path.join(PEERS, script), *arguments)
        self.addCleanup(process.wait)
        self.addCleanup(process.stdout.close)
        self.addCleanup(process.kill)
        return process

    def node(self):
        node = self.start(self.yard, "receive_artnet.mjs", "--port", "6454", "--universes", "10,11,12",
                          "--host", self.yard.there, "--name", "gable node", "--seconds", "120")
        node.stdout.readline()  # listening
        return node

    def desk(self, universe=1):
        return self.start(self.bench, "send_e131.mjs", "--universe", str(universe), "--slots", "9", "--to",
                          f"239.255.0.{universe}", "--priority", "150", "--name", "desk of the ferry",
                          "--seconds", "120")

    def serve(self, *options, site=None, **popen):
        daemon = Daemon(site or self.site, *options, **popen)
        self.addCleanup(daemon.__exit__)
        return daemon

    def wait_for_log(self, daemon, lines, seconds=30):
        try:
            wait_for(lambda: len(daemon.log()) >= len(lines), "a line", seconds)
        except AssertionError:
            pass
        self.assertEqual(daemon.log(), lines)

    def test_a_second_source_comes_and_goes(self):
        self.listen()
        self.node()
        daemons = [self.serve(env={**os.environ, "XDG_STATE_HOME": os.path.abspath(f"state-{i}")})
                   for i in (1, 2)]
        for daemon in daemons:
            self.wait_for_log(daemon, [], seconds=0)
        desk = self.desk()
        for daemon in daemons:
            self.wait_for_log(daemon, [TAKEN], seconds=10)
        desk.kill()
        for daemon in daemons:
            self.wait_for_log(daemon, [TAKEN, NO_LONGER], seconds=10)
            self.assertEqual(daemon.end(signal.SIGTERM), 0)

    def test_a_node_that_hangs_and_comes_back(self):
        self.listen()
        node = self.node()
        daemon = self.serve()
        time.sleep(4)  # it answers
        node.send_signal(signal.SIGSTOP)
        wait_for(daemon.log, "a line")
        (line,) = daemon.log()
        self.assertRegex(line, r"\Apanewalk: Controller yard \(10\.79\.2\.2\) stopped answering ArtPoll; "
                               r"the last answer came (9|1[01])\.\d s ago\. Is it still switched on, its "
                               r"cable in, its link light on\? Was its address or its protocol changed\?\Z")
        node.send_signal(signal.SIGCONT)
        self.wait_for_log(daemon, [line, "panewalk: Controller yard answers again."])

    def test_a_receiver_that_ends_and_comes_back(self):
        receiver = self.listen()
        self.node()
        daemon = self.serve()
        daemon.light("slip-window")
        receiver.close()
        failing = ("panewalk: controller bench, 10.79.1.2:5568: nothing listens there; check that the "
                   "controller takes this protocol, and on this port")
        self.wait_for_log(daemon, [failing])
        self.listen()
        self.wait_for_log(daemon, [failing, "panewalk: controller bench, 10.79.1.2:5568: no more errors"])

    def test_groups_that_are_heard_in_turn(self):
        universes = range(1, 131, 10)
        site = make_site("large", [controller("bench", "e131", "multicast")],
                         [{"name": f"window-{u}", **prop("slip-window", "bench", u)} for u in universes])
        daemon = self.serve(site=site)
        daemon.light("window-1")
        self.desk(121)
        line = TAKEN.replace("universe 1 ", "universe 121 ")
        self.wait_for_log(daemon, [line], seconds=30)
        time.sleep(12)  # some rounds
        self.assertEqual(daemon.log(), [line])

    def test_a_flood_costs_little(self):
        self.listen()
        daemon = self.serve()
        daemon.light("slip-window")
        flood = self.bench.run(sys.executable, "-c", FLOOD, self.bench.broadcast, "12")
        self.addCleanup(flood.wait)
        self.addCleanup(flood.stdout.close)
        self.addCleanup(flood.kill)
        flood.stdout.readline()
        before, begin = ears_seconds(daemon.pid), time.monotonic()
        sent = int(flood.stdout.readline())
        passed = time.monotonic() - begin
        share = (ears_seconds(daemon.pid) - before) / passed
        print(f"{sent / passed:.0f} packets a second: {share:.1%} of a core", file=sys.stderr)
        self.assertLess(share, MOST_OF_A_CORE)
        self.assertLessEqual(len(daemon.log()), 20)
        self.assertEqual(daemon.get("/api/light")["controllers"][0]["state"], "sending")

    def test_ports_that_another_program_has(self):
        self.listen()
        self.node()
        for port in (5568, 6454):
            taken = socket.socket(socket.AF_INET, socket.SOCK_DGRAM)
            self.addCleanup(taken.close)
            taken.bind(("0.0.0.0", port))
        daemon = self.serve()
        daemon.light("slip-window")
        wait_for(lambda: daemon.get("/api/light")["packets"] > 0, "it streams")
        self.assertEqual(daemon.end(signal.SIGTERM), 0)

    def test_practice_neither_asks_nor_listens(self):
        daemon = self.serve("--practice")
        self.desk()
        with Receiver(6454, "0.0.0.0") as heard:
            time.sleep(4)  # more than the 2.75 s between two questions
            self.assertEqual(heard.datagrams, [])
        self.assertEqual(daemon.err(), "")


if __name__ == "__main__":
    main()
