"""Signs in to a castlot that serves, and sends so many forms, one after the other: notes of beds. Prints
how long each was waited for, in milliseconds, as a line of `serve_load.sh`'s table; fails where one was not recorded.

    writer.py PORT WORKER PIN FORMS WHAT
"""

import http.client
import re
import sys
import time
from urllib.parse import urlencode


class Phone:
    def __init__(self, port):
        self.line = http.client.HTTPConnection("127.0.0.1", int(port), timeout=60)
        self.cookies = {}

    def ask(self, method, path, fields=None):
        head = {"Cookie": "; ".join(f"{name}={value}" for name, value in self.cookies.items())}
        body = None
        if fields is not None:
            head |= {"Content-Type": "application/x-www-form-urlencoded", "Sec-Fetch-Site": "same-origin"}
            body = urlencode(fields)
        self.line.request(method, path, body, head)
        answer = self.line.getresponse()
        for name, value in answer.getheaders():
            if name.lower() == "set-cookie":
                cookie, _, rest = value.partition("=")
                self.cookies[cookie] = rest.partition(";")[0]
        return answer.status, answer.read().decode()


def hidden(page, name):
    field = re.search(rf'<input[^>]*name="{name}"[^>]*>', page)
    return re.search(r'value="([^"]*)"', field[0])[1]


def main(port, worker, pin, forms, what):
    phone = Phone(port)
    _, page = phone.ask("GET", "/shed/sign-in")
    fields = {"token": hidden(page, "token"), "by": worker, "pin": pin, "to": "/shed/round"}
    status, said = phone.ask("POST", "/shed/sign-in", fields)
    if status != 303:
        sys.exit(f"not signed in: {status}\n{said}")
    _, round_page = phone.ask("GET", "/shed/round")
    bins = sorted(set(re.findall(r'href="[^"]*/BIN/([A-Z0-9]+)', round_page)))
    waited = []
    for turn in range(int(forms)):
        name = bins[turn % len(bins)]
        _, page = phone.ask("GET", f"/BIN/{name}")
        form = page[page.index('action="/shed/noted"'):]
        fields = {field: hidden(form, field) for field in ("token", "key", "by", "bin", "bed")}
        fields["note"] = f"turn {turn}"
        start = time.monotonic()
        status, said = phone.ask("POST", "/shed/noted", fields)
        waited.append((time.monotonic() - start) * 1000)
        if status != 200:
            sys.exit(f"not recorded: {status}\n{said}")
    waited.sort()
    middle, last = waited[len(waited) // 2], waited[-1 - len(waited) // 100]
    print(f"| {what} | {len(waited)} | {middle:.2f} | {last:.2f} | {waited[-1]:.2f} | 0 |", flush=True)


if __name__ == "__main__":
    main(*sys.argv[1:])
