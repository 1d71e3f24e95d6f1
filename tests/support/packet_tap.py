"""What comes in by a packet socket, taken on a thread of its own."""
import socket
import threading


class PacketTap:
    """Hands every packet of the socket to take() until close(). Whoever inherits is ready before it calls
    this constructor."""

    def __init__(self, packets):
        self.socket = packets
        self.socket.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, 8 << 20)
        self.socket.settimeout(0.1)
        self.ends = False
        self.thread = threading.Thread(target=self._listen, daemon=True)
        self.thread.start()

    def _listen(self):
        while not self.ends:
            try:
                packet = self.socket.recv(65535)
            except (TimeoutError, socket.timeout):
                continue
            except OSError:  # the card is gone
                return
            self.take(packet)

    def take(self, packet):
        raise NotImplementedError

    def close(self):
        self.ends = True
        self.thread.join()
        self.socket.close()
