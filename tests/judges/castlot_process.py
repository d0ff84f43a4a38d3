"""Runs castlot as a person would: a command, its output, or the reason it failed."""

import json
import subprocess


def run(*command):
    done = subprocess.run([str(part) for part in command], capture_output=True, text=True)
    if done.returncode != 0:
        said = (done.stderr or done.stdout).strip()
        raise RuntimeError(f"exit {done.returncode} from {' '.join(map(str, command))}\n{said}")
    return done.stdout


def ask(castlot, folder, code, side, at=None):
    """What castlot itself says of one lot: one process, one JSON object."""
    command = [castlot, "--farm", folder, "trace", code, "--json", f"--{side}"]
    return json.loads(run(*command, *(["--when", at] if at is not None else [])))
