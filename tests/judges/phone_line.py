"""A phone without a browser: signs in, reads the hidden fields of forms, and posts whatever one wants posted."""

import http.client
import json
import re
import urllib.parse
from html.parser import HTMLParser

from castlot_process import run
from served import PINS


class Forms(HTMLParser):
    """The forms of a page: where each button of them leads, and all fields that go along."""

    def __init__(self, page):
        super().__init__()
        self.forms, self.form = [], None
        self.feed(page)

    def handle_starttag(self, tag, attributes):
        attributes = dict(attributes)
        if tag == "form":
            self.form = {"action": attributes.get("action", ""), "fields": {}, "buttons": []}
            self.forms.append(self.form)
        elif self.form is None:
            return
        elif tag == "input" and attributes.get("name") and attributes.get("type") not in ("radio", "checkbox"):
            self.form["fields"][attributes["name"]] = attributes.get("value") or ""
        elif tag == "button" and attributes.get("type", "submit") == "submit":
            where = attributes.get("formaction") or self.form["action"]
            self.form["buttons"].append((where, attributes.get("name"), attributes.get("value")))

    def handle_endtag(self, tag):
        if tag == "form":
            self.form = None


class Line:
    """One phone's cookies, on one address of this machine."""

    def __init__(self, server, source="127.0.0.1"):
        self.server, self.source, self.cookies = server, source, {}

    def ask(self, path, fields=None, headers=None, cookies=True):
        """(status, headers, page); a form is posted where there are fields."""
        line = http.client.HTTPConnection("127.0.0.1", self.server.port, timeout=60, source_address=(self.source, 0))
        sent = {"Host": f"127.0.0.1:{self.server.port}"}
        if cookies and self.cookies:
            sent["Cookie"] = "; ".join(f"{name}={value}" for name, value in self.cookies.items())
        body = None
        if fields is not None:
            body = urllib.parse.urlencode(fields)
            sent |= {"Content-Type": "application/x-www-form-urlencoded", "Origin": self.server.origin}
        try:
            line.request("GET" if fields is None else "POST", path, body, sent | (headers or {}))
            answer = line.getresponse()
            page = answer.read().decode("utf-8", "replace")
        finally:
            line.close()
        for cookie in answer.headers.get_all("Set-Cookie") or []:
            name, value = re.match(r"([^=]+)=([^;]*)", cookie).groups()
            self.cookies[name] = value
        return answer.status, answer.headers, page

    def sign_in(self, who="RB", pin=None):
        """The status that signing in is answered by."""
        page = self.ask("/shed/sign-in")[2]
        form = next(form for form in Forms(page).forms if "pin" in form["fields"])
        return self.ask("/shed/sign-in", form["fields"] | {"by": who, "pin": pin or PINS[who]})[0]

    def form_for(self, path, action):
        """Fields of the first form of a page that has a button leading to `action`, the button's own among them."""
        for form in Forms(self.ask(path)[2]).forms:
            for where, name, value in form["buttons"]:
                if where == action:
                    return form["fields"] | ({name: value or ""} if name else {})
        raise RuntimeError(f"{path} has no form that leads to {action}")


def entries(castlot, farm):
    """How many entries the diary has; the chain is checked on the way."""
    return json.loads(run(castlot, "--farm", farm, "verify", "--json"))["entries"]
