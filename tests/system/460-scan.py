"""`panewalk scan` with three cards: who sends what, who answers, and what that means for the site.

At the bench an E1.31 source of npm `sacn` sends the site's universe with a higher priority, a second one
the universe beside it. In the yard is a node of npm `dmxnet`, which answers ArtPoll; at the pier a sender of
the same package.
"""
import json
import os
import signal
import socket
import subprocess
import time
import unittest

from packet_tap import PacketTap
from running import (PANEWALK, SOURCE, Program, controller, main, make_site, prop, wait_for)
from yards import Yard, ip

PEERS = os.path.join(SOURCE, "tests", "peers")
SECONDS = 4  # more than the 2.75 s between two ArtPolls
CID = "5f1d0c9a3e8b4a6c9d207b44e1a35c02"
OTHER_CID = "0b0a7e0fd0c1459d8c4f3d1f9f6f7a10"
# Art-Net 4, ArtPoll: ID, OpCode 0x2000 low octet first, ProtVer 14, Flags 0, DiagPriority 0.
ART_POLL = b"Art-Net\0\x00\x20\x00\x0e\x00\x00"


def scan(*arguments, inside=(), **popen):
    """(exit status, what it printed) of a scan that is left to end by itself."""
    done = subprocess.run([*inside, PANEWALK, "scan", *arguments], capture_output=True, text=True,
                          timeout=60, check=False, **popen)
    return done.returncode, done.stdout, done.stderr


def sentences(text):
    """The text without its line breaks and indents."""
    return " ".join(text.split())


def site_of(yards):
    return make_site("site", [controller("bench", "e131", yards[0].there),
                              controller("yard", "artnet", yards[1].there)],
                     [prop("slip-window", "bench", 1), prop("gable-line", "yard", 10)])


class Frames(PacketTap):
    """Every IPv4 packet that comes to a yard by its cable."""

    def __init__(self, yard):
        self.here = socket.inet_aton(yard.here)
        self.packets = []  # (time, protocol, octets behind the IP header)
        packets = yard.socket(socket.AF_PACKET, socket.SOCK_RAW, socket.htons(0x0800))
        packets.bind(("far", 0x0800))
        super().__init__(packets)

    def take(self, packet):
        packet = packet[14:]
        if packet[12:16] == self.here:
            header = (packet[0] & 15) * 4
            self.packets.append((time.monotonic(), packet[9], packet[header:]))


class ThreeCards(unittest.TestCase):
    """One scan as text and one as JSON, looked at from many sides."""

    @classmethod
    def setUpClass(cls):
        cls.yards = [Yard("bench", 1), Yard("yard", 2), Yard("pier", 3)]
        for yard in cls.yards:
            cls.addClassCleanup(yard.close)
        cls.site = site_of(cls.yards)
        bench, yard, pier = cls.yards
        cls.start(bench, "send_e131.mjs", "--universe", "1", "--slots", "9", "--to", "239.255.0.1",
                  "--priority", "150", "--name", "desk of the ferry", "--cid", CID, "--seconds", "60")
        cls.start(bench, "send_e131.mjs", "--universe", "2", "--slots", "9", "--to", "239.255.0.2",
                  "--name", "punt shed", "--cid", OTHER_CID, "--seconds", "60")
        cls.node = cls.start(yard, "receive_artnet.mjs", "--port", "6454", "--universes", "10,11",
                             "--host", yard.there, "--name", "gable node", "--seconds", "60")
        cls.start(pier, "send_artnet.mjs", "--address", "10", "--slots", "7", "--to", pier.broadcast,
                  "--host", pier.there, "--name", "ferry lights", "--seconds", "60")
        cls.node.stdout.readline()  # listening
        frames = [Frames(each) for each in cls.yards]
        cls.status, text, cls.errors = scan(cls.site, "--seconds", str(SECONDS), "--as", "json")
        for each in frames:
            each.close()
        cls.sent = [each.packets for each in frames]
        cls.told = json.loads(text)
        cls.text_status, cls.text, cls.text_errors = scan(cls.site, "--seconds", str(SECONDS))

    @classmethod
    def start(cls, yard, script, *arguments):
        process = yard.run("node", os.path.join(PEERS, script), *arguments)
        cls.addClassCleanup(process.wait)
        cls.addClassCleanup(process.stdout.close)
        cls.addClassCleanup(process.kill)
        return process

    def test_it_ends_well(self):
        self.assertEqual((self.status, self.errors), (0, ""))
        self.assertEqual((self.text_status, self.text_errors), (0, ""))
        self.assertTrue(SECONDS <= self.told["listened_s"] < SECONDS + 1)

    def test_it_sent_questions_and_nothing_else(self):
        seen = []
        for packets in self.sent:
            polls = [when for when, protocol, octets in packets
                     if protocol == socket.IPPROTO_UDP and octets[8:] == ART_POLL
                     and octets[:4] == (6454).to_bytes(2, "big") * 2]
            pings = [octets for _, protocol, octets in packets
                     if protocol == socket.IPPROTO_ICMP and octets[:2] == b"\x08\x00"]
            groups = [1 for _, protocol, _ in packets if protocol == socket.IPPROTO_IGMP]
            self.assertEqual(len(polls) + len(pings) + len(groups), len(packets))
            seen.append((len(polls), len(pings)))
            self.assertTrue(2.5 <= polls[-1] - polls[0] < 4, polls)
        # At the start and 2.75 s later: by broadcast, and in the yard to the node alone as well.
        self.assertEqual(seen, [(2, 1), (4, 1), (2, 0)])

    def test_what_was_done(self):
        asked = self.told["asked"]
        self.assertEqual(asked["cards"], [{"name": "lo", "address": "127.0.0.1"},
                                          {"name": "bench", "address": "10.79.1.1"},
                                          {"name": "yard", "address": "10.79.2.1"},
                                          {"name": "pier", "address": "10.79.3.1"}])
        self.assertEqual(asked["polled"], ["10.79.1.255", "10.79.2.2", "10.79.2.255",
                                           "10.79.3.255", "127.255.255.255"])
        self.assertEqual(asked["pinged"], ["10.79.1.2", "10.79.2.2"])
        self.assertEqual(asked["groups"], [1, 2])
        self.assertEqual(asked["troubles"], [])

    def test_both_sources_are_heard_by_their_card(self):
        sources = {source["name"]: source for source in self.told["e131_sources"]}
        self.assertEqual(set(sources), {"desk of the ferry", "punt shed"})
        desk = sources["desk of the ferry"]
        self.assertEqual(desk["cid"], "5f1d0c9a-3e8b-4a6c-9d20-7b44e1a35c02")
        self.assertEqual(desk["addresses"], ["10.79.1.2"])
        (stream,) = desk["universes"]
        self.assertEqual(
            {name: stream[name] for name in ("universe", "from", "card", "priority", "preview",
                                             "slots", "lost", "unicast_packets")},
            {"universe": 1, "from": "10.79.1.2", "card": "bench", "priority": 150, "preview": False,
             "slots": 512, "lost": 0, "unicast_packets": 0})
        self.assertTrue(5 <= stream["packets_per_second"] <= 11, stream)

    def test_the_node_and_the_sender_are_heard_by_their_card(self):
        nodes = {node["port_name"]: node for node in self.told["artnet_nodes"]}
        self.assertEqual({name: (node["from"], node["card"]) for name, node in nodes.items()},
                         {"gable node": ("10.79.2.2", "yard"), "ferry lights": ("10.79.3.2", "pier")})
        outputs = {output["port_address"] for node in self.told["artnet_nodes"]
                   for output in node["outputs"]}
        self.assertEqual(outputs, {10, 11})
        (stream,) = self.told["artnet_streams"]
        self.assertEqual((stream["port_address"], stream["from"], stream["card"], stream["slots"]),
                         (10, "10.79.3.2", "pier", 512))
        self.assertGreaterEqual(stream["broadcast_packets"], 3)
        self.assertEqual(self.told["artnet_callers"], [])  # its own questions are nobody's

    def test_what_it_means(self):
        found = {(f["kind"], f["controller"]): f for f in self.told["findings"]}
        self.assertEqual(sorted(found), [("answers", "bench"), ("answers", "yard"),
                                         ("off_by_one_sender", "bench"), ("taken", "bench"),
                                         ("taken", "yard")])
        self.assertEqual(found["taken", "bench"]["universes"], [1])
        self.assertEqual(found["taken", "yard"]["universes"], [10])
        self.assertEqual(found["off_by_one_sender", "bench"]["universes"], [1])
        self.assertEqual({key: f["trouble"] for key, f in found.items()},
                         {("answers", "bench"): False, ("answers", "yard"): False,
                          ("off_by_one_sender", "bench"): True, ("taken", "bench"): True,
                          ("taken", "yard"): True})

    def test_the_sentences(self):
        text = sentences(self.text)
        for sentence in (
                "Listened for 4.0 s on lo (127.0.0.1), bench (10.79.1.1), yard (10.79.2.1) and pier "
                "(10.79.3.1), UDP ports 5568 (E1.31) and 6454 (Art-Net). Sent ArtPoll to "
                "10.79.1.255, 10.79.2.2, 10.79.2.255, 10.79.3.255 and 127.255.255.255 and a ping "
                "to 10.79.1.2 and 10.79.2.2. Joined the multicast groups of 2 E1.31 universes. No "
                "level was sent and no setting changed.",
                "Controller bench (10.79.1.2) answered a ping. Whether it takes E1.31, only light "
                "can tell.",
                "Controller yard (10.79.2.2) answered ArtPoll as \"gable node\".",
                "\"desk of the ferry\" at 10.79.1.2 sends universe 1 of controller bench too by "
                "bench. It wins: its priority is 150, the site's 100.",
                "\"punt shed\" at 10.79.1.2 sends universe 2 by bench; the site has universe 1 for "
                "controller bench. This is likely wrong.",
                "Somebody at 10.79.3.2 sends Port-Address 10 of controller yard too by pier."):
            self.assertIn(sentence, text)


class OneYard(unittest.TestCase):
    def setUp(self):
        self.yard = Yard("bench", 1)
        self.addCleanup(self.yard.close)

    def troubles(self, *arguments):
        status, text, errors = scan("--seconds", "1", "--as", "json", *arguments)
        self.assertEqual((status, errors), (0, ""))
        return json.loads(text)["asked"]["troubles"]

    def test_a_card_without_multicast(self):
        ip("link", "set", "bench", "multicast", "off")
        self.assertEqual(self.troubles(), ["E1.31 in groups may be missing on the card bench: "
                                           "multicast is switched off there"])

    def test_a_card_that_comes_while_it_listens(self):
        ip("link", "set", "bench", "down")
        with Program("scan", "--seconds", "20", "--as", "json") as program:
            time.sleep(0.5)  # the scan is under way without the card
            frames = Frames(self.yard)
            self.addCleanup(frames.close)
            ip("link", "set", "bench", "up")
            wait_for(lambda: any(octets[8:] == ART_POLL for _, _, octets in frames.packets),
                     "it asks by the card")
            self.assertEqual(program.end(signal.SIGINT), 0)
        self.assertIn({"name": "bench", "address": "10.79.1.1"},
                      json.loads(program.out())["asked"]["cards"])

    def test_ports_that_another_program_has(self):
        for port in (5568, 6454):
            taken = socket.socket(socket.AF_INET, socket.SOCK_DGRAM)
            self.addCleanup(taken.close)
            taken.bind(("0.0.0.0", port))
        self.assertEqual(self.troubles(), [
            "no E1.31 was heard: another program of this machine has UDP port 5568 for itself; "
            "stop it, then start this anew",
            "most of Art-Net was not heard: another program of this machine has UDP port 6454 for "
            "itself; stop it, then start this anew"])

    def test_an_unknown_address_and_one_where_nobody_listens(self):
        site = make_site("site", [controller("gone", "artnet", "10.79.1.77"),
                                  controller("deaf", "artnet", self.yard.there)],
                         [prop("slip-window", "gone", 1), prop("gable-line", "deaf", 10)])
        status, text, errors = scan(site, "--seconds", "5")
        self.assertEqual((status, errors), (0, ""))
        text = sentences(text)
        self.assertIn("There is no way to controller gone (10.79.1.77) from this machine.", text)
        self.assertIn("The host of controller deaf (10.79.1.2) is there, but nobody in it listens "
                      "on UDP port 6454.", text)

    def test_no_card_at_all(self):
        status, text, errors = scan("--seconds", "1", inside=["unshare", "--net"])
        self.assertEqual((status, errors), (0, ""))
        self.assertIn("no network card with an IPv4 address is up", sentences(text))

    def test_ctrl_c_prints_what_was_heard(self):
        with Program("scan", "--seconds", "600") as program:
            frames = Frames(self.yard)
            self.addCleanup(frames.close)
            wait_for(lambda: frames.packets, "a question")
            self.assertEqual(program.end(signal.SIGINT), 0)
        self.assertIn("No level was sent and no setting changed.", sentences(program.out()))
        self.assertEqual(program.err(), "")

    def test_wrong_words(self):
        for seconds in ("0", "3601", "a"):
            self.assertEqual(scan("--seconds", seconds)[0], 2)
        with open("broken.json", "w", encoding="utf-8") as file:
            file.write("{}")
        self.assertEqual(scan("broken.json")[0], 3)


if __name__ == "__main__":
    main()
