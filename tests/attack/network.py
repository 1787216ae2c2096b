"""A delivery of eight on two phones, the desk and each phone on a host of its own, over a bad network.

    python3 tests/attack/network.py PROGRAM --kennel DIR [--cuts 200] [--seed 1]

In: the program and a kennel folder, of which a copy is made. Hosts are network namespaces (as root, with `ip` and `tc`) behind one bridge; each link loses and delays packets. Links are taken down and up
again at random, and phones change their addresses. Each phone keeps its entries, sends them in order and says them again until they are answered, as its page does. Out: exit code 0 when the records equal
what was tapped, to the second, each once, and nothing is asked; 1 otherwise, 2 where there are no namespaces.
"""

import argparse, ctypes, http.client, json, os, random, re, shutil, signal, subprocess, sys, tempfile, threading, time
import urllib.parse
from datetime import datetime, timedelta

import yaml
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.ciphers.aead import ChaCha20Poly1305
from cryptography.hazmat.primitives.kdf.hkdf import HKDF

TAG = f"lf{os.getpid() % 10000}"
NET = "10.77.0"
HOSTS = {"desk": 1, "box": 11, "table": 12}
LITTER = "winter-2026"
DAY = "2026-11-08"
libc = ctypes.CDLL(None, use_errno=True)


def ip(*words, of=None, may_fail=False):
    command = ["ip", *(["-n", f"{TAG}-{of}"] if of else []), *words]
    done = subprocess.run(command, capture_output=True, text=True)
    if done.returncode and not may_fail:
        raise OSError(f"{' '.join(command)}: {done.stderr.strip()}")


def begin_hosts():
    ip("netns", "add", f"{TAG}-net")
    ip("link", "add", "name", "hub", "type", "bridge", of="net")
    ip("link", "set", "dev", "hub", "up", of="net")
    for host, number in HOSTS.items():
        ip("netns", "add", f"{TAG}-{host}")
        ip("link", "add", "name", "eth0", "netns", f"{TAG}-{host}", "type", "veth", "peer", "name", host, "netns", f"{TAG}-net")
        ip("link", "set", "dev", host, "master", "hub", "up", of="net")
        ip("link", "set", "lo", "up", of=host)
        ip("addr", "add", f"{NET}.{number}/24", "dev", "eth0", of=host)
        ip("link", "set", "eth0", "up", of=host)


def spoil_links():
    """Loss and delay; what the kernel cannot do is said."""
    for host in ("box", "table"):
        command = ["tc", "-n", f"{TAG}-net", "qdisc", "add", "dev", host, "root", "netem", "delay", "25ms", "15ms", "loss", "4%"]
        done = subprocess.run(command, capture_output=True, text=True)
        if done.returncode:
            print(f"no loss and delay on the link of {host}: {done.stderr.strip()}")


def end_hosts():
    for host in (*HOSTS, "net"):
        ip("netns", "del", f"{TAG}-{host}", may_fail=True)


def enter(host):
    """The calling thread is on this host from now on."""
    with open(f"/var/run/netns/{TAG}-{host}") as place:
        if libc.setns(place.fileno(), 0x40000000):
            raise OSError(ctypes.get_errno(), "setns")


def on(host, act):
    """Runs something on a host."""
    result = []

    def run():
        enter(host)
        result.append(act())

    thread = threading.Thread(target=run)
    thread.start()
    thread.join()
    return result[0]


def asked(address, method, path, body=None, headers=None, patience=0.6):
    connection = http.client.HTTPConnection(address, timeout=patience)
    try:
        connection.request(method, path, body, headers or {})
        answer = connection.getresponse()
        return answer.status, answer.read(), answer.headers
    finally:
        connection.close()


class Desk:
    def __init__(self, program, kennel):
        enter_desk = ["ip", "netns", "exec", f"{TAG}-desk", program, "--kennel", kennel, "desk", "--port", "0", "--book-port", "0"]
        self.child = subprocess.Popen(enter_desk, stdout=subprocess.PIPE, text=True)
        said = ""
        while not (re.search(r"^site: \S+$", said, re.M) and re.search(r"^book: \S+$", said, re.M)):
            line = self.child.stdout.readline()
            if not line:
                raise OSError(f"the desk ended: {said}")
            said += line
        threading.Thread(target=self.child.stdout.read, daemon=True).start()
        link = urllib.parse.urlsplit(re.search(r"^site: (\S+)$", said, re.M)[1])
        self.book = urllib.parse.urlsplit(re.search(r"^book: (\S+)$", said, re.M)[1]).netloc
        _, _, headers = on("desk", lambda: asked(link.netloc, "GET", f"{link.path}?{link.query}", patience=60))
        self.cookie = headers["set-cookie"].split(";")[0]

    def keeper(self, path="/-desk/phones", **fields):
        headers = {"Cookie": self.cookie}
        page = on("desk", lambda: asked(self.book, "GET", path, None, headers, 60))[1].decode()
        if not fields:
            return page
        fields["token"] = re.search(r'name="token" value="([^"]+)"', page)[1]
        headers |= {"Content-Type": "application/x-www-form-urlencoded", "Origin": f"http://{self.book}"}
        status, body, _ = on("desk", lambda: asked(self.book, "POST", path, urllib.parse.urlencode(fields), headers, 60))
        if status != 303:
            raise OSError(f"the desk answers {status}: {body.decode()[-600:]}")
        return self.keeper(path)

    def code(self, name):
        page = self.keeper(act="code", name=name)
        return re.search(r'class="code">([^<]+)<', page)[1], re.search(r"http://([0-9.]+:\d+)/", page)[1]


class Phone:
    """Keeps entries, and sends them from a thread on a host of its own."""

    def __init__(self, host, code, address):
        self.host, self.code, self.address = host, code.replace("-", "")[:23].encode(), address
        self.id, self.sitting, self.run, self.number = os.urandom(16), os.urandom(16), None, 0
        self.waiting, self.became, self.puppy, self.view, self.ahead = [], {}, {}, None, None
        self.failed, self.ended, self.lock = 0, False, threading.Lock()
        self.thread = threading.Thread(target=self.loop, daemon=True)
        self.thread.start()

    def key(self, purpose):
        salt = self.id + self.run + self.sitting
        return ChaCha20Poly1305(HKDF(hashes.SHA256(), 32, salt, f"litterfolio phone 1: {purpose}".encode()).derive(self.code))

    def say(self, entries):
        if self.run is None:
            self.run, self.number = bytes.fromhex(asked(self.address, "GET", "/run")[1].decode().strip()), 0
            self.sitting = os.urandom(16)
        number, self.number = self.number, self.number + 1
        nonce = bytes(4) + number.to_bytes(8, "big")
        sealed = self.key("to the desk").encrypt(nonce, json.dumps({"entries": entries}).encode(), None)
        body = self.id + self.sitting + number.to_bytes(8, "big") + sealed
        status, answer, _ = asked(self.address, "POST", "/say", body)
        if status != 200:
            self.run = None
            raise OSError(f"answered {status}")
        return json.loads(self.key("to the phone").decrypt(nonce, answer, None))

    def loop(self):
        enter(self.host)
        while not self.ended:
            with self.lock:
                entries = self.waiting[:40]
            try:
                told = self.say(entries)
            except (OSError, http.client.HTTPException):
                self.failed += 1
                time.sleep(0.05)
                continue
            with self.lock:
                self.view = told["view"] or self.view
                if self.ahead is None:
                    self.ahead = datetime.fromisoformat(told["now"]) - datetime.now()
                for each in told["entries"]:
                    if each["became"] != "later":
                        self.became[each["id"]] = each["became"]
                        self.waiting = [known for known in self.waiting if known["id"] != each["id"]]
            time.sleep(0.1)

    def enters(self, act, **fields):
        entry = {"id": os.urandom(12).hex(), "act": act, "litter": LITTER, "words": act, "fields": list(fields.items())}
        with self.lock:
            self.waiting.append(entry)
        return entry["id"]

    def wall(self):
        return (datetime.now() + self.ahead).strftime("%Y-%m-%d %H:%M:%S")


def until(holds, patience=120):
    end = time.time() + patience
    while not holds():
        if time.time() > end:
            raise OSError("it never came")
        time.sleep(0.05)


def cut(dice, many, state):
    for number in range(many):
        host = dice.choice(("box", "table", "desk"))
        ip("link", "set", "dev", host, "down", of="net")
        time.sleep(dice.uniform(0.05, 0.5))
        if dice.random() < 0.15 and host != "desk":
            # Another address, as a phone gets one in another corner of the house.
            new = dice.randrange(20, 250)
            ip("addr", "flush", "dev", "eth0", of=host)
            ip("addr", "add", f"{NET}.{new if host == 'box' else min(new + 1, 251)}/24", "dev", "eth0", of=host)
            state["moves"] += 1
        ip("link", "set", "dev", host, "up", of="net")
        state["cuts"] = number + 1
        time.sleep(dice.uniform(0.05, 0.5))
    state["done"] = True


def deliver(phones, dice, state):
    """Eight births, each on one of the phones, spread over the cuts; what was tapped."""
    tapped = []
    ribbons = ["green", "blue", "yellow", "red", "purple", "orange", "pink", "white"]
    for place, ribbon in enumerate(ribbons):
        until(lambda: state["done"] or state["cuts"] >= place * state["all"] // len(ribbons), 600)
        phone = phones[place % 2]
        puppy = {"born": phone.wall(), "sex": dice.choice(("female", "male")), "ribbon": ribbon}
        birth = phone.enters("born", how="natural", **puppy)
        looked = {"weight": f"{dice.randrange(180, 300)} g", "first_breath": f"{dice.randrange(0, 50)} s", "placenta": dice.choice(("out", "retained"))}
        for key, said in looked.items():
            phone.enters("newborn", birth=birth, born=puppy["born"], **{key: said})
        tapped.append(puppy | looked)
        time.sleep(1.2)
    until(lambda: state["done"], 600)
    return tapped


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("program")
    parser.add_argument("--kennel", required=True)
    parser.add_argument("--cuts", type=int, default=200)
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args()
    dice, desk, faults = random.Random(given.seed), None, []
    kennel = tempfile.mkdtemp(prefix="network-")
    shutil.copytree(os.path.join(given.kennel, "content"), os.path.join(kennel, "content"))
    file = os.path.join(kennel, "content/kennel.yaml")
    with open(file) as text:
        pinned = re.sub(r"^as_of:.*$", f"as_of: {DAY}", text.read(), flags=re.M)
    with open(file, "w") as text:
        text.write(pinned)
    try:
        begin_hosts()
    except OSError as error:
        print(f"no hosts of their own here: {error}")
        end_hosts()
        return 2
    try:
        desk = Desk(os.path.abspath(given.program), kennel)
        desk.keeper(act="open", address=f"{NET}.1")
        phones = []
        for name, host in (("Box", "box"), ("Table", "table")):
            phones.append(Phone(host, *desk.code(name)))
            until(lambda: phones[-1].view and phones[-1].ahead is not None)
        spoil_links()
        state = {"cuts": 0, "moves": 0, "done": False, "all": given.cuts}
        cutting = threading.Thread(target=cut, args=(random.Random(given.seed + 1), given.cuts, state))
        cutting.start()
        tapped = deliver(phones, dice, state)
        cutting.join()
        until(lambda: not any(phone.waiting for phone in phones))
        became = [each for phone in phones for each in phone.became.values()]
        if set(became) - {"written", "already"}:
            faults.append(f"entries became {sorted(set(became))}")
        with open(os.path.join(kennel, "content/litters", LITTER, "litter.yaml")) as text:
            record = yaml.load(text, yaml.BaseLoader)
        puppies = sorted(record["puppies"], key=lambda puppy: int(puppy["order"]))
        if len(puppies) != len(tapped):
            faults.append(f"{len(puppies)} puppies for {len(tapped)} births")
        for wanted, found in zip(tapped, puppies):
            found = found | {"born": found["born"] if "-" in found["born"] else f"{record['birth']['on']} {found['born']}"}
            faults += [f"{found['id']}: {key} is {found.get(key)}, tapped {said}" for key, said in wanted.items() if found.get(key) != said]
        for phone in phones:
            phone.ended = True
        print(f"{len(tapped)} births, {len(became)} entries, {state['cuts']} cuts, {state['moves']} changes of address, {sum(phone.failed for phone in phones)} requests that failed, {len(faults)} faults")
        print("\n".join(faults), end="\n" if faults else "")
        return 1 if faults else 0
    finally:
        if desk:
            subprocess.run(["ip", "netns", "exec", f"{TAG}-desk", "true"], check=False)
            desk.child.send_signal(signal.SIGINT)
            desk.child.wait(20)
        end_hosts()
        shutil.rmtree(kennel, ignore_errors=True)


if __name__ == "__main__":
    sys.exit(main())
