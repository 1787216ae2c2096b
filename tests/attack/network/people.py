"""Who takes part: a desk with its keeper, and phones that keep, send and say again, as their page does.

In: hosts, and the program. Out: a desk that is begun, killed and begun again, whose keeper opens its pages; phones with entries, and what became of each.
"""

import http.client
import json
import os
import re
import subprocess
import threading
import time
import urllib.parse
from datetime import datetime

from cryptography.exceptions import InvalidTag
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.ciphers.aead import ChaCha20Poly1305
from cryptography.hazmat.primitives.kdf.hkdf import HKDF

PAGE = "/-desk/phones"
# Seconds until a phone that hears nothing tries again: at first, and at most, as its page does, so that a machine that is busy gets to an answer. Seconds until a keeper gives up.
PATIENCE, LONGEST, KEEPER = 1.5, 12, 90


class Fault(Exception):
    """What must hold did not."""


def until(holds, what, patience=150):
    end = time.monotonic() + patience
    while not holds():
        if time.monotonic() > end:
            raise Fault(f"after {patience} s still not: {what}")
        time.sleep(0.02)


def asked(address, method, path, body=None, headers=None, patience=PATIENCE):
    connection = http.client.HTTPConnection(address, timeout=patience)
    try:
        connection.request(method, path, body, headers or {})
        answer = connection.getresponse()
        return answer.status, answer.read(), answer.headers
    finally:
        connection.close()


class Desk:
    """A desk that is open, and its keeper, who was let in."""

    def __init__(self, hosts, program, kennel):
        self.hosts, self.program, self.kennel = hosts, program, kennel
        self.begin()

    def begin(self):
        line = [self.program, "--kennel", self.kennel, "desk", "--no-browser", "--port", "0", "--book-port", "0"]
        self.child = self.hosts.on("desk", lambda: subprocess.Popen(line, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True))
        self.hosts.tell(desk=self.child.pid)
        self.said = []
        threading.Thread(target=self.listen, args=(self.child.stdout, self.said), daemon=True).start()
        until(lambda: self.link() or self.child.poll() is not None, "the desk says where it is", KEEPER)
        if not self.link():
            raise Fault(f"the desk did not begin: {''.join(self.said)}")
        link = urllib.parse.urlsplit(self.link()[1])
        self.book = link.netloc
        headers = self.hosts.on("desk", lambda: asked(self.book, "GET", link.path, patience=KEEPER))[2]
        self.cookie = headers["set-cookie"].split(";")[0]

    @staticmethod
    def listen(pipe, said):
        for line in pipe:
            said.append(line)

    def link(self):
        return re.search(r"^book: (\S+)$", "".join(self.said), re.M)

    def shown(self):
        """Waits until site and book were made."""
        until(lambda: re.search(r"^\d\d:\d\d:\d\d ", "".join(self.said), re.M), "site and book are shown", KEEPER)

    def kill(self):
        self.child.kill()
        self.ended()

    def ended(self):
        self.child.wait(KEEPER)
        self.hosts.tell(desk=0)

    def page(self):
        headers = {"Cookie": self.cookie}
        return self.hosts.on("desk", lambda: asked(self.book, "GET", PAGE, None, headers, KEEPER))[1].decode()

    def keeper(self, **fields):
        """Presses a button of the page of phones; the page afterwards."""
        fields["token"] = re.search(r'name="token" value="([^"]+)"', self.page())[1]
        headers = {"Cookie": self.cookie, "Content-Type": "application/x-www-form-urlencoded", "Origin": f"http://{self.book}"}
        body = urllib.parse.urlencode(fields)
        status, answer, _ = self.hosts.on("desk", lambda: asked(self.book, "POST", PAGE, body, headers, KEEPER))
        if status != 303:
            raise Fault(f"the page of phones answers {status}: {answer.decode()[-600:]}")
        return self.page()

    def opens(self, address):
        """Listens to phones at an address; address and port that the page shows."""
        page = self.keeper(act="open", address=address)
        at = re.search(r"At <code>http://([0-9.]+:\d+)/", page)[1]
        self.hosts.tell(port=int(at.split(":")[1]))
        return at

    def code(self, name):
        page = self.keeper(act="code", name=name)
        return re.search(r'class="code">([^<]+)<', page)[1]


class Phone:
    """Keeps entries, and sends them from a thread on a host of its own. `rest` is how long it waits after an answer, as long as nothing is tapped."""

    def __init__(self, hosts, host, code, address, rest=0.1):
        self.hosts, self.host, self.address, self.rest = hosts, host, address, rest
        self.code = code.replace("-", "")[:23].encode()
        self.id, self.sitting, self.run, self.number = os.urandom(16), os.urandom(16), None, 0
        self.waiting, self.became, self.view, self.now, self.ahead = [], {}, None, None, None
        self.answered = self.failed = self.runs = 0
        self.elsewhere, self.patience = None, PATIENCE
        self.is_over, self.lock, self.wake = False, threading.Lock(), threading.Event()
        self.thread = threading.Thread(target=self.loop, daemon=True)
        self.thread.start()

    def key(self, purpose):
        salt = self.id + self.run + self.sitting
        return ChaCha20Poly1305(HKDF(hashes.SHA256(), 32, salt, f"litterfolio phone 1: {purpose}".encode()).derive(self.code))

    def say(self, entries):
        if self.run is None:
            status, run, _ = asked(self.address, "GET", "/run", patience=self.patience)
            if status != 200:
                raise OSError(f"answered {status}")
            self.run, self.number, self.sitting = bytes.fromhex(run.decode().strip()), 0, os.urandom(16)
            self.runs += 1
        number, self.number = self.number, self.number + 1
        nonce = bytes(4) + number.to_bytes(8, "big")
        sealed = self.key("to the desk").encrypt(nonce, json.dumps({"entries": entries}).encode(), None)
        body = self.id + self.sitting + number.to_bytes(8, "big") + sealed
        status, answer, _ = asked(self.address, "POST", "/say", body, patience=self.patience)
        if status != 200:
            self.run = None
            raise OSError(f"answered {status}")
        return json.loads(self.key("to the phone").decrypt(nonce, answer, None))

    def loop(self):
        self.hosts.enter(self.host)
        while not self.is_over:
            self.wake.clear()
            if self.elsewhere:
                self.address, self.run, self.elsewhere = self.elsewhere, None, None
            with self.lock:
                entries = self.waiting[:40]
            try:
                self.told(self.say(entries))
                self.patience = PATIENCE
            except TimeoutError:
                self.failed += 1
                self.patience = min(self.patience * 1.5, LONGEST)
                continue
            except (OSError, ValueError, http.client.HTTPException, InvalidTag):
                self.failed += 1
                time.sleep(0.05)
                continue
            self.wake.wait(self.rest)

    def told(self, told):
        with self.lock:
            self.answered += 1
            self.view, self.now = told["view"] or self.view, told["now"]
            if self.ahead is None:
                self.ahead = datetime.fromisoformat(told["now"]) - datetime.now()
            for each in told["entries"]:
                if each["became"] != "later":
                    self.became[each["id"]] = (each["became"], each["words"])
                    self.waiting = [known for known in self.waiting if known["id"] != each["id"]]

    def enters(self, act, litter, **fields):
        entry = {"id": os.urandom(12).hex(), "act": act, "litter": litter, "words": act, "fields": list(fields.items())}
        with self.lock:
            self.waiting.append(entry)
        self.wake.set()
        return entry["id"]

    def moved(self, address):
        """The desk has another address now: from the next request on."""
        self.elsewhere = address
        until(lambda: self.elsewhere is None, f"the phone on {self.host} takes the address")

    def wall(self):
        return (datetime.now() + self.ahead).strftime("%Y-%m-%d %H:%M:%S")

    def heard_anew(self):
        """Waits for an answer to something that is asked from now on."""
        before = self.answered
        until(lambda: self.answered > before + 1, f"the phone on {self.host} is answered")

    def end(self):
        self.is_over = True
        self.wake.set()
        self.thread.join(10)
