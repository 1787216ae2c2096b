"""Hosts of their own on one machine, and the switch between them that loses, delays and doubles frames.

In: names of hosts, as root. Each is a network namespace that one thread of this process holds, with a TAP device as its network card. A second process is the switch: it carries frames between the
cards, worse than they came if it is told to. Out: hosts to run something on, and counts of what the switch did. Namespaces, cards and programs that were begun there end with this process, also when it
is killed: the switch sees its end, and takes the folder away too. Neither `tc` nor a bridge is needed, only `ip`, /dev/net/tun and the right to make namespaces.
"""

import ctypes
import fcntl
import heapq
import json
import os
import random
import select
import shutil
import signal
import socket
import struct
import subprocess
import threading
import time
from collections import Counter
from concurrent.futures import ThreadPoolExecutor

NET = "10.77.0"
# Of <sched.h> and <linux/if_tun.h>.
CLONE_NEWNET = 0x40000000
TUNSETIFF, IFF_TAP, IFF_NO_PI = 0x400454CA, 0x0002, 0x1000
IPV4, ARP = b"\x08\x00", b"\x08\x06"
# A home network at its worst: parts of a hundred that are lost and said twice, seconds on the way.
BAD = {"lost": 0.04, "twice": 0.01, "least": 0.010, "most": 0.040}
GOOD = {"lost": 0, "twice": 0, "least": 0, "most": 0}
# A sealed request without an entry is shorter than this, and one with an entry longer.
ENTRY = 150
libc = ctypes.CDLL(None, use_errno=True)


class Hosts:
    """Namespaces, one thread in each, and the switch."""

    def __init__(self, numbers, seed, folder):
        self.lock, self.places, taps = threading.Lock(), {}, {}
        self.threads = {host: ThreadPoolExecutor(1) for host in numbers}
        for host, number in numbers.items():
            self.places[host], taps[host] = self.on(host, begun)
            self.move(host, number)
        self.mouth, ear = socket.socketpair(socket.AF_UNIX, socket.SOCK_SEQPACKET)
        self.child = os.fork()
        if self.child == 0:
            code = 1
            try:
                self.mouth.close()
                Switch(taps, ear, seed, folder, {place_of(place) for place in self.places.values()}).run()
                code = 0
            finally:
                os._exit(code)
        ear.close()
        for tap in taps.values():
            os.close(tap)

    def on(self, host, act):
        """Runs something on a host; what is begun there stays there."""
        return self.threads[host].submit(act).result()

    def enter(self, host):
        """The calling thread is on this host from now on."""
        if libc.setns(self.places[host], CLONE_NEWNET):
            raise OSError(ctypes.get_errno(), "setns")

    def move(self, host, number):
        """The host has this address, and no other."""
        self.on(host, lambda: (ip("addr", "flush", "dev", "eth0"), ip("addr", "add", f"{NET}.{number}/24", "dev", "eth0")))

    def tell(self, **what):
        """Tells the switch something; its counts until now."""
        with self.lock:
            self.mouth.send(json.dumps(what).encode())
            said = self.mouth.recv(60_000)
        if not said:
            raise OSError("the switch ended")
        return json.loads(said)

    def end(self):
        """The switch sees the end, and takes all away."""
        self.mouth.close()
        os.waitpid(self.child, 0)
        for thread in self.threads.values():
            thread.shutdown()
        for place in self.places.values():
            os.close(place)


def ip(*words):
    done = subprocess.run(["ip", *words], capture_output=True, text=True)
    if done.returncode:
        raise OSError(f"ip {' '.join(words)}: {done.stderr.strip()}")


def begun():
    """The calling thread is on a host of its own from now on, with a card that is up."""
    if libc.unshare(CLONE_NEWNET):
        raise OSError(ctypes.get_errno(), "no network namespace can be made")
    tap = os.open("/dev/net/tun", os.O_RDWR | os.O_NONBLOCK)
    fcntl.ioctl(tap, TUNSETIFF, struct.pack("16sH22x", b"eth0", IFF_TAP | IFF_NO_PI))
    ip("link", "set", "lo", "up")
    # No address of a single link: the switch carries no IPv6.
    ip("link", "set", "eth0", "addrgenmode", "none")
    ip("link", "set", "eth0", "up")
    return os.open("/proc/thread-self/ns/net", os.O_RDONLY), tap


class Switch:
    """Carries frames, and strikes at moments that only somebody on the line can see."""

    def __init__(self, taps, ear, seed, folder, places):
        self.places = places
        self.taps, self.ear, self.dice, self.folder = taps, ear, random.Random(seed), folder
        self.link, self.cut, self.learned = dict(GOOD), set(), {}
        self.coming, self.number, self.latest = [], 0, Counter()
        self.counts, self.struck = Counter(), []
        # The program on the desk, the port where phones are heard, and when it is to be killed.
        self.desk, self.port, self.trap, self.before = None, None, None, None
        # Connections over which an entry came, and those that are over.
        self.heard, self.over = set(), set()

    def run(self):
        os.setsid()
        signal.signal(signal.SIGINT, signal.SIG_IGN)
        signal.signal(signal.SIGTERM, signal.SIG_IGN)
        hosts = {tap: host for host, tap in self.taps.items()}
        while True:
            wait = max(0, self.coming[0][0] - time.monotonic()) if self.coming else 1
            if self.trap and self.before is not None:
                wait = min(wait, 0.0003)
            for ready in select.select([self.ear, *hosts], [], [], wait)[0]:
                if ready is self.ear:
                    said = self.ear.recv(60_000)
                    if not said:
                        return self.end()
                    self.told(**json.loads(said))
                else:
                    self.frames(hosts[ready], ready)
            while self.coming and self.coming[0][0] <= time.monotonic():
                self.deliver(*heapq.heappop(self.coming)[1:])
            if self.trap and self.before is not None and state_of(self.trap["file"]) != self.before:
                self.strike()

    def end(self):
        """Whatever runs on one of the hosts was begun there."""
        while here := [int(process) for process in filter(str.isdigit, os.listdir("/proc")) if place_of(f"/proc/{process}/ns/net") in self.places]:
            for process in here:
                kill(process)
            time.sleep(0.01)
        shutil.rmtree(self.folder, ignore_errors=True)

    def told(self, link=None, cut=None, mend=None, desk=None, port=None, trap=None):
        self.link = link or self.link
        self.cut |= {cut} - {None}
        self.cut -= {mend}
        self.port = port or self.port
        if desk is not None:
            self.desk = desk
        if trap:
            self.trap, self.before = trap, state_of(trap["file"]) if "file" in trap else None
        # One that ended is not struck by anything that is still on its way.
        if desk == 0:
            self.trap, self.before = None, None
        self.ear.send(json.dumps({**self.counts, "struck": self.struck}).encode())

    def frames(self, host, tap):
        while True:
            try:
                frame = os.read(tap, 2048)
            except BlockingIOError:
                return
            if frame[12:14] not in (IPV4, ARP):
                continue
            self.learned[frame[6:12]] = host
            known = self.learned.get(frame[:6])
            for to in [known] if known else [other for other in self.taps if other != host]:
                self.send(frame, host, to)

    def send(self, frame, host, to):
        self.counts["frames"] += 1
        if self.cut & {host, to}:
            self.counts["cut off"] += 1
            return
        if self.dice.random() < self.link["lost"]:
            self.counts["lost"] += 1
            return
        again = self.dice.random() < self.link["twice"]
        self.counts["said twice"] += again
        for _ in range(1 + again):
            delay = self.dice.uniform(self.link["least"], self.link["most"])
            self.counts["delayed"] += delay > 0
            self.number += 1
            if delay:
                heapq.heappush(self.coming, (time.monotonic() + delay, self.number, frame, host, to))
            else:
                self.deliver(self.number, frame, host, to)

    def deliver(self, number, frame, host, to):
        if self.cut & {host, to}:
            self.counts["cut off"] += 1
            return
        way = (host, to)
        self.counts["overtaken"] += number < self.latest[way]
        self.latest[way] = max(number, self.latest[way])
        found = spoken(frame)
        if found:
            source, target, said = found
            if {(source, target), (target, source)} & self.over:
                return
            if target[1] == self.port and len(said) > ENTRY and not said.startswith((b"GET", b"POST")):
                self.heard.add((source, target))
                os.write(self.taps[to], frame)
                if self.trap and self.trap["when"] == "entry read":
                    # The bytes are the desk's by now; how far it gets with them is left to chance.
                    time.sleep(self.dice.uniform(0, 0.004))
                    self.strike()
                return
            if source[1] == self.port and said and (target, source) in self.heard:
                self.heard.discard((target, source))
                if self.trap and self.trap["when"] == "answer on its way":
                    # The kernel would say the answer again after the program's end.
                    self.over.add((source, target))
                    self.strike()
                    return
        try:
            os.write(self.taps[to], frame)
        except BlockingIOError:
            self.counts["lost"] += 1

    def strike(self):
        self.struck.append(self.trap["when"])
        self.trap, self.before = None, None
        kill(self.desk)


def kill(child):
    try:
        os.kill(child, signal.SIGKILL)
    except ProcessLookupError:
        pass


def place_of(file):
    """What tells a namespace from others; nothing where it is gone."""
    try:
        found = os.stat(file)
    except OSError:
        return None
    return found.st_dev, found.st_ino


def state_of(file):
    """What tells a file, or what stands in a folder, from what was there before."""
    try:
        found = os.stat(file)
    except FileNotFoundError:
        return 0
    return found.st_ino, found.st_mtime_ns, found.st_size


def spoken(frame):
    """Of a frame of TCP: from where, to where, and what."""
    if frame[12:14] != IPV4 or frame[23] != 6:
        return None
    begin = 14 + (frame[14] & 15) * 4
    source, target = struct.unpack_from("!HH", frame, begin)
    said = frame[begin + (frame[begin + 12] >> 4) * 4 : 14 + struct.unpack_from("!H", frame, 16)[0]]
    return (frame[26:30], source), (frame[30:34], target), said
