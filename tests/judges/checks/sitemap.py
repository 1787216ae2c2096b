"""sitemap.xml names every page once by its full address; robots.txt names the sitemap and shuts nobody out."""

import re
from urllib.robotparser import RobotFileParser

from lxml import etree

NAME = "sitemap.xml lists every page once, and robots.txt names it"

SPACE = "{http://www.sitemaps.org/schemas/sitemap/0.9}"
DAY = re.compile(r"^\d{4}-\d\d-\d\d(T\d\d:\d\d(:\d\d(\.\d+)?)?(Z|[+-]\d\d:\d\d))?$")


def check(site, report):
    root = etree.parse(str(site.public / "sitemap.xml")).getroot()
    report.expect(root.tag == SPACE + "urlset", "sitemap.xml", f"its root is {root.tag}")
    addresses = [(url.findtext(SPACE + "loc") or "").strip() for url in root.findall(SPACE + "url")]
    report.saw("addresses", len(addresses))
    for address in sorted({each for each in addresses if addresses.count(each) > 1}):
        report.fault("sitemap.xml", f"{address} stands there twice")
    listed = set()
    for address in addresses:
        name = site.file_at(address)
        if report.expect(name, "sitemap.xml", f"{address} is no page of {site.address}"):
            report.expect(name not in listed, "sitemap.xml", f"{name} stands there under two addresses")
            listed.add(name)
    wanted = set(site.pages()) - {"404.html"}
    for name in sorted(wanted - listed):
        report.fault("sitemap.xml", f"{name} is missing")
    for name in sorted(listed - wanted):
        report.fault("sitemap.xml", f"{name} should not be listed")
    for url in root.findall(SPACE + "url"):
        changed = url.findtext(SPACE + "lastmod")
        report.expect(changed is None or DAY.match(changed.strip()), "sitemap.xml", f"lastmod {changed!r} is no date")
    for name in sorted(wanted & listed):
        canonical = site.page(name).xpath("//link[@rel='canonical']/@href")
        report.expect(len(canonical) == 1 and canonical[0] in addresses, name, f"its canonical address {canonical} is not the one in the sitemap")
    check_robots(site, addresses, report)


def check_robots(site, addresses, report):
    robots = RobotFileParser()
    robots.parse((site.public / "robots.txt").read_text(encoding="utf-8").splitlines())
    report.expect(robots.site_maps() == [site.address + "sitemap.xml"], "robots.txt", f"names {robots.site_maps()} as the sitemap")
    for address in addresses:
        report.expect(robots.can_fetch("*", address), "robots.txt", f"shuts readers out of {address}")
