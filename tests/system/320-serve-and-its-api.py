"""`panewalk serve`: its address, its answers and what they do to the packets.

Expected bodies are whole strings. The WebSocket is spoken by hand: RFC 6455, with the key and the
accept value of its section 1.3.
"""
import json
import os
import re
import signal
import socket
import struct
import subprocess
import unittest

from running import (PANEWALK, PATIENCE, SOURCE, Daemon, Program, Receiver, controller, main,
                     make_site, prop, wait_for)

TOO_LARGE = 64 * 1024 + 1  # one octet more than a body may have


class Api(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.e131 = Receiver()
        cls.artnet = Receiver()
        cls.site = make_site(
            "site",
            [controller("bench", "e131", f"127.0.0.1:{cls.e131.port}"),
             controller("yard", "artnet", f"127.0.0.1:{cls.artnet.port}")],
            [prop("slip-window", "bench", 1, level="30 %"), prop("gable-line", "yard", 10)])
        cls.daemon = Daemon(cls.site)
        cls.addClassCleanup(cls.daemon.__exit__)
        cls.addClassCleanup(cls.e131.close)
        cls.addClassCleanup(cls.artnet.close)

    def tearDown(self):
        self.daemon.post("/api/release")
        wait_for(lambda: self.daemon.get("/api/light")["mode"] == "silent", "silent again")

    def refused(self, expected_status, problems, method, path, body=None, headers=None):
        """The whole answer, as it is written."""
        status, text = self.daemon.ask(method, path, body, headers)
        self.assertEqual(status, expected_status, text)
        self.assertEqual(text, json.dumps({"problems": problems}, indent=2) + "\n")

    def test_1_no_light_is_sent_before_it_is_asked_for(self):
        self.assertEqual(self.daemon.lines["out"][-1],
                         "No light is sent until it is asked for. Ctrl-C: dark, and end.")
        for path in ("/api/site", "/api/light", "/api/patterns"):
            self.daemon.get(path)
        with self.assertRaises(AssertionError):
            wait_for(lambda: self.e131.datagrams or self.artnet.light(), "silence", seconds=2)
        light = self.daemon.get("/api/light")
        self.assertEqual((light["mode"], light["packets"]), ("silent", 0))

    def test_site_is_told(self):
        site = self.daemon.get("/api/site")
        self.assertEqual((site["site"], site["practice"], site["walk"]),
                         ("boathouse", False, ["slip-window", "gable-line"]))
        self.assertEqual(site["props"][0], {
            "prop": "slip-window", "about": "West window over the slipway, four panes",
            "pixels": 63, "controller": "bench", "universe": 1, "channel": 1, "level": 0.3,
            "place_m": None, "hung": "upright"})
        self.assertEqual(
            [(c["name"], c["protocol"], c["address"], c["priority"]) for c in site["controllers"]],
            [("bench", "e131", f"127.0.0.1:{self.e131.port}", 100),
             ("yard", "artnet", f"127.0.0.1:{self.artnet.port}", None)])

    def test_patterns_are_told(self):
        told = [pattern["pattern"] for pattern in self.daemon.get("/api/patterns")["patterns"]]
        shipped = [name[:-5] for name in os.listdir(os.path.join(SOURCE, "patterns"))]
        self.assertEqual(sorted(told), sorted(shipped))

    def test_map_is_that_of_the_command(self):
        for name in ("slip-window", "gable-line"):
            done = subprocess.run([PANEWALK, "map", self.site, name, "--as", "json"], text=True,
                                  capture_output=True, timeout=PATIENCE, check=True)
            status, body = self.daemon.ask("GET", f"/api/props/{name}/map")
            self.assertEqual((status, json.loads(body)), (200, json.loads(done.stdout)))
        self.assertEqual(body.rstrip("\n"), done.stdout.rstrip("\n"))

    def test_light_is_a_picture_in_the_packets_and_steps(self):
        asked = self.daemon.light("slip-window", pattern="corner-check", level="80 %")
        self.assertEqual(asked["props"], [{"prop": "slip-window", "level": 0.3}])
        self.assertEqual((asked["asked"], asked["pattern"], asked["level"]),
                         ("light", "corner-check", 0.8))
        wait_for(lambda: self.e131.light(1) and not self.e131.light(1)[-1].black, "light in 1")
        wait_for(lambda: self.artnet.light(10) and self.artnet.light(10)[-1].black, "black in 10")
        # A1 is the top left corner, red; in the route it is pixel 13 (12 stations up from A3),
        # and this prop's order is GRB.
        corner = slice(3 * 12, 3 * 12 + 3)
        wait_for(lambda: any(self.e131.light(1)[-1].slots[corner]), "the corner is lit")
        green, red, blue = self.e131.light(1)[-1].slots[corner]
        self.assertEqual((green, blue), (0, 0))
        self.assertGreater(red, 0)

        self.daemon.light("slip-window", pattern="chase")
        wait_for(lambda: self.daemon.get("/api/light")["pattern"] == "chase", "the chase")
        self.assertEqual(self.daemon.post("/api/step", {"go": "hold"}),
                         {"asked": "step", "go": "hold"})
        held = wait_for(lambda: (lambda l: l if l["by_hand"] else None)(
            self.daemon.get("/api/light")), "held")["props"][0]["beat"]
        self.daemon.post("/api/step", {"go": "next"})
        wait_for(lambda: self.daemon.get("/api/light")["props"][0]["beat"] == held % 63 + 1,
                 "the next picture")
        # The brightest pixel in the packets is the one the page counts (1 … 63).
        wait_for(lambda: max(range(63), key=lambda i: sum(
            self.e131.light(1)[-1].slots[3 * i:3 * i + 3])) == held % 63, "its pixel is lit")

    def test_dark_and_release(self):
        self.daemon.light("slip-window", "gable-line")
        wait_for(lambda: self.e131.light(1) and not self.e131.light(1)[-1].black, "light in 1")
        self.assertEqual(self.daemon.ask("POST", "/api/dark"), (200, '{\n  "asked": "dark"\n}\n'))
        wait_for(lambda: self.e131.light(1)[-1].black, "black")
        self.assertEqual(self.daemon.ask("POST", "/api/release"),
                         (200, '{\n  "asked": "release"\n}\n'))
        wait_for(lambda: self.e131.light(1)[-1].ended, "terminated")

    def test_unknown_names_are_told_at_once(self):
        self.refused(400, [
            {"where": "/prop", "message": 'no prop is named "slip-windw"',
             "remedy": 'did you mean "slip-window"?'},
            {"where": "/pattern", "message": 'no pattern is named "chas"',
             "remedy": 'did you mean "chase"?'}],
            "POST", "/api/light", {"prop": "slip-windw", "pattern": "chas"})
        self.refused(404, [
            {"where": "/api/props/slip/map", "message": 'no prop is named "slip"',
             "remedy": "the props that GET /api/site lists"}], "GET", "/api/props/slip/map")

    def test_bad_json(self):
        self.refused(400, [
            {"where": "line 1, column 24", "message": "a comma with nothing after it",
             "remedy": "no comma after the last one"}],
            "POST", "/api/light", b'{"prop": "slip-window",}')

    def test_step_with_nothing_lit(self):
        self.refused(409, [
            {"where": "", "message": "nothing is lit, so there is nothing to step through",
             "remedy": "POST /api/light first"}], "POST", "/api/step", {"go": "next"})

    def test_foreign_host(self):
        port = self.daemon.port
        self.refused(403, [
            {"where": "Host", "message": '"boathouse.example" is not a name of this server',
             "remedy": f'"127.0.0.1:{port}", "localhost:{port}" or "[::1]:{port}"'}],
            "GET", "/api/site", headers={"Host": "boathouse.example"})

    def test_foreign_origin(self):
        self.refused(403, [
            {"where": "Origin",
             "message": 'calls from pages of "http://boathouse.example" are not taken',
             "remedy": "open the page from this server"}],
            "POST", "/api/dark", headers={"Origin": "http://boathouse.example"})
        own = {"Origin": f"http://127.0.0.1:{self.daemon.port}"}
        self.assertEqual(self.daemon.ask("POST", "/api/dark", headers=own)[0], 200)

    def test_too_large(self):
        self.refused(413, [
            {"where": "", "message": "the body is too large", "remedy": "at most 65536 bytes"}],
            "POST", "/api/light", b" " * TOO_LARGE)

    def test_live_tells_the_light(self):
        with LiveSocket(self.daemon.port) as live:
            self.assertEqual(live.next()["mode"], "silent")
            self.daemon.light("slip-window")
            told = live.until(lambda light: light["mode"] == "lit" and light["props"][0]["lit"])
            self.assertEqual((told["pattern"], told["props"][0]["prop"]), ("chase", "slip-window"))
            live.until(lambda light: light["props"][0]["sent"].strip("0") != "")
            self.daemon.post("/api/dark")
            live.until(lambda light: light["mode"] == "dark")

    def test_live_is_refused_to_a_page_elsewhere(self):
        with self.assertRaisesRegex(ConnectionError, "HTTP/1.1 403 Forbidden"):
            LiveSocket(self.daemon.port, origin="http://boathouse.example")

    def test_a_port_that_is_taken(self):
        with socket.socket() as taken:
            taken.bind(("127.0.0.1", 0))
            taken.listen()
            port = taken.getsockname()[1]
            with Program("serve", self.site, "--listen", f"127.0.0.1:{port}") as second:
                self.assertEqual(second.end(), 1)
        self.assertEqual(second.err(), f"127.0.0.1:{port}: port {port} is taken by another "
                                       "program; give another port, or 0 for any that is free")
        self.assertEqual(second.out(), "")

    def test_listen_is_checked(self):
        for listen, said in (("127.0.0.1", "'127.0.0.1' has no port; such as 127.0.0.1:8017"),
                             (":8017", "':8017' has no address; such as 127.0.0.1:8017"),
                             ("::1:8017", "'::1' needs brackets; such as [::1]:8017"),
                             ("127.0.0.1:70000",
                              "'70000' is no port; 1 to 65535, or 0 for any that is free")):
            with Program("serve", self.site, "--listen", listen) as second:
                self.assertEqual(second.end(), 2)
            self.assertIn(said, second.err())


class LiveSocket:
    """A WebSocket that reads whole text messages."""

    def __init__(self, port, origin=None):
        self.socket = socket.create_connection(("127.0.0.1", port), timeout=PATIENCE)
        self.read = self.socket.makefile("rb")
        lines = ["GET /api/live HTTP/1.1", f"Host: 127.0.0.1:{port}", "Upgrade: websocket",
                 "Connection: Upgrade", "Sec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==",
                 "Sec-WebSocket-Version: 13"]
        if origin:
            lines.append(f"Origin: {origin}")
        self.socket.sendall(("\r\n".join(lines) + "\r\n\r\n").encode())
        head = []
        while (line := self.read.readline().decode().rstrip("\r\n")):
            head.append(line)
        if not re.match(r"HTTP/1\.1 101 ", head[0]):
            self.close()
            raise ConnectionError(head[0])
        # RFC 6455 section 1.3.
        accepted = [line.partition(": ")[2] for line in head
                    if line.lower().startswith("sec-websocket-accept:")]
        assert accepted == ["s3pPLMBiTxaQ9kYGzzhZRbK+xOo="], head

    def next(self):
        """Section 5.2: one text frame, unmasked, as a server sends it."""
        while True:
            first, second = self.read.read(2)
            assert not second & 0x80, "a server's frames have no mask"
            size = second
            if size == 126:
                (size,) = struct.unpack("!H", self.read.read(2))
            elif size == 127:
                (size,) = struct.unpack("!Q", self.read.read(8))
            payload = self.read.read(size)
            if first == 0x81:
                return json.loads(payload)

    def until(self, condition):
        """The first message of which it is true."""
        def look():
            message = self.next()
            return message if condition(message) else None
        return wait_for(look, "a message that says so")

    def close(self):
        self.read.close()
        self.socket.close()

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self.close()


class End(unittest.TestCase):
    def test_the_end_is_quiet_with_a_page_open(self):
        site = make_site("end", [controller("bench", "e131", "127.0.0.1:9")],
                         [prop("slip-window", "bench", 1)])
        with Daemon(site) as daemon, LiveSocket(daemon.port) as live:
            live.next()
            self.assertEqual(daemon.end(signal.SIGTERM), 0)
            self.assertEqual(daemon.err(), "")


if __name__ == "__main__":
    main()
