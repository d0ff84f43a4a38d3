"""The attack set on a server: ways out of the pages, broken and oversize HTTP, slow clients, games with hosts.

Each attack returns what got through, one line each. Where an attack aims is worked out from the standards (RFC 9112, RFC 3986)
and from common practice; none is taken from a list of anybody's.
"""

import contextlib
import socket
import ssl
import time
from urllib.parse import quote

import wire

ELSEWHERE = "elsewhere.example"
# What stands in files of the farm's folder and of the machine, and must never be in an answer.
SECRETS = (b"SQLite format 3", b"an invented farm on an invented quay", b"root:x:0", b"castlot-secret-file")
FILES = ("castlot.toml", "diary.db", "phones/pins.toml", "secret.txt", "Cargo.toml")
UP = ("..", "%2e%2e", "%252e%252e", ".%2e", "%c0%ae%c0%ae", "%uff0e%uff0e", "..%00", "..;", "%2e%2e%2f..", "....", "..\\..", "..%5c..")
STEPS = ("/", "%2f", "%252f", "\\", "%5c", "//", "/./", "%c0%af")
SLOW_LINES = 160  # from one address; more than a server gives to one
LONGEST_WAIT = 45.0  # seconds until a slow client must be gone
QUICK = 2.0  # seconds in which others are still answered, on a busy machine
MEMORY = 64  # MB by which a flood of bytes may make the server grow


def ways_out():
    """Targets that lead out of any folder of pages, if somebody takes them for the path of a file."""
    for name in FILES:
        yield f"/{name}"
        yield f"/{quote(name, safe='').replace('.', '%2e')}"
        yield f"/404.html/../{name}"
        yield f"/%00/{name}"
        yield f"/{name}%00.html"
        yield f"/file:///{name}"
        for up in UP:
            for step in STEPS:
                yield f"/{step.join([up] * 2)}{step}{name}"
                yield f"/P26170-01-D{step}{up}{step}{up}{step}{name}"
    for name in ("etc/passwd", "proc/self/environ"):
        yield from (f"/{step.join([up] * 12)}{step}{name}" for up in UP for step in STEPS)
        yield f"//{name}"
        yield f"//127.0.0.1/{name}"


def traversal(port):
    through, sent = [], 0
    for target in ways_out():
        answer, sent = wire.get(port, target), sent + 1
        if any(secret in answer.raw for secret in SECRETS):
            through.append(f"{target} shows a file")
        if answer.status is None or answer.status >= 500:
            through.append(f"{target} is answered by {answer.status}")
    return through, sent


def broken(port):
    """Requests that are no HTTP, or too much of it: refused, and never answered with a page or an error of the server's own."""
    host = b"Host: x\r\n"
    requests = {
        "nothing": b"", "noise": bytes(range(256)) * 40, "a TLS hello": b"\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03" + b"\x00" * 300,
        "no version": b"GET /\r\n\r\n", "version 9": b"GET / HTTP/9.9\r\n" + host + b"\r\n",
        "a method of 10,000 letters": b"G" * 10_000 + b" / HTTP/1.1\r\n" + host + b"\r\n",
        "a target of 1 MB": b"GET /" + b"A" * 1_000_000 + b" HTTP/1.1\r\n" + host + b"\r\n",
        "a header of 1 MB": b"GET / HTTP/1.1\r\n" + host + b"X: " + b"A" * 1_000_000 + b"\r\n\r\n",
        "20,000 headers": b"GET / HTTP/1.1\r\n" + host + b"".join(b"X%d: y\r\n" % n for n in range(20_000)) + b"\r\n",
        "a space before the colon": b"GET / HTTP/1.1\r\nHost : x\r\n\r\n",
        "a NUL in a header": b"GET / HTTP/1.1\r\nHost: x\r\nX: a\x00b\r\n\r\n",
        "a line feed in the target": b"GET /a\nb HTTP/1.1\r\n" + host + b"\r\n",
        "two lengths": b"POST / HTTP/1.1\r\n" + host + b"Content-Length: 5\r\nContent-Length: 6\r\n\r\nhello!",
        "a length below zero": b"POST / HTTP/1.1\r\n" + host + b"Content-Length: -1\r\n\r\n",
        "a length beyond all": b"POST / HTTP/1.1\r\n" + host + b"Content-Length: 99999999999999999999\r\n\r\n",
        "a chunk of no number": b"POST / HTTP/1.1\r\n" + host + b"Transfer-Encoding: chunked\r\n\r\nzz\r\n\r\n",
        "a chunk beyond all": b"POST / HTTP/1.1\r\n" + host + b"Transfer-Encoding: chunked\r\n\r\nffffffffffffffffff\r\n",
        "length and chunks": b"POST / HTTP/1.1\r\n" + host + b"Content-Length: 4\r\nTransfer-Encoding: chunked\r\n\r\n0\r\n\r\nGET /x HTTP/1.1\r\n\r\n",
    }
    through = []
    for name, raw in requests.items():
        answer = wire.say(port, raw)
        # "Nothing" or a refusal; what hangs up without a word has refused too.
        if answer.status is not None and not 400 <= answer.status < 500 and not (answer.status == 505):
            through.append(f"{name} is answered by {answer.status}")
    return through, len(requests)


def methods(port, paths):
    """No method but those of a browser does anything, and none is echoed."""
    through = []
    names = ("PUT", "DELETE", "PATCH", "TRACE", "CONNECT", "OPTIONS", "PROPFIND", "MKCOL", "COPY", "MOVE", "POST", "get", "X-Y")
    for method in names:
        for path in paths:
            answer = wire.get(port, path, "X-Echo: castlot-echo", "Content-Length: 0", method=method)
            if answer.status is not None and (answer.status < 400 and not (method == "OPTIONS" and answer.status in (200, 204))
                                              or answer.status >= 500 and answer.status != 501):
                through.append(f"{method} {path} is answered by {answer.status}")
            if b"castlot-echo" in answer.raw:
                through.append(f"{method} {path} is echoed")
    return through, len(names) * len(paths)


def hosts(port, paths):
    """Whatever a client says that we are called, nothing leads there; and no header can be slipped in."""
    through, sent = [], 0
    games = [dict(host=ELSEWHERE), dict(host=f"{ELSEWHERE}:80@127.0.0.1"), dict(host=f"{ELSEWHERE}/x"), dict(host="")]
    games += [dict(headers=[f"{name}: {ELSEWHERE}"]) for name in ("X-Forwarded-Host", "X-Host", "Forwarded", "X-Original-URL", "Host")]
    slips = [f"//{ELSEWHERE}/", f"/%2f%2f{ELSEWHERE}", f"/\\{ELSEWHERE}", f"/%5c{ELSEWHERE}", f"http://{ELSEWHERE}/", f"/.{ELSEWHERE}",
             "/p261700%0d%0aX-Slipped:%20yes", "/x?%0d%0aX-Slipped:%20yes", "/%E5%98%8A%E5%98%8DX-Slipped:%20yes"]
    tries = [(path, game) for path in paths for game in games] + [(slip, {}) for slip in slips]
    tries += [(slip + path.lstrip("/"), {}) for slip in slips[:6] for path in paths]
    for target, game in tries:
        answer, sent = wire.get(port, target, *game.get("headers", []), host=game.get("host")), sent + 1
        leads, called = answer.header("Location") or "", f"{target} with {game or 'its own host'}"
        if leads.startswith(("//", "/\\", "http:", "https:", "\\")) or ELSEWHERE in leads:
            through.append(f"{called} leads to {leads}")
        if game.get("host") == ELSEWHERE and answer.status != 421:
            through.append(f"{called} is answered by {answer.status}, though the name is none of the farm's")
        if answer.header("X-Slipped"):
            through.append(f"{called} slips a header in")
        if answer.status == 200 and ELSEWHERE.encode() in answer.body:
            through.append(f"{called} stands on the page")
        if answer.status is not None and answer.status >= 500:
            through.append(f"{called} is answered by {answer.status}")
    return through, sent


def oversize(server, paths):
    """A body that is too long is refused early, whether it says how long it is or not, and is not kept in memory."""
    through, before = [], server.memory()
    for path in paths:
        head = f"POST {path} HTTP/1.1\r\nHost: x\r\nContent-Type: application/x-www-form-urlencoded\r\n"
        for name, length, piece in (("said", "Content-Length: 500000000\r\n\r\n", b"a" * 65_536),
                                    ("chunked", "Transfer-Encoding: chunked\r\n\r\n", b"10000\r\n" + b"a" * 65_536 + b"\r\n")):
            taken, answer = flood(server.port, head + length, piece, 500)
            if answer.status is not None and not 400 <= answer.status < 500:
                through.append(f"{path}: a long body ({name}) is answered by {answer.status}")
            if taken >= 500:
                through.append(f"{path}: 32 MB of a body ({name}) are taken in")
    grown = server.memory() - before
    return through + ([f"the server grew by {grown:.0f} MB"] if grown > MEMORY else []), 2 * len(paths)


def flood(port, head, piece, most):
    """(pieces that were taken, the answer)."""
    got, taken, started = b"", 0, time.monotonic()
    with contextlib.closing(wire.connect(port)) as line:
        with contextlib.suppress(OSError):
            line.sendall(head.encode())
            line.settimeout(3)
            for taken in range(1, most + 1):
                line.sendall(piece)
        with contextlib.suppress(OSError):
            while part := line.recv(65_536):
                got += part
    return taken, wire.Answer(got, time.monotonic() - started)


def slow(server, path):
    """Clients who say a byte now and then are hung up on, and meanwhile others are answered."""
    head = f"GET {path} HTTP/1.1\r\nHost: x\r\nX: ".encode()
    body = f"POST {path} HTTP/1.1\r\nHost: x\r\nContent-Length: 60000\r\n\r\na=".encode()
    lines = []
    for source, start in (("127.0.0.2", head), ("127.0.0.3", body)):
        for _ in range(SLOW_LINES):
            line = wire.connect(server.port, source)
            with contextlib.suppress(OSError):
                line.sendall(start)
            lines.append(line)
    return held(server, path, lines), len(lines)


def slow_under_tls(server, path):
    """The same where what is sent is encrypted: slow to greet, slow to ask, slow to send a form, and silent from the start."""
    greeting = b"\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03"
    head = f"GET {path} HTTP/1.1\r\nHost: x\r\nX: ".encode()
    body = f"POST {path} HTTP/1.1\r\nHost: x\r\nContent-Length: 60000\r\n\r\na=".encode()
    kinds, lines, trust = (("127.0.0.2", greeting, False), ("127.0.0.3", head, True), ("127.0.0.5", body, True)), [], ssl.create_default_context()
    trust.check_hostname, trust.verify_mode = False, ssl.CERT_NONE
    for source, start, greets in kinds:
        for _ in range(SLOW_LINES // 4):
            line = wire.connect(server.port, source)
            with contextlib.suppress(OSError):
                line = trust.wrap_socket(line) if greets else line
                line.sendall(start)
            lines.append(line)
    return held(server, path, lines), len(lines)


def held(server, path, lines):
    """What is wrong while these open lines are fed a byte now and then, until each was hung up on."""
    through, started, slowest, ended = [], time.monotonic(), 0.0, [None] * len(lines)
    while time.monotonic() - started < LONGEST_WAIT and None in ended:
        left = [at for at, when in enumerate(ended) if when is None]
        for at, when in zip(left, wire.drip([lines[at] for at in left], b"a", 0.3, 0.6)):
            if when is not None:
                ended[at] = time.monotonic() - started
        asked = time.monotonic()
        status = server.get(path)[0]
        slowest = max(slowest, time.monotonic() - asked)
        if status != 200:
            through.append(f"while slow clients hold on, others are answered by {status}")
            break
    for line in lines:
        line.close()
    shut = sum(when is not None for when in ended)
    if shut < len(lines):
        through.append(f"{len(lines) - shut} of {len(lines)} slow clients still hold on after {LONGEST_WAIT:.0f} s")
    if slowest > QUICK:
        through.append(f"meanwhile others waited {slowest:.1f} s")
    return through


def half_open(server, path):
    """Two thousand who connect and leave at once, and some who ask and take nothing in, leave the server as it was."""
    for _ in range(2_000):
        with contextlib.suppress(OSError):
            line = socket.create_connection(("127.0.0.1", server.port), 5, ("127.0.0.4", 0))
            line.close()
    answer = wire.get(server.port, path)
    return [] if answer.status == 200 and answer.took < QUICK else [f"after 2,000 who left, the answer is {answer.status}"], 2_000
