"""The network card that packets leave by, chosen by the site or by the system, and what they carry.

Two cables to another network namespace: house (10.79.0.1) to yard (10.79.0.2) and gable (10.80.0.1)
to field (10.80.0.2). Without a card in the site, multicast goes to loopback here.
"""
import signal
import socket
import struct
import subprocess
import unittest

from far_network import FarNetwork, ip
from running import PANEWALK, PATIENCE, Daemon, Receiver, controller, main, make_site, prop, wait_for

GROUP = "239.255.0.1"  # E1.31-2018 Table 9-10, universe 1
E131 = 5568
HOUSE = ("house", "10.79.0.1", "yard", "10.79.0.2")
GABLE = ("gable", "10.80.0.1", "field", "10.80.0.2")
QUIET = 1.5  # seconds; in which a lit stream would have sent


class Interfaces(unittest.TestCase):
    def setUp(self):
        self.far = FarNetwork()
        self.addCleanup(self.far.close)
        for cable in (HOUSE, GABLE):
            self.far.connect(*cable)
            self.addCleanup(subprocess.run, ["ip", "link", "delete", cable[0]], check=False,
                            stderr=subprocess.DEVNULL)
        self.yard, self.field = self.tap("yard"), self.tap("field")

    def tap(self, card):
        tap = self.far.tap(card)
        self.addCleanup(tap.close)
        return tap

    def serve(self, address, network=None, **more):
        """Lit, with one controller."""
        site = make_site("site", [controller("bench", "e131", address, **more)],
                         [prop("slip-window", "bench", 1)], **({"network": network} if network else {}))
        daemon = Daemon(site)
        self.addCleanup(daemon.__exit__)
        daemon.light("slip-window")
        return daemon

    def check_said(self, daemon, line):
        said = [each for each in daemon.lines["out"] if each.startswith("controller ")]
        self.assertEqual(said, [line])

    def check_only_by(self, tap, other, to):
        wait_for(lambda: len(tap.to(to)) > 5, f"packets to {to}")
        self.assertEqual(other.to(to), [])

    def end(self, daemon, told=""):
        self.assertEqual(daemon.end(signal.SIGTERM), 0)
        self.assertEqual(daemon.err(), told)

    def test_system_chooses(self):
        daemon = self.serve("10.80.0.2")
        self.check_said(daemon, "controller bench: E1.31 to 10.80.0.2:5568 by gable (10.80.0.1), "
                                "the system's choice")
        self.check_only_by(self.field, self.yard, "10.80.0.2")
        packet = self.field.to("10.80.0.2")[0]
        self.assertEqual((packet.source, packet.service), ("10.80.0.1", 0))
        self.end(daemon)

    def test_system_finds_no_way(self):
        daemon = self.serve("10.99.0.1")
        self.check_said(daemon, "controller bench: E1.31 to 10.99.0.1:5568: no network leads there; "
                                "check this machine's network cable and address")
        self.end(daemon)

    def test_unicast_by_name(self):
        # The route to this address leads by house.
        daemon = self.serve("10.79.0.2", interface="gable")
        self.check_said(daemon, "controller bench: E1.31 to 10.79.0.2:5568 by gable (10.80.0.1), "
                                "as the site says")
        self.check_only_by(self.field, self.yard, "10.79.0.2")
        self.assertEqual(self.field.to("10.79.0.2")[0].source, "10.80.0.1")
        self.end(daemon)

    def test_unicast_by_address(self):
        daemon = self.serve("10.79.0.2:5569", interface="10.79.0.1")
        self.check_said(daemon, "controller bench: E1.31 to 10.79.0.2:5569 by house (10.79.0.1), "
                                "as the site says")
        self.check_only_by(self.yard, self.field, "10.79.0.2")
        self.assertEqual(self.yard.to("10.79.0.2")[0].port, 5569)
        self.end(daemon)

    def test_multicast_by_name(self):
        daemon = self.serve("multicast", interface="gable")
        self.check_said(daemon, "controller bench: E1.31 by multicast, by gable (10.80.0.1), "
                                "as the site says")
        self.check_only_by(self.field, self.yard, GROUP)
        packet = self.field.to(GROUP)[0]
        self.assertEqual((packet.source, packet.port, packet.hops, packet.service),
                         ("10.80.0.1", E131, 8, 0))
        self.end(daemon)

    def test_multicast_by_address(self):
        daemon = self.serve("multicast", interface="10.79.0.1")
        self.check_only_by(self.yard, self.field, GROUP)
        self.end(daemon)

    def test_multicast_by_the_system_s_choice(self):
        daemon = self.serve("multicast")
        # An address of loopback may not leave this machine, so the system takes another card's.
        self.check_said(daemon, "controller bench: E1.31 by multicast, by lo (10.79.0.1), "
                                "the system's choice")
        wait_for(lambda: daemon.get("/api/light")["packets"] > 10, "packets")
        self.assertEqual(self.yard.to(GROUP) + self.field.to(GROUP), [])
        self.end(daemon)

    def test_packets_carry_hops_and_class_of_service(self):
        daemon = self.serve("multicast", {"multicast_hops": 3, "dscp": 46}, interface="house")
        self.check_only_by(self.yard, self.field, GROUP)
        # RFC 2474: six bits, in the upper part of the octet.
        self.assertEqual({(p.hops, p.service) for p in self.yard.to(GROUP)}, {(3, 46 << 2)})
        self.end(daemon)
        # Unicast is not held to the hops of multicast.
        daemon = self.serve("10.79.0.2", {"multicast_hops": 3, "dscp": 10})
        self.check_only_by(self.yard, self.field, "10.79.0.2")
        self.assertEqual({(p.hops, p.service) for p in self.yard.to("10.79.0.2")}, {(64, 10 << 2)})
        self.end(daemon)

    def heard_here(self):
        """A program of this machine in the group of universe 1, by house."""
        hears = Receiver(E131, "0.0.0.0")
        self.addCleanup(hears.close)
        hears.socket.setsockopt(
            socket.IPPROTO_IP, socket.IP_ADD_MEMBERSHIP,
            struct.pack("4s4s", socket.inet_aton(GROUP), socket.inet_aton(HOUSE[1])))
        return hears

    def test_multicast_loop_is_heard_here_or_not(self):
        hears = self.heard_here()
        daemon = self.serve("multicast", {"multicast_loop": "off"}, interface="house")
        self.check_only_by(self.yard, self.field, GROUP)
        self.assertEqual(hears.light(1), [])
        self.end(daemon)
        self.assertEqual(hears.light(1), [])
        daemon = self.serve("multicast", interface="house")
        wait_for(lambda: len(hears.light(1)) > 5, "packets here too")
        self.end(daemon)

    def check_comes_back(self, address, to, failing):
        listens = self.far.receiver("0.0.0.0", E131)
        self.addCleanup(listens.close)
        daemon = self.serve(address, interface="house")
        wait_for(lambda: self.yard.to(to), "packets")
        ip("link", "delete", "house")
        wait_for(lambda: daemon.get("/api/light")["controllers"][0]["text"] == failing, failing)
        # So that the new card has another number.
        ip("link", "add", "spare", "type", "veth", "peer", "name", "other")
        self.addCleanup(ip, "link", "delete", "spare")
        self.far.connect(*HOUSE)
        again = self.tap("yard")
        wait_for(lambda: len(again.to(to)) > 5, "packets by the new card")
        wait_for(lambda: daemon.get("/api/light")["controllers"][0]["state"] == "sending", "sending")
        self.end(daemon, f"panewalk: controller bench, {failing}")

    def test_unicast_goes_on_by_a_card_that_was_exchanged(self):
        self.check_comes_back(
            "10.79.0.2", "10.79.0.2", "10.79.0.2:5568: the network card is gone; check this machine's "
                                      "network cable and address")

    def test_multicast_goes_on_by_a_card_that_was_exchanged(self):
        self.check_comes_back(
            "multicast", GROUP, f"{GROUP}:5568: the network card is gone; check this machine's network "
                                "cable and address")

    def test_packets_follow_the_name_to_another_card(self):
        daemon = self.serve("multicast", interface="house")
        self.check_only_by(self.yard, self.field, GROUP)
        # No error tells: the old card still sends, under another name.
        for was, becomes in (("house", "attic"), ("gable", "house")):
            ip("link", "set", was, "down")
            ip("link", "set", was, "name", becomes)
            ip("link", "set", becomes, "up")
        self.addCleanup(ip, "link", "delete", "attic")
        wait_for(lambda: len(self.field.to(GROUP)) > 5, "packets by the card of that name")
        self.assertEqual(daemon.end(signal.SIGTERM), 0)

    def test_site_is_refused_where_there_is_no_such_card(self):
        for name, told in (
                ("shed", 'no network card of this machine is named "shed"; there are lo, house and '
                         'gable'),
                ("10.81.0.1", "no network card of this machine has the address 10.81.0.1; an address "
                              "that `ip address` lists, or none")):
            site = make_site("site", [controller("bench", "e131", "10.79.0.2", interface=name)],
                             [prop("slip-window", "bench", 1)])
            done = subprocess.run([PANEWALK, "serve", site, "--listen", "127.0.0.1:0"], text=True,
                                  capture_output=True, timeout=PATIENCE, check=False)
            self.assertEqual((done.returncode, done.stdout), (1, ""))
            self.assertEqual(done.stderr, f"/controllers/0/interface: {told}\n")

    def test_practice_needs_no_card(self):
        site = make_site("site", [controller("bench", "e131", "10.79.0.2", interface="shed")],
                         [prop("slip-window", "bench", 1)])
        done = subprocess.run(
            [PANEWALK, "light", site, "slip-window", "chase", "--practice", "--seconds", "2"],
            text=True, capture_output=True, timeout=PATIENCE, check=False)
        self.assertEqual((done.returncode, done.stderr), (0, ""))
        self.assertNotIn("controller ", done.stdout)
        self.assertEqual(self.yard.packets + self.field.packets, [])

    def test_light_says_it_too(self):
        site = make_site("site", [controller("bench", "e131", "10.79.0.2")],
                         [prop("slip-window", "bench", 1)])
        done = subprocess.run([PANEWALK, "light", site, "slip-window", "chase", "--seconds", "1"],
                              text=True, capture_output=True, timeout=PATIENCE, check=False)
        self.assertIn("controller bench: E1.31 to 10.79.0.2:5568 by house (10.79.0.1), the system's "
                      "choice\n", done.stdout)


if __name__ == "__main__":
    main()
