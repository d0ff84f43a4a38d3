"""`castlot serve` over a farm: started on a free port, waited for, killed and started again.

The server reads the clock from `CASTLOT_NOW` where it is given, as every castlot command does, so that a judge owns the day.
"""

import contextlib
import http.client
import os
import signal
import socket
import ssl
import subprocess
import tempfile
import time
from pathlib import Path

LOOPBACK = "127.0.0.1"
PATIENCE = 20.0  # seconds until it must answer
PINS = {"RB": "482915", "NT": "730164"}  # the demo farm's two workers; nobody's birthday


def free_port(address=LOOPBACK):
    with socket.socket() as listener:
        listener.bind((address, 0))
        return listener.getsockname()[1]


def network_address():
    """This machine's address on its network, as a phone would type it; None where it has none. Nothing is sent to find it."""
    with contextlib.suppress(OSError), socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as line:
        line.connect(("198.51.100.1", 9))  # RFC 5737: nobody's address
        found = line.getsockname()[0]
        return None if found.startswith("127.") else found
    return None


class Served:
    """A farm's server: `origin` is where it answers."""

    def __init__(self, castlot, farm, now=None, options=(), address=LOOPBACK):
        self.castlot, self.farm, self.options, self.address = str(castlot), Path(farm), list(options), address
        self.port = free_port(address)
        self.environment = dict(os.environ, **({"CASTLOT_NOW": now} if now else {}))
        self.process, self.said = None, None

    @property
    def origin(self):
        scheme = "https" if "--cert" in self.options else "http"
        return f"{scheme}://{self.address}:{self.port}"

    def start(self):
        self.said = tempfile.TemporaryFile()
        command = [self.castlot, "--farm", self.farm, "serve", "--at", f"{self.address}:{self.port}", *self.options]
        self.process = subprocess.Popen(
            [str(part) for part in command], stdout=self.said, stderr=subprocess.STDOUT, env=self.environment)
        until = time.monotonic() + PATIENCE
        while not self.answers():
            if self.process.poll() is not None or time.monotonic() > until:
                raise RuntimeError(f"the server does not answer: {self.words()}")
            time.sleep(0.05)
        return self

    def answers(self):
        """Whether it answers a request: it listens a moment before, and does not stay where another serves the farm."""
        with contextlib.suppress(OSError, http.client.HTTPException):
            return self.get("/", "HEAD")[0] == 200
        return False

    def words(self):
        """All it has said so far."""
        self.said.seek(0)
        return self.said.read().decode("utf-8", "replace")

    def is_up(self):
        return self.process is not None and self.process.poll() is None

    def stop(self):
        """Asks it to end, as Ctrl-C does; its exit code."""
        if self.is_up():
            self.process.send_signal(signal.SIGINT)
        return self.process.wait(PATIENCE)

    def kill(self):
        """Ends it as a power cut does."""
        if self.is_up():
            self.process.kill()
            self.process.wait()

    def memory(self):
        """Peak of resident memory in MB, from the kernel."""
        status = Path(f"/proc/{self.process.pid}/status").read_text()
        return int(status.split("VmHWM:")[1].split()[0]) / 1024

    def get(self, path, method="GET", body=None, headers=None):
        """(status, headers, body) of one plain request."""
        line = http.client.HTTPConnection(self.address, self.port, timeout=30)
        if self.origin.startswith("https"):
            line = http.client.HTTPSConnection(self.address, self.port, timeout=30, context=ssl._create_unverified_context())
        try:
            line.request(method, path, body=body, headers=headers or {})
            answer = line.getresponse()
            return answer.status, answer.headers, answer.read()
        finally:
            line.close()

    def __enter__(self):
        return self.start()

    def __exit__(self, *_):
        self.kill()


def set_pins(castlot, farm):
    """Gives each worker of `PINS` their own, as one line from a pipe."""
    for who, pin in PINS.items():
        done = subprocess.run([str(castlot), "--farm", str(farm), "pin", who], input=pin + "\n", text=True, capture_output=True)
        if done.returncode != 0:
            raise RuntimeError(f"castlot pin {who}: {done.stderr}")


def sign_in(page, who="RB", pin=None):
    """Fills in the form that stands on the page, and waits for where it leads."""
    page.fill("input[name=by]", who)
    page.fill("input[name=pin]", pin or PINS[who])
    page.click("form[action='/shed/sign-in'] button")
    page.wait_for_load_state()
