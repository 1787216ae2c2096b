"""news.atom as a feed reader sees it (feedparser) and as RFC 4287 wants it (lxml), and its ids after a later publication."""

import re
import shutil
from datetime import datetime

import feedparser
from lxml import etree

NAME = "news.atom is a proper feed of the public notes, and its ids last"

ATOM = "{http://www.w3.org/2005/Atom}"
MOMENT = re.compile(r"^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d+)?(Z|[+-]\d\d:\d\d)$")
LATER_NOTE = "---\ndate: {date}\ntitle: A later word\naudience: everyone\n---\nThis note was written after the others.\n"


def moment(text):
    return datetime.fromisoformat(text.replace("Z", "+00:00"))


def check_reader(feed_file, report):
    feed = feedparser.parse(str(feed_file))
    report.expect(not feed.bozo, "news.atom", f"a feed reader stumbles: {feed.get('bozo_exception')}")
    report.expect(feed.version == "atom10", "news.atom", f"is read as {feed.version!r}")
    for entry in feed.entries:
        for part in ("id", "title", "updated", "link", "content"):
            report.expect(entry.get(part), f"news.atom entry {entry.get('title')!r}", f"has no {part}")
        report.expect(entry.get("updated_parsed"), f"news.atom entry {entry.get('title')!r}", "has an unreadable moment")
    report.saw("entries", len(feed.entries))
    return feed


def one(element, name, where, report):
    found = element.findall(ATOM + name)
    report.expect(len(found) == 1, where, f"has {len(found)} of <{name}>, must have one")
    return (found[0].text or "").strip() if found else ""


def check_standard(feed_file, site, report):
    root = etree.parse(str(feed_file)).getroot()
    report.expect(root.tag == ATOM + "feed", "news.atom", f"its root is {root.tag}")
    updated = one(root, "updated", "news.atom", report)
    ids = [one(root, "id", "news.atom", report)]
    one(root, "title", "news.atom", report)
    entries = root.findall(ATOM + "entry")
    named = root.findall(f"{ATOM}author/{ATOM}name")
    report.expect(named and all((name.text or "").strip() for name in named), "news.atom", "names no author")
    own = [link for link in root.findall(ATOM + "link") if link.get("rel") == "self"]
    report.expect([link.get("href") for link in own] == [site.address + "news.atom"], "news.atom", "does not say where it is itself")
    moments = [updated]
    for entry in entries:
        where = f"news.atom entry {entry.findtext(ATOM + 'title')!r}"
        ids.append(one(entry, "id", where, report))
        one(entry, "title", where, report)
        moments.append(one(entry, "updated", where, report))
        published = entry.findtext(ATOM + "published")
        if published is not None:
            report.expect(MOMENT.match(published), where, f"published at {published!r}, no RFC 3339 moment")
        check_entry_body(entry, where, site, report)
    for text in moments:
        report.expect(MOMENT.match(text), "news.atom", f"{text!r} is no RFC 3339 moment")
    report.expect(len(set(ids)) == len(ids), "news.atom", "uses an id twice")
    for each in ids:
        report.expect(re.match(r"^[a-z][a-z0-9+.-]*:\S+$", each), "news.atom", f"id {each!r} is no absolute IRI")
    if entries and all(MOMENT.match(text) for text in moments):
        report.expect(moment(updated) >= max(map(moment, moments[1:])), "news.atom", "was updated before its newest entry")
        order = list(map(moment, moments[1:]))
        report.expect(order == sorted(order, reverse=True), "news.atom", "does not show its newest entry first")


def check_entry_body(entry, where, site, report):
    content = entry.find(ATOM + "content")
    if not report.expect(content is not None, where, "has no content"):
        return
    report.expect(content.get("type") in ("html", "xhtml", "text", None), where, f"content of type {content.get('type')!r}")
    text = "".join(content.itertext())
    report.expect(len(text.strip()) > 20, where, "has next to no content")
    report.expect(not re.search(r"<script|\son\w+=|javascript:", text, re.IGNORECASE), where, "carries script")
    for address in re.findall(r"(?:src|href)=[\"']([^\"']+)", text):
        report.expect(address.startswith((site.address, "mailto:", "tel:")), where, f"{address} has no meaning in a reader")
    links = [link for link in entry.findall(ATOM + "link") if link.get("rel", "alternate") == "alternate"]
    report.expect(len(links) == 1, where, f"has {len(links)} alternate links")
    for link in links:
        report.expect(site.file_at(link.get("href", "")), where, f"leads to {link.get('href')}, which is not there")


def check_notes(feed, site, report):
    """The feed holds public notes only; the newest of them all is its first."""
    everyone = {head["title"]: str(head["date"]) for _, head, _ in site.notes() if head.get("audience") == "everyone"}
    others = {head["title"] for _, head, _ in site.notes()} - set(everyone)
    # An entry may say behind its title which litter it is about.
    titles = [re.sub(r" \([^()]*\)$", "", entry.title) for entry in feed.entries]
    for title in titles:
        report.expect(title in everyone, "news.atom", f"{title!r} is no note for everyone")
        report.expect(title not in others, "news.atom", f"{title!r} was not meant for everyone")
    expected = min(len(everyone), max(len(titles), 10))
    report.expect(len(titles) == expected, "news.atom", f"has {len(titles)} entries; there are {len(everyone)} notes for everyone")
    if titles and everyone:
        report.expect(everyone.get(titles[0]) == max(everyone.values()), "news.atom", f"begins with {titles[0]!r}, not the newest note")


def later_kennel(site):
    """The same kennel two days later, with one note more."""
    kennel = site.work / "later-kennel"
    shutil.rmtree(kennel, ignore_errors=True)
    shutil.copytree(site.content, kennel / "content")
    record = kennel / "content" / "kennel.yaml"
    today = site.kennel["as_of"]
    later = f"{today[:-2]}{int(today[-2:]) + 2:02}"
    text = record.read_text(encoding="utf-8")
    record.write_text(text.replace(f"as_of: {today}", f"as_of: {later}"), encoding="utf-8")
    litter = sorted((kennel / "content").glob("litters/*/notes"))[0]
    (litter / f"{later}-a-later-word.md").write_text(LATER_NOTE.format(date=later), encoding="utf-8")
    return kennel


def check_lasting(feed, site, report):
    public, _ = site.publish(later_kennel(site), "later")
    later = feedparser.parse(str(public / "news.atom"))
    report.expect(later.feed.get("id") == feed.feed.get("id"), "news.atom", "has another id after a later publication")
    report.expect(later.entries and later.entries[0].title.startswith("A later word"), "news.atom", "a new note does not come first")
    now = {entry.id: entry for entry in later.entries}
    for entry in feed.entries[: len(later.entries) - 1]:
        kept = now.get(entry.id)
        if report.expect(kept, f"news.atom entry {entry.title!r}", "has another id after a later publication"):
            report.expect(kept.title == entry.title, f"news.atom entry {entry.title!r}", f"gave its id to {kept.title!r}")
            report.expect(kept.updated == entry.updated, f"news.atom entry {entry.title!r}", f"was {entry.updated}, is {kept.updated} though nothing in it changed")
        report.saw("ids that must last")


def check(site, report):
    feed_file = site.public / "news.atom"
    feed = check_reader(feed_file, report)
    check_standard(feed_file, site, report)
    check_notes(feed, site, report)
    check_lasting(feed, site, report)
