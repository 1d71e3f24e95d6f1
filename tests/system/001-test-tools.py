"""The tools of the other system tests, tried on packets that were written by hand.

Expected: the fields as they stand in the packets, by ANSI E1.31-2018 Tables 5-4 and 4-1 and Art-Net 4,
ArtDmx. Everything happens in a network namespace of its own.
"""
import json
import os
import socket
import subprocess
import sys
import unittest

import tshark
import udp_recorder

PEERS = os.path.join(os.environ["PANEWALK_SOURCE"], "tests", "peers")

# Universe 1, sequence 0, priority 100, Stream_Terminated, slots 0 to 5.
E131 = bytes.fromhex(
    "0010 0000 4153432d45312e3137000000"  # preamble, postamble, packet identifier
    "7074 00000004 1b4e28ba2fa141d2883f0016d3cca427"  # root: length, vector, CID
    "705e 00000002" + b"boathouse test".hex() + "00" * 50 +  # framing: length, vector, name
    "64 0000 00 40 0001"  # priority, sync address, sequence, options, universe
    "7011 02 a1 0000 0001 0007 00 000102030405")  # DMP, count, START code, slots
# The same on universe 2, sequence 7, no options, the last slot full.
E131_NEXT = E131[:111] + bytes([7, 0, 0, 2]) + E131[115:131] + b"\xff"

# Port-Address 0x0123, sequence 1, 6 slots.
ARTDMX = bytes.fromhex("4172742d4e657400 0050 000e 01 00 23 01 0006 0a0b0c0d0eff")


def send(port, *packets, to="127.0.0.1"):
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as sender:
        for packet in packets:
            sender.sendto(packet, (to, port))


class Peer:
    """One of the programs in tests/peers, whose lines are JSON."""

    def __init__(self, script, *arguments):
        self.process = subprocess.Popen(
            ["node", os.path.join(PEERS, script), *arguments], stdout=subprocess.PIPE, text=True)
        self.port = json.loads(self.process.stdout.readline())["listening"]

    def rest(self):
        out, _ = self.process.communicate(timeout=30)
        return [json.loads(line) for line in out.splitlines()]


class Tools(unittest.TestCase):
    def test_recorder_keeps_bytes_times_and_addresses(self):
        with udp_recorder.Recording("a.pcap") as recording:
            send(recording.port, E131, ARTDMX)
        first, second = recording.datagrams()
        self.assertEqual([first.payload, second.payload], [E131, ARTDMX])
        self.assertEqual(first.destination, ("127.0.0.1", recording.port))
        self.assertLessEqual(first.time, second.time)

    def test_recorder_hears_a_group_it_joined(self):
        with udp_recorder.Recording(
                "m.pcap", bind="0.0.0.0", join=["239.255.0.1"]) as recording:
            send(recording.port, E131, to="239.255.0.1")
        (only,) = recording.datagrams()
        self.assertEqual(only.destination, ("239.255.0.1", recording.port))

    def test_recorder_ends_by_count(self):
        recording = udp_recorder.Recording("c.pcap")
        recording.stop()
        done = subprocess.Popen(
            [sys.executable, udp_recorder.__file__, "--out", "c.pcap", "--count", "2"],
            stdout=subprocess.PIPE, text=True)
        port = json.loads(done.stdout.readline())["listening"]
        send(port, ARTDMX, ARTDMX, ARTDMX)
        out, _ = done.communicate(timeout=10)
        self.assertEqual(json.loads(out), {"recorded": 2})

    def test_tshark_reads_e131(self):
        with udp_recorder.Recording("e.pcap") as recording:
            send(recording.port, E131, E131_NEXT)
        first, second = tshark.e131("e.pcap")
        self.assertEqual(first, {
            "universe": 1, "sequence": 0, "priority": 100, "options": 0x40, "count": 7,
            "start_code": 0, "source_name": "boathouse test",
            "cid": "1b4e28ba-2fa1-41d2-883f-0016d3cca427", "slots": bytes([0, 1, 2, 3, 4, 5])})
        self.assertEqual((second["universe"], second["sequence"], second["options"]), (2, 7, 0))
        self.assertEqual(second["slots"], bytes([0, 1, 2, 3, 4, 255]))
        self.assertEqual(tshark.complaints("e.pcap"), [])

    def test_tshark_complains_about_a_packet_cut_short(self):
        with udp_recorder.Recording("x.pcap") as recording:
            send(recording.port, E131[:100])
        self.assertEqual([row["frame.number"] for row in tshark.complaints("x.pcap")], ["1"])

    def test_tshark_reads_artdmx(self):
        with udp_recorder.Recording("d.pcap") as recording:
            send(recording.port, ARTDMX)
        self.assertEqual(tshark.artdmx("d.pcap"), [{
            "universe": 0x0123, "sequence": 1, "physical": 0, "length": 6,
            "slots": bytes([10, 11, 12, 13, 14, 255])}])

    def test_e131_peer_prints_every_octet(self):
        peer = Peer("receive_e131.mjs", "--port", "0", "--universes", "1,2", "--frames", "2")
        send(peer.port, E131, E131_NEXT)
        first, second = peer.rest()
        self.assertEqual(first, {
            "universe": 1, "sequence": 0, "priority": 100, "options": 0x40,
            "sourceName": "boathouse test", "cid": "1b4e28ba2fa141d2883f0016d3cca427",
            "slots": [0, 1, 2, 3, 4, 5]})
        self.assertEqual((second["universe"], second["slots"]), (2, [0, 1, 2, 3, 4, 255]))

    def test_e131_peer_hears_multicast(self):
        peer = Peer("receive_e131.mjs", "--port", "5568", "--universes", "2", "--frames", "1")
        send(peer.port, E131_NEXT, to="239.255.0.2")
        self.assertEqual([line["universe"] for line in peer.rest()], [2])

    def test_e131_peer_refuses_a_wrong_vector(self):
        peer = Peer("receive_e131.mjs", "--port", "0", "--universes", "1", "--frames", "1")
        send(peer.port, E131[:117] + b"\x03" + E131[118:], E131)
        self.assertEqual(["corrupt" in line for line in peer.rest()], [True, False])

    def test_artnet_peer_prints_every_octet(self):
        peer = Peer("receive_artnet.mjs", "--port", "6454", "--universes", "1,291", "--frames", "1")
        send(peer.port, ARTDMX)
        self.assertEqual(peer.rest(), [{"universe": 0x0123, "slots": [10, 11, 12, 13, 14, 255]}])

    def test_second_source_sends_what_it_was_told(self):
        with udp_recorder.Recording("s.pcap") as recording:
            subprocess.run(
                ["node", os.path.join(PEERS, "send_e131.mjs"), "--universe", "7", "--slots",
                 "255,0,10", "--port", str(recording.port), "--priority", "150", "--name", "jetty",
                 "--rate", "50", "--seconds", "0.06"], check=True, timeout=30)
        sent = tshark.e131("s.pcap")
        self.assertEqual([packet["sequence"] for packet in sent], [0, 1, 2])
        self.assertEqual(sent[0], {
            "universe": 7, "sequence": 0, "priority": 150, "options": 0, "count": 513,
            "start_code": 0, "source_name": "jetty",
            "cid": "5f1d0c9a-3e8b-4a6c-9d20-7b44e1a35c02",
            "slots": bytes([255, 0, 10] + [0] * 509)})


if __name__ == "__main__":
    if "PANEWALK_IN_NAMESPACE" not in os.environ:
        os.environ["PANEWALK_IN_NAMESPACE"] = "yes"
        netns = os.path.join(os.environ["PANEWALK_SOURCE"], "tests", "support", "netns.sh")
        os.execv(netns, [netns, sys.executable, *sys.argv])
    unittest.main()
