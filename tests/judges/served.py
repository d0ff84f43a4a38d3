"""`castlot serve` over a farm: started on a free port, waited for, killed and started again.

The server reads the clock from `CASTLOT_NOW` where it is given, as every castlot command does, so that a judge owns the day.
"""

import contextlib
import http.client
import os
import signal
import socket
import subprocess
import tempfile
import time
from pathlib import Path

PATIENCE = 20.0  # seconds until it must answer
PINS = {"RB": "482915", "NT": "730164"}  # the demo farm's two workers; nobody's birthday


def free_port():
    with socket.socket() as listener:
        listener.bind(("127.0.0.1", 0))
        return listener.getsockname()[1]


class Served:
    """A farm's server: `origin` is where it answers."""

    def __init__(self, castlot, farm, now=None, options=(), name="127.0.0.1"):
        self.castlot, self.farm, self.options, self.name = str(castlot), Path(farm), list(options), name
        self.port = free_port()
        self.environment = dict(os.environ, **({"CASTLOT_NOW": now} if now else {}))
        self.process, self.said = None, None

    @property
    def origin(self):
        scheme = "https" if "--cert" in self.options else "http"
        return f"{scheme}://{self.name}:{self.port}"

    def start(self):
        self.said = tempfile.TemporaryFile()
        command = [self.castlot, "--farm", self.farm, "serve", "--at", f"127.0.0.1:{self.port}", *self.options]
        self.process = subprocess.Popen(
            [str(part) for part in command], stdout=self.said, stderr=subprocess.STDOUT, env=self.environment)
        until = time.monotonic() + PATIENCE
        while not self.answers():
            if self.process.poll() is not None or time.monotonic() > until:
                raise RuntimeError(f"the server does not answer: {self.words()}")
            time.sleep(0.05)
        return self

    def answers(self):
        with contextlib.suppress(OSError), socket.create_connection(("127.0.0.1", self.port), 1):
            return True
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
        line = http.client.HTTPConnection("127.0.0.1", self.port, timeout=30)
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


def can_serve(castlot):
    """Whether this castlot has the command at all."""
    return subprocess.run([str(castlot), "serve", "--help"], capture_output=True).returncode == 0


def can_sign_in(castlot):
    """Whether this castlot gives workers PINs."""
    return subprocess.run([str(castlot), "pin", "--help"], capture_output=True).returncode == 0


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
