"""Runs the Nu Html Checker (npm `vnu-jar`), which knows HTML, ARIA, SVG and CSS as their standards have them."""

import json
import os
import subprocess
from pathlib import Path


def node_folder():
    """Where `.ci/run` puts the judges' npm packages."""
    usual = Path(__file__).resolve().parents[2] / "target" / "judges-node"
    return Path(os.environ.get("CASTLOT_NODE_JUDGES", usual)) / "node_modules"


def axe_source():
    """axe-core as one script (npm `axe-core`)."""
    return (node_folder() / "axe-core" / "axe.min.js").read_text(encoding="utf-8")


def check(paths):
    """What the checker finds in files or in folders of them: one line each, errors and warnings alike; information is left out."""
    jar = node_folder() / "vnu-jar" / "build" / "dist" / "vnu.jar"
    command = ["java", "-Xss4m", "-Xmx512m", "-jar", str(jar), "--format", "json", "--exit-zero-always", "--skip-non-html"]
    done = subprocess.run([*command, *map(str, paths)], capture_output=True, text=True)
    try:
        messages = json.loads(done.stderr)["messages"]
    except (ValueError, KeyError):
        raise RuntimeError(f"the HTML checker did not answer: {done.stderr[:2000]}") from None
    return [told(message) for message in messages if is_finding(message)]


def is_finding(message):
    """Errors and warnings, but not its guess at policies: it trims a style before taking its digest, which browsers do not.

    What a policy keeps out is told by Chromium itself, on every page that is opened.
    """
    if "style violates Content Security Policy" in message["message"]:
        return False
    # SVG 2 has it as a property ("The 'vector-effect' property"); the checker's list of properties is older.
    if message["message"].startswith("CSS: “vector-effect”: Property “vector-effect” doesn't exist"):
        return False
    return message["type"] != "info" or message.get("subType") == "warning"


def told(message):
    where = "/".join(message.get("url", "?").split("/")[-3:])
    return f"{where}, line {message.get('lastLine', '?')}: {message['message']} ({message.get('extract', '').strip()[:120]})"
