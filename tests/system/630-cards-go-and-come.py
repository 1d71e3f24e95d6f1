"""A network card is taken away while it streams by unicast and multicast and listens, and another comes in its
place: all three go on, and what goes by the other card never notices.

tests/system/340 and 470 have the same for one controller and the words of each trouble.
"""
import signal
import socket
import struct
import subprocess
import sys
import time
import unittest

import pace
from far_network import FarNetwork, ip
from running import Daemon, controller, main, make_site, prop, wait_for

HOUSE = ("house", "10.79.0.1", "yard", "10.79.0.2")
GABLE = ("gable", "10.80.0.1", "field", "10.80.0.2")
GROUP = "239.255.0.2"  # universe 2: ANSI E1.31-2018 Table 9-10
E131 = 5568
TAKEN = ('"desk of the ferry" at 10.79.0.2 sends universe 2 of controller jetty too by house. It wins: its '
         "priority is 150, the site's 100.")


def desk(sequence):
    """ANSI E1.31-2018 Table 4-1: universe 2 at priority 150, nine slots."""
    return (struct.pack("!HH12sHI16sHI64sBHBBHHBBHHH", 0x10, 0, b"ASC-E1.17", 0x7000 | 119, 4,
                        bytes(15) + b"\1", 0x7000 | 97, 2, b"desk of the ferry", 150, 0, sequence, 0, 2,
                        0x7000 | 20, 2, 0xa1, 0, 1, 10) + bytes(10))


class Cards(unittest.TestCase):
    def setUp(self):
        self.far = FarNetwork()
        self.addCleanup(self.far.close)
        for card in ("house", "gable", "spare"):
            self.addCleanup(subprocess.run, ["ip", "link", "delete", card], check=False,
                            stderr=subprocess.DEVNULL)
        for cable in (HOUSE, GABLE):
            self.far.connect(*cable)
        self.other = self.far.receiver(GABLE[3])
        self.unicast = self.far.receiver(HOUSE[3], 5570)
        self.multicast = self.listen_to_the_group()
        for receiver in (self.other, self.unicast, self.multicast):
            self.addCleanup(receiver.close)
        site = make_site(
            "site", [controller("bench", "e131", f"{HOUSE[3]}:{self.unicast.port}"),
                     controller("jetty", "e131", "multicast", interface="house"),
                     controller("gable", "e131", f"{GABLE[3]}:{self.other.port}", repeat="every frame")],
            [prop("slip-window", "bench", 1), prop("loft-windows", "jetty", 2), prop("door-ring", "gable", 4)])
        self.daemon = Daemon(site)
        self.addCleanup(self.daemon.__exit__)

    def listen_to_the_group(self):
        receiver = self.far.receiver("0.0.0.0", E131)
        self.join(receiver)
        return receiver

    def join(self, receiver):
        receiver.socket.setsockopt(socket.IPPROTO_IP, socket.IP_ADD_MEMBERSHIP,
                                   socket.inet_aton(GROUP) + socket.inet_aton(HOUSE[3]))

    def states(self):
        return [each["state"] for each in self.daemon.get("/api/light")["controllers"]]

    def come(self, why):
        start = len(self.unicast.datagrams), len(self.multicast.datagrams)
        wait_for(lambda: len(self.unicast.light(1, start[0])) > 10 and
                 len(self.multicast.light(2, start[1])) > 10, why)

    def taken(self):
        """What is told of a second source."""
        seen = self.daemon.get("/api/network")["seen"]
        return [found["what"] for found in seen["findings"] if found["kind"] == "taken"] if seen else []

    def speak(self):
        """The second source, until it is told."""
        with self.far.entered():
            sender = socket.socket(socket.AF_INET, socket.SOCK_DGRAM)
        sender.setsockopt(socket.IPPROTO_IP, socket.IP_MULTICAST_IF, socket.inet_aton(HOUSE[3]))
        sequence = 0

        def heard():
            nonlocal sequence
            sender.sendto(desk(sequence), (GROUP, E131))
            sequence = (sequence + 1) % 256
            time.sleep(0.02)  # some 30 a second
            return self.taken() == [TAKEN]
        try:
            wait_for(heard, TAKEN)
        finally:
            sender.close()

    def test_all_come_back(self):
        self.daemon.light("slip-window", "loft-windows", "door-ring")
        self.come("packets")
        start, missed = len(self.other.datagrams), self.daemon.get("/api/light")["missed_frames"]
        self.speak()
        wait_for(lambda: self.taken() == [], "it has gone")

        ip("link", "delete", "house")
        wait_for(lambda: self.states() == ["failing", "failing", "sending"], "both are failing")
        # So that the new card has another number.
        ip("link", "add", "spare", "type", "veth", "peer", "name", "rest")
        plugged = time.time_ns()
        self.far.connect(*HOUSE)
        self.join(self.multicast)
        self.come("packets by the new card")
        for name, receiver, universe in (("unicast", self.unicast, 1), ("multicast", self.multicast, 2)):
            first = next(packet for packet in receiver.light(universe) if packet.time > plugged)
            print(f"{name}: packets {(first.time - plugged) / 1e9:.2f} s after the card", file=sys.stderr)
        wait_for(lambda: self.states() == ["sending"] * 3, "all are sending")
        self.speak()  # and it listens by the new card

        packets = self.other.light(4, start)
        missed = self.daemon.get("/api/light")["missed_frames"] - missed
        print(f"the other card: {pace.told(packets)}; {missed} told as missed", file=sys.stderr)
        pace.check_pace(self, packets, missed)
        self.assertEqual(self.daemon.end(signal.SIGTERM), 0)
        for receiver, universe in ((self.unicast, 1), (self.multicast, 2), (self.other, 4)):
            wait_for(lambda r=receiver, u=universe: sum(p.ended for p in r.light(u)) == 3, "the end")
            self.assertTrue(receiver.light(universe)[-1].black)


if __name__ == "__main__":
    main()
