"""`panewalk serve` at an address that others reach, and clients with addresses of their own: all on
the loopback interface of the test's own network namespace."""
import http.client
import json
import os
import re
import socket
import subprocess

from running import PATIENCE, Program, wait_for

SERVER = "192.0.2.10"  # RFC 5737, as the others here
CLIENTS = [f"192.0.2.{last}" for last in range(21, 28)]


def use_addresses(*addresses):
    """Gives them to this namespace's loopback interface."""
    path = os.environ["PATH"] + ":/usr/sbin:/sbin"
    for address in addresses:
        size = 64 if ":" in address else 24
        subprocess.run(["ip", "address", "replace", f"{address}/{size}", "dev", "lo"], check=True,
                       env={**os.environ, "PATH": path})


def problems(*each):
    """The whole text of a refusal; each is (where, message, remedy)."""
    told = [{"where": where, "message": message, "remedy": remedy}
            for where, message, remedy in each]
    return json.dumps({"problems": told}, indent=2) + "\n"


class NetworkDaemon(Program):
    """Ready to be joined."""

    def __init__(self, site, *options, listen=f"{SERVER}:0", host=SERVER, **popen):
        super().__init__("serve", site, "--listen", listen, *options, **popen)
        wait_for(lambda: self.process.poll() is not None or
                 any("No light is sent until" in line for line in self.lines["out"]),
                 "serve is ready")
        url = re.fullmatch(r"panewalk serves \S+ at http://(\S+):(\d+)/",
                           (self.lines["out"] or [""])[0])
        code = re.search(r"^Join code: (\S+)  \(or open (\S+)\)$", self.out(), re.MULTILINE)
        if not url or not code:
            self.__exit__()
            raise AssertionError(f"serve did not start: {self.out()}\n{self.err()}")
        self.host, self.told_host, self.port = host, url[1], int(url[2])
        self.code, self.link = code[1], code[2]

    @property
    def name(self):
        """What a Host header holds."""
        return f"{self.host}:{self.port}"

    def connect(self, source=CLIENTS[0]):
        """A socket from an address; it is the caller's to close."""
        return socket.create_connection((self.host, self.port), timeout=PATIENCE,
                                        source_address=(source, 0))

    def call(self, method, target, body=None, source=CLIENTS[0], cookie=None, hosts=None, **headers):
        """(status, headers, text). `hosts` are the Host headers, one where nothing is said."""
        connection = http.client.HTTPConnection(self.host, self.port, timeout=PATIENCE,
                                                source_address=(source, 0))
        try:
            connection.putrequest(method, target, skip_host=True, skip_accept_encoding=True)
            for host in [self.name] if hosts is None else hosts:
                connection.putheader("Host", host)
            if body is not None:
                if not isinstance(body, bytes):
                    body = json.dumps(body).encode()
                connection.putheader("Content-Type", "application/json")
                connection.putheader("Content-Length", str(len(body)))
            if cookie is not None:
                connection.putheader("Cookie", cookie)
            for name, value in headers.items():
                connection.putheader(name.replace("_", "-"), value)
            connection.endheaders(body)
            answer = connection.getresponse()
            return answer.status, dict(answer.getheaders()), answer.read().decode()
        finally:
            connection.close()

    def join(self, source=CLIENTS[0]):
        """The cookie of a new session, as it is sent."""
        status, headers, text = self.call("POST", "/api/join", {"code": self.code}, source)
        if status != 200:
            raise AssertionError(f"joining: {status} {text}")
        return headers["Set-Cookie"].partition(";")[0]

    def upgrade(self, source=CLIENTS[0], cookie=None, origin=None, receive_buffer=None):
        """(socket, head of the answer) of a call for the WebSocket; the key of RFC 6455, 1.3."""
        live = socket.socket()
        live.settimeout(PATIENCE)
        if receive_buffer:
            live.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, receive_buffer)
        live.bind((source, 0))
        live.connect((self.host, self.port))
        lines = ["GET /api/live HTTP/1.1", f"Host: {self.name}", "Upgrade: websocket",
                 "Connection: Upgrade", "Sec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==",
                 "Sec-WebSocket-Version: 13"]
        lines += [f"Cookie: {cookie}"] if cookie else []
        lines += [f"Origin: {origin}"] if origin else []
        live.sendall(("\r\n".join(lines) + "\r\n\r\n").encode())
        head = b""
        while not head.endswith(b"\r\n\r\n"):
            octet = live.recv(1)
            if not octet:
                break
            head += octet
        return live, head.decode()


def ends(connection, seconds):
    """Whether the other side ends the connection in that time. What comes until then is dropped."""
    connection.settimeout(seconds)
    try:
        while connection.recv(65536):
            pass
    except (TimeoutError, socket.timeout):
        return False
    except ConnectionError:
        pass
    return True
