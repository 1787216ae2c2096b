"""The first start of an installed program, as a keeper goes through it: the desk asks for a folder, a kennel begins in it, the desk is ended from its page,
and the next start opens the same kennel.

    first_start.py FOLDER COMMAND...

In: the folder that is to be the kennel's, as the program is told of it, and the command that starts the program. Out: a line for each step; exit code 1 at
the first that fails.
"""

import http.cookiejar
import re
import subprocess
import sys
import threading
import urllib.error
import urllib.parse
import urllib.request

LONG = 120
folder, command = sys.argv[1], sys.argv[2:]


class Desk:
    """One start of the program, and what a browser sees of it."""

    def __init__(self):
        self.process = subprocess.Popen(command, stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, text=True)
        self.browser = urllib.request.build_opener(urllib.request.HTTPCookieProcessor(http.cookiejar.CookieJar()))
        self.timer = threading.Timer(LONG, self.process.kill)
        self.timer.start()
        self.lines = []

    def link(self, begin):
        for line in self.process.stdout:
            self.lines.append(line)
            found = re.match(begin + r"(http://127\.0\.0\.1:\d+/\S+)", line)
            if found:
                return found[1]
        sys.exit(f"FAILED  no link was told within {LONG} s:\n{''.join(self.lines)}")

    def get(self, link):
        with self.browser.open(link, timeout=LONG) as answer:
            return answer.read().decode()

    def post(self, page, action, **fields):
        html = self.get(page)
        fields["token"] = re.search(r'name="token" value="([^"]+)"', html)[1]
        origin = re.match(r"http://[^/]+", page)[0]
        request = urllib.request.Request(origin + action, urllib.parse.urlencode(fields).encode(), {"Origin": origin})
        with self.browser.open(request, timeout=LONG) as answer:
            return answer.read().decode()

    def ends(self):
        self.process.stdout.read()
        code = self.process.wait(LONG)
        self.timer.cancel()
        return code


def check(what, holds):
    print(("ok      " if holds else "FAILED  ") + what, flush=True)
    if not holds:
        sys.exit(1)


def origin(link):
    return re.match(r"http://[^/]+", link)[0]


def first():
    desk = Desk()
    link = desk.link("")
    try:
        urllib.request.urlopen(origin(link) + "/", timeout=LONG)
        refused = False
    except urllib.error.HTTPError as error:
        refused = error.code == 403
    check("nobody is let in without the link", refused)
    desk.get(link)
    check("the first start asks for a folder", "Folder of the kennel" in desk.get(origin(link) + "/"))
    answer = desk.post(origin(link) + "/", "/-desk/choose", act="open", folder=folder)
    onward = re.search(r"url=(http://[^\"]+)", answer)
    check(f"a kennel begins in {folder}", onward is not None)
    desk.get(onward[1])
    book = origin(onward[1])
    check("the desk asks for the kennel's own data", "name=" in desk.get(book + "/-desk/begin"))
    desk.post(book + "/-desk/kennel", "/-desk/end")
    check("ended from its page the program ends with 0", desk.ends() == 0)


def second():
    desk = Desk()
    link = desk.link("book: ")
    desk.get(link)
    page = desk.get(origin(link) + "/-desk/kennel")
    name = re.split(r"[/\\]", folder)[-1]
    check("the second start opens the same kennel without asking", name in page)
    desk.post(origin(link) + "/-desk/kennel", "/-desk/end")
    check("and ends with 0", desk.ends() == 0)


first()
second()
