"""Nothing that the demo's keeper wrote for herself, for owners or about owners stands in any text of the visitor's site, whole or in part.

This looks at the real demo with plain string search; it does not know how the program decides.
"""

import html
import json
import re

from support import records

NAME = "no private word of the demo stands in any public file"

SCHEMA = "record.schema.json"
# What is sealed is no text; that it holds nothing readable is looked at in sealed.py.
SEALED = re.compile(r'(?<=id="sealed">)[\sA-Za-z0-9_.-]+(?=</script>)')
TEXT = (".html", ".css", ".js", ".atom", ".xml", ".txt", ".json", ".svg")
# Values that are everybody's words, or that the puppy's or dog's own public record says too.
PLAIN = re.compile(r"^(?:[\d\s./:%-]{1,8}|\w{1,7}|\d{4}-\d\d-\d\d.*)$")
PUBLIC_PUPPY = ("id", "name", "ribbon", "sex", "colour", "offer", "about", "markings", "registered_name", "registration")
PUBLIC_LITTER = ("name", "dam", "sire", "about", "puppies", "mated", "pictures")


def sentences(text):
    """Pieces of prose that are long enough to be nobody else's words."""
    return [piece.strip() for piece in re.split(r"[.;:!?\n]\s*", text) if len(piece.strip()) >= 14]


def private_words(site):
    """(where it was written, the words) of everything that is not for visitors."""
    owners = records.read_file(site.content / "owners.yaml")
    for text in records.strings(owners, skip=("id", "litter", "puppy", "takes")):
        yield "owners.yaml", text
    for file in sorted(site.content.glob("litters/*/health.yaml")):
        for text in records.strings(records.read_file(file), skip=("puppy", "puppies", "on", "at", "what", "kind")):
            yield str(file.relative_to(site.content)), text
    for file in sorted(site.content.glob("litters/*/weights.yaml")):
        for block in records.read_file(file):
            for text in records.strings(block, skip=("at", "by")):
                yield str(file.relative_to(site.content)), text
    for file in sorted(site.content.glob("litters/*/litter.yaml")):
        litter = records.read_file(file)
        for text in records.strings(litter, skip=PUBLIC_LITTER):
            yield str(file.relative_to(site.content)), text
        for picture in litter.get("pictures", []):
            # Words under a picture are for everybody who may see it; when it was taken never is.
            if not (file.parent / "photos" / picture["file"]).exists():
                yield str(file.relative_to(site.content)), picture.get("caption", "")
        for puppy in litter.get("puppies", []):
            gone = puppy.get("fate", "living") != "living"
            for text in records.strings(puppy, skip=("ribbon", "sex", "colour", "horn") if gone else PUBLIC_PUPPY):
                yield f"{file.relative_to(site.content)}, {puppy['id']}", text
    for file in sorted(site.content.glob("dogs/*.yaml")):
        dog = records.read_file(file)
        for test in dog.get("screening", []):
            if not test.get("publish"):
                yield str(file.relative_to(site.content)), test.get("result", "")
        for text in (dog.get("remarks", ""), dog.get("chip", "")):
            yield str(file.relative_to(site.content)), text
    for file, head, body in site.notes():
        if head.get("audience") != "everyone":
            yield str(file.relative_to(site.content)), head["title"]
            for piece in sentences(body):
                yield str(file.relative_to(site.content)), piece


def open_words(site):
    """What the keeper also wrote in a place that everybody may read, so that finding it in public proves nothing."""
    kennel = " ".join(records.strings(site.kennel))
    pages = " ".join(file.read_text(encoding="utf-8") for file in site.content.glob("pages/*.md"))
    notes = " ".join(f"{head['title']} {body}" for _, head, body in site.notes() if head.get("audience") == "everyone")
    screening = " ".join(
        " ".join(records.strings(test)) for file in site.content.glob("dogs/*.yaml") for test in records.read_file(file).get("screening", []) if test.get("publish")
    )
    return plain(f"{kennel} {pages} {notes} {screening}")


def plain(text):
    """Letters as a reader sees them: entities resolved, typographic quotes and spaces made simple."""
    text = html.unescape(text).replace("’", "'").replace("‘", "'").replace("“", '"').replace("”", '"').replace("\u00a0", " ")
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", text)).casefold()


def without_address(schema):
    return {key: value for key, value in json.loads(schema).items() if key != "$id"}


def check(site, report):
    everybodys = open_words(site)
    public = {}
    for name in site.files():
        if name.endswith(TEXT):
            raw = SEALED.sub("", (site.public / name).read_text(encoding="utf-8"))
            if name == SCHEMA:
                # Its words are the program's own, whatever the kennel: the same as `schema` prints, but for its address.
                report.expect(without_address(raw) == without_address(site.run("schema", "record")), name, "is not what `schema record` prints")
                continue
            public[name] = (plain(raw), html.unescape(raw).casefold())
    report.saw("public files", len(public))
    for where, words in private_words(site):
        pieces = sentences(words) or [words]
        for piece in pieces:
            needle = plain(piece).strip()
            if PLAIN.match(needle) or len(needle) < 5 or needle in everybodys:
                continue
            report.saw("private words")
            pattern = re.compile(rf"(?<!\w){re.escape(needle)}(?!\w)")
            for name, texts in public.items():
                report.expect(not any(pattern.search(text) for text in texts), f"public/{name}", f"says “{piece}”, which stands in {where}")
    for name in site.files():
        report.expect("private" not in name and "owner" not in name, f"public/{name}", "has the name of something private")
