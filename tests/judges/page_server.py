"""Shows a folder of published pages as any web host would: Python's own file server, plain or with TLS."""

import contextlib
import functools
import http.server
import ssl
import subprocess
import threading


class Handler(http.server.SimpleHTTPRequestHandler):
    protocol_version = "HTTP/1.1"

    def log_message(self, *_):
        pass

    def send_error(self, code, *_):
        """The farm's own 404 page, as a host shows it that was told of it."""
        page = self.server.folder / "404.html"
        body = page.read_bytes() if code == 404 and page.exists() else b""
        self.send_response(code)
        self.send_header("Content-Type", "text/html; charset=utf-8")
        self.send_header("Content-Length", str(len(body)))
        self.end_headers()
        if self.command != "HEAD":
            self.wfile.write(body)


class Server(http.server.ThreadingHTTPServer):
    daemon_threads = True

    def handle_error(self, *_):
        """A browser that hangs up is no news."""


@contextlib.contextmanager
def shown(folder, certificate=None):
    """The port on which the folder is shown; `certificate` is a (certificate, key) of files."""
    server = Server(("127.0.0.1", 0), functools.partial(Handler, directory=str(folder)))
    server.folder = folder
    if certificate:
        context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
        context.load_cert_chain(*certificate)
        server.socket = context.wrap_socket(server.socket, server_side=True, do_handshake_on_connect=False)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    try:
        yield server.server_address[1]
    finally:
        server.shutdown()
        server.server_close()


def certificate_for(name, folder):
    """A certificate that signs itself, for one day: made by openssl, trusted by nobody but whoever made it."""
    certificate, key = folder / "certificate.pem", folder / "key.pem"
    subprocess.run(
        ["openssl", "req", "-x509", "-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:prime256v1", "-nodes", "-days", "1",
         "-subj", f"/CN={name}", "-addext", f"subjectAltName=DNS:{name}", "-keyout", key, "-out", certificate],
        check=True, capture_output=True)
    return certificate, key
