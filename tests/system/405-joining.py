"""`panewalk serve` at an address that others reach: the join code, its QR code, the session, the names
that it is called by. The QR code is read by zbarimg."""
import fcntl
import json
import os
import pty
import re
import signal
import socket
import struct
import subprocess
import termios
import unittest

from network_daemon import CLIENTS, SERVER, NetworkDaemon, problems, use_addresses
from running import PANEWALK, PATIENCE, Program, controller, main, make_site, prop, wait_for

MODULE = 6  # pixels that a module of the QR code is wide where zbarimg reads it
# What kind of module the upper and the lower half of a cell shows.
HALVES = {" ": (0, 0), "▀": (1, 0), "▄": (0, 1), "█": (1, 1)}
NOT_JOINED = "this device has not joined"
GIVE_THE_CODE = "open the page and give the code that serve printed"


def decode(lines):
    """What the QR code says, by zbarimg."""
    rows = []
    for line in lines:
        rows += [[HALVES[cell][half] for cell in line] for half in (0, 1)]
    pixels = b"".join(
        b"".join((b"\0" if module else b"\xff") * MODULE for module in row) * MODULE for row in rows)
    with open("code.pgm", "wb") as file:
        file.write(f"P5 {len(rows[0]) * MODULE} {len(rows) * MODULE} 255\n".encode() + pixels)
    done = subprocess.run(["zbarimg", "--quiet", "--raw", "code.pgm"], capture_output=True, text=True,
                          timeout=PATIENCE, check=True)
    return done.stdout.rstrip("\n")


def serve_in_terminal(site, columns):
    """What serve prints on a terminal of so many columns, until it is ready."""
    ours, its = pty.openpty()
    fcntl.ioctl(its, termios.TIOCSWINSZ, struct.pack("HHHH", 50, columns, 0, 0))
    process = subprocess.Popen([PANEWALK, "serve", site, "--practice", "--listen", f"{SERVER}:0"],
                               stdin=subprocess.DEVNULL, stdout=its, stderr=subprocess.DEVNULL,
                               start_new_session=True)
    os.close(its)
    text = b""
    try:
        while b"No light is sent until" not in text:
            text += os.read(ours, 65536)
    finally:
        process.send_signal(signal.SIGTERM)
        try:
            while os.read(ours, 65536):
                pass
        except OSError:
            pass  # the terminal's other end is closed
        process.wait(timeout=PATIENCE)
        os.close(ours)
    return text.decode().replace("\r\n", "\n")


class Joining(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        use_addresses(SERVER, *CLIENTS)
        cls.site = make_site("site", [controller("bench", "e131", "127.0.0.1:9")],
                             [prop("slip-window", "bench", 1)])

    def daemon(self, **how):
        daemon = NetworkDaemon(self.site, "--practice", **how)
        self.addCleanup(daemon.__exit__)
        return daemon

    def test_what_it_prints(self):
        daemon = self.daemon()
        self.assertRegex(daemon.code, r"\A[2-9ACDEFHJKMNPQRTVWXY]{4}-[2-9ACDEFHJKMNPQRTVWXY]{4}\Z")
        address = f"http://{SERVER}:{daemon.port}/"
        self.assertEqual(daemon.lines["out"], [
            f"panewalk serves boathouse at {address}",
            f"Join code: {daemon.code}  (or open {address}#/join/{daemon.code.replace('-', '')})",
            "Everybody with the code can switch the lights. It is plain HTTP: others on the same "
            "network",
            "can read along and take over a session. Only for a network you trust; never let the",
            "internet reach it.",
            "Practice: to built-in receivers on this machine, nothing to the network.",
            "No light is sent until it is asked for. Ctrl-C: dark, and end."])
        self.assertNotEqual(self.daemon().code, daemon.code)

    def test_the_terminal_shows_a_code_that_a_camera_reads(self):
        text = serve_in_terminal(self.site, columns=80)
        drawn = re.findall(r"^\x1b\[38;5;16;48;5;231m(.*)\x1b\[0m$", text, re.MULTILINE)
        link = re.search(r"\(or open (\S+)\)", text)[1]
        self.assertEqual(decode(drawn), link)
        self.assertRegex(link, rf"\Ahttp://{re.escape(SERVER)}:\d+/#/join/[2-9A-Z]{{8}}\Z")

    def test_a_narrow_terminal_shows_the_text_alone(self):
        text = serve_in_terminal(self.site, columns=36)
        self.assertNotIn("\x1b", text)
        self.assertIn("Join code: ", text)

    def test_a_session(self):
        daemon = self.daemon()
        refused = (401, problems(("/api/site", NOT_JOINED, GIVE_THE_CODE)))
        status, headers, text = daemon.call("GET", "/api/site")
        self.assertEqual((status, text), refused)
        self.assertEqual(headers["WWW-Authenticate"], "JoinCode")
        self.assertEqual(json.loads(daemon.call("GET", "/api/joined")[2]),
                         {"needed": True, "joined": False})

        typed = daemon.code.lower().replace("-", " ")
        status, headers, text = daemon.call("POST", "/api/join", {"code": typed})
        self.assertEqual((status, json.loads(text)), (200, {"joined": True}))
        self.assertRegex(headers["Set-Cookie"],
                         r"\Apanewalk=[0-9a-f]{32}; Path=/; HttpOnly; SameSite=Strict\Z")
        cookie = headers["Set-Cookie"].partition(";")[0]
        self.assertEqual(daemon.call("GET", "/api/site", cookie=cookie)[0], 200)
        self.assertEqual(json.loads(daemon.call("GET", "/api/joined", cookie=cookie)[2]),
                         {"needed": True, "joined": True})
        self.assertEqual(daemon.call("POST", "/api/dark", cookie=cookie)[0], 200)
        # Of one name, with others beside it.
        self.assertEqual(
            daemon.call("GET", "/api/site", cookie=f"lamp=1; panewalk=0; {cookie}")[0], 200)

        live, head = daemon.upgrade(cookie=cookie)
        self.addCleanup(live.close)
        self.assertRegex(head, r"\AHTTP/1\.1 101 ")
        status, headers, text = daemon.call("POST", "/api/leave", cookie=cookie)
        self.assertEqual((status, json.loads(text)), (200, {"joined": False}))
        self.assertEqual(headers["Set-Cookie"],
                         "panewalk=; Max-Age=0; Path=/; HttpOnly; SameSite=Strict")
        self.assertEqual((daemon.call("GET", "/api/site", cookie=cookie)[::2]), refused)

        def told_nothing_more():
            try:
                return live.recv(65536) == b""
            except ConnectionError:
                return True
        wait_for(told_nothing_more, "the WebSocket of the session ends with it")

    def test_a_cookie_does_not_outlive_the_program(self):
        daemon = self.daemon()
        cookie = daemon.join()
        self.assertEqual(daemon.end(signal.SIGTERM), 0)
        again = self.daemon(listen=f"{SERVER}:{daemon.port}")
        self.assertEqual(again.call("GET", "/api/site", cookie=cookie)[::2],
                         (401, problems(("/api/site", NOT_JOINED, GIVE_THE_CODE))))
        self.assertEqual(again.call("POST", "/api/join", {"code": daemon.code})[::2],
                         (403, problems(("/code", "not the join code",
                                         "the code that serve printed when it started"))))

    def test_the_page_comes_to_everybody(self):
        daemon = self.daemon()
        status, headers, text = daemon.call("GET", "/")
        self.assertEqual((status, headers["Content-Type"]), (200, "text/html; charset=utf-8"))
        self.assertEqual(
            headers["Content-Security-Policy"],
            "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; "
            f"connect-src 'self' ws://{SERVER}:{daemon.port}; manifest-src 'self'; "
            "base-uri 'none'; form-action 'none'; frame-ancestors 'none'")
        self.assertEqual(daemon.call("GET", "/page/index.html")[2], text)
        again = daemon.call("GET", "/", If_None_Match=headers["ETag"])
        self.assertEqual((again[0], again[2]), (304, ""))

    def test_every_name_of_the_machine(self):
        daemon = self.daemon(listen="0.0.0.0:0")
        # Of the namespace's addresses the first that is not loopback.
        self.assertEqual(daemon.told_host, SERVER)
        port = daemon.port
        machine = socket.gethostname().lower()
        for host in (f"{SERVER}:{port}", f"{CLIENTS[3]}:{port}", f"127.0.0.1:{port}",
                     f"localhost:{port}", f"{machine}:{port}", f"{machine}.local:{port}"):
            self.assertEqual(daemon.call("GET", "/api/joined", hosts=[host],
                                         Origin=f"http://{host}")[0], 200, host)
        foreign = problems(("Host", f'"203.0.113.9:{port}" is not a name of this server',
                            "the address that serve printed"))
        self.assertEqual(daemon.call("GET", "/", hosts=[f"203.0.113.9:{port}"])[::2],
                         (403, foreign))
        # An address that comes while it serves.
        use_addresses("203.0.113.9")
        wait_for(lambda: daemon.call("GET", "/", hosts=[f"203.0.113.9:{port}"])[0] == 200,
                 "the new address is known")

    def test_ipv6(self):
        use_addresses("2001:db8::10")
        with Program("serve", self.site, "--practice", "--listen", "[2001:db8::10]:0") as daemon:
            wait_for(lambda: "No light is sent" in daemon.out() or daemon.process.poll(), "ready")
            self.assertRegex(daemon.out(), r"at http://\[2001:db8::10\]:\d+/\n")

    def test_loopback_needs_no_code(self):
        daemon = Program("serve", self.site, "--practice", "--listen", "127.0.0.1:0")
        self.addCleanup(daemon.__exit__)
        wait_for(lambda: "No light is sent" in daemon.out(), "ready")
        self.assertNotIn("Join", daemon.out())

    def test_an_address_of_another_machine(self):
        with Program("serve", self.site, "--listen", "198.51.100.7:0") as daemon:
            self.assertEqual(daemon.end(), 1)
        self.assertEqual(daemon.err(),
                         "198.51.100.7: not an address of this machine; 127.0.0.1, an address of "
                         "this machine's network, or 0.0.0.0 for all of them")


if __name__ == "__main__":
    main()
