"""Debian's Chromium, driven by Playwright, and a watch over what its pages do.

A `Watch` notes every request, every word on the console, every dialog and every report of the content security
policy. It judges nothing: what may be there is said by those who ask.
"""

import contextlib
import shutil

from playwright.sync_api import sync_playwright

# Runs before anything of the page; the browser's own report of its policy reaches us by the console.
REPORT = """addEventListener('securitypolicyviolation', event =>
    console.error('policy: ' + event.violatedDirective + ' kept out ' + (event.blockedURI || 'inline')), true)"""
PATIENCE = 30_000  # milliseconds for one step of a page, on a busy machine
# What Chromium says of every answer by plain HTTP to a machine on the network: a header that only counts with TLS.
NO_FAULT = "The Cross-Origin-Opener-Policy header has been ignored, because the URL's origin was untrustworthy."


@contextlib.contextmanager
def chromium(hosts=None):
    """A headless Chromium; `hosts` says where names really are, as `{"lots.marlhythe.example": "127.0.0.1:8443"}`."""
    rules = ", ".join(f"MAP {name} {where}" for name, where in (hosts or {}).items())
    # No other name is looked up, so that a page which asks for one fails here as it would in a shed without a line.
    rules = ", ".join(filter(None, (rules, "MAP * ~NOTFOUND", "EXCLUDE 127.0.0.1", "EXCLUDE localhost")))
    options = ["--no-sandbox", "--disable-background-networking", f"--host-resolver-rules={rules}"]
    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=shutil.which("chromium"), args=options)
        try:
            yield browser
        finally:
            browser.close()


class Watch:
    """One browsing context (its cookies, its size, its colours) and all that was seen in it."""

    def __init__(self, browser, width=1200, script=True, colours="light", zoom=1, height=800):
        self.context = browser.new_context(
            viewport={"width": width, "height": height}, java_script_enabled=script, color_scheme=colours,
            device_scale_factor=zoom, ignore_https_errors=True, service_workers="block")
        self.context.set_default_timeout(PATIENCE)
        if script:
            self.context.add_init_script(REPORT)
        self.requests, self.console, self.dialogs, self.faults = [], [], [], []
        self.context.on("request", lambda request: self.requests.append(request.url))
        self.context.on("console", lambda word: self.console.append((word.type, word.text)))
        self.context.on("dialog", self.shut)
        self.context.on("weberror", lambda fault: self.faults.append(str(fault.error)))
        self.page = self.context.new_page()

    def shut(self, dialog):
        self.dialogs.append(f"{dialog.type}: {dialog.message}")
        dialog.dismiss()

    def forget(self):
        for seen in (self.requests, self.console, self.dialogs, self.faults):
            seen.clear()

    def visit(self, address):
        """Opens an address afresh; the answer's status. What was seen before is forgotten."""
        self.forget()
        return self.page.goto(address, wait_until="load").status

    def policy_reports(self):
        """What the browser says its policy kept out, in its own words too, so that it needs no script to be told."""
        signs = ("policy: ", "Content Security Policy", "Content-Security-Policy")
        return sorted({text for _, text in self.console if any(sign in text for sign in signs)})

    def errors(self):
        said = {text for kind, text in self.console if kind in ("error", "warning") and not text.startswith(NO_FAULT)}
        return sorted(said | set(self.faults))

    def elsewhere(self, origin):
        """Requests to anybody else than the origin."""
        return sorted({url for url in self.requests if not url.startswith((origin + "/", "data:"))})

    def close(self):
        self.context.close()

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self.close()
