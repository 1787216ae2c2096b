"""What every check works on: the two trees, the kennel behind them, and the program, for a second publication or a schema."""

import shutil
import subprocess
from pathlib import Path

from lxml import html

from support import records


class Site:
    def __init__(self, options):
        self.public = options.public.resolve()
        self.private = options.private.resolve()
        self.kennel_dir = options.kennel.resolve()
        self.content = self.kennel_dir / "content"
        self.program = options.program.resolve()
        self.work = options.work.resolve()
        self.work.mkdir(parents=True, exist_ok=True)
        for folder in (self.public, self.private, self.content):
            if not folder.is_dir():
                raise ValueError(f"{folder} is no folder")
        self.kennel = records.read_file(self.content / "kennel.yaml")
        self.address = self.kennel["site"].rstrip("/") + "/"

    def files(self, folder=None):
        """Every file of a tree (the visitor's, if none is named), as paths inside it."""
        folder = folder or self.public
        return sorted(str(file.relative_to(folder)) for file in folder.rglob("*") if file.is_file())

    def pages(self):
        """The visitor's pages; sealed ones are looked at by a check of their own."""
        return [file for file in self.files() if file.endswith(".html") and not file.startswith("sealed/")]

    def page(self, name):
        """One of the visitor's pages, parsed."""
        return html.fromstring((self.public / name).read_bytes(), parser=html.HTMLParser(encoding="utf-8"))

    def file_at(self, address):
        """The file of the visitor's site that an absolute address names; None if it names none."""
        if not address.startswith(self.address):
            return None
        name = address[len(self.address):].split("#")[0].split("?")[0] or "index.html"
        return name if (self.public / name).is_file() else None

    def run(self, *words):
        """Runs the program; raises with its own words if it fails."""
        done = subprocess.run([self.program, *map(str, words)], capture_output=True, text=True, check=False, timeout=600)
        if done.returncode != 0:
            raise RuntimeError(f"litterfolio {' '.join(map(str, words))} ended with {done.returncode}:\n{done.stderr[-3000:]}")
        return done.stdout

    def publish(self, kennel, name):
        """Publishes a kennel folder into the working folder; returns the visitor's site and the keeper's book."""
        public, private = self.work / name / "public", self.work / name / "private"
        shutil.rmtree(public.parent, ignore_errors=True)
        public.parent.mkdir(parents=True)
        self.run("publish", "--kennel", kennel, "--public", public, "--private", private)
        return Path(public), Path(private)

    def notes(self):
        """Every note of every litter: (file, head, body)."""
        for file in sorted(self.content.glob("litters/*/notes/*.md")):
            yield (file, *records.read_markdown(file))
