"""Speaks to a server byte by byte, as no browser would: for attacks, and for what a bad line does to good people."""

import contextlib
import re
import socket
import time

PATIENCE = 30.0


class Answer:
    """What came back: `status` is None where the server said nothing and hung up."""

    def __init__(self, raw, took):
        self.raw, self.took = raw, took
        head, _, self.body = raw.partition(b"\r\n\r\n")
        first = re.match(rb"HTTP/1\.[01] (\d{3})", head)
        self.status = int(first[1]) if first else None
        self.head = head.decode("latin-1")

    def header(self, name):
        found = re.search(rf"(?im)^{re.escape(name)}:[ \t]*(.*?)\r?$", self.head)
        return found[1] if found else None


def connect(port, source="127.0.0.1"):
    """From another address of this machine where one is named: 127.0.0.2 is somebody else to a server."""
    return socket.create_connection(("127.0.0.1", port), PATIENCE, (source, 0))


def say(port, raw, source="127.0.0.1", end=True):
    """Sends bytes as they are and takes in all that comes until the server hangs up, or for a second of silence."""
    started = time.monotonic()
    got = b""
    with contextlib.closing(connect(port, source)) as line:
        with contextlib.suppress(OSError):
            line.sendall(raw)
            if end:
                line.shutdown(socket.SHUT_WR)
            line.settimeout(5)
            while part := line.recv(65_536):
                got += part
    return Answer(got, time.monotonic() - started)


def get(port, target, *headers, method="GET", host=None, source="127.0.0.1"):
    """One request whose target is sent exactly as given."""
    lines = [f"{method} {target} HTTP/1.1", f"Host: {host or f'127.0.0.1:{port}'}", "Connection: close", *headers, "", ""]
    return say(port, "\r\n".join(lines).encode("utf-8", "surrogateescape"), source, end=False)


def drip(lines, piece, every, until):
    """Sends each open line one more byte now and then; when each was hung up on, in seconds from now, or None."""
    started, ended = time.monotonic(), [None] * len(lines)
    while time.monotonic() - started < until and None in ended:
        for at, line in enumerate(lines):
            if ended[at] is None and is_shut(line, piece):
                ended[at] = time.monotonic() - started
        time.sleep(every)
    return ended


def is_shut(line, piece):
    try:
        line.settimeout(0.001)
        line.sendall(piece)
        while got := line.recv(65_536):
            del got
        return True
    except TimeoutError:
        return False
    except OSError:
        return True
