"""What search engines and messengers read in the head of a page: title, description, Open Graph, and schema.org data as JSON-LD."""

import json

NAME = "page heads describe their pages, and structured data is sound"


def meta(page, name):
    return page.xpath("//meta[@name=$name or @property=$name]/@content", name=name)


def check_head(site, name, page, seen, report):
    title = (page.findtext(".//title") or "").strip()
    report.expect(5 < len(title) <= 90, name, f"has a title of {len(title)} letters: {title!r}")
    report.expect(seen.setdefault(("title", title), name) == name, name, f"has the title of {seen[('title', title)]}: {title!r}")
    description = meta(page, "description")
    if report.expect(len(description) == 1 and 20 < len(description[0]) <= 320, name, f"describes itself as {description}"):
        report.expect(seen.setdefault(("description", description[0]), name) == name, name, f"has the description of {seen[('description', description[0])]}")
    report.expect(page.get("lang"), name, "does not say its language")
    if name == "404.html":
        return
    for part in ("og:title", "og:type", "og:url", "og:description"):
        report.expect(len(meta(page, part)) == 1 and meta(page, part)[0].strip(), name, f"has no {part}")
    canonical = page.xpath("//link[@rel='canonical']/@href")
    report.expect(meta(page, "og:url") == canonical, name, f"og:url {meta(page, 'og:url')} is not its canonical address {canonical}")
    report.expect(len(canonical) == 1 and site.file_at(canonical[0]) == name, name, f"canonical address {canonical} is another page")
    for picture in meta(page, "og:image"):
        if report.expect(site.file_at(picture), name, f"og:image {picture} is not there"):
            report.expect(meta(page, "og:image:alt"), name, "does not describe its og:image")
            report.saw("og pictures")


def walk(value):
    """Every object inside a JSON value, outermost first."""
    if isinstance(value, dict):
        yield value
        for inner in value.values():
            yield from walk(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from walk(inner)


def check_data(site, name, page, report):
    for script in page.xpath("//script[@type='application/ld+json']"):
        try:
            data = json.loads(script.text)
        except (TypeError, ValueError) as error:
            report.fault(name, f"its structured data is no JSON: {error}")
            continue
        for top in data if isinstance(data, list) else [data]:
            report.expect(str(top.get("@context")).rstrip("/") in ("https://schema.org", "http://schema.org"), name, f"@context is {top.get('@context')!r}")
            report.expect(top.get("@type") or top.get("@graph"), name, "structured data without @type")
        for thing in walk(data):
            kind = thing.get("@type")
            report.expect(kind is None or (isinstance(kind, str) and kind[:1].isupper()), name, f"@type {kind!r}")
            for key, value in thing.items():
                report.expect(value not in (None, "", []), name, f"structured data has an empty {key}")
            for key in ("url", "image", "@id"):
                for address in [thing[key]] if isinstance(thing.get(key), str) else []:
                    report.expect(address.startswith("#") or site.file_at(address), name, f"structured data: {key} {address} is not there")
        report.saw("pieces of structured data")


def check(site, report):
    seen = {}
    for name in site.pages():
        page = site.page(name)
        check_head(site, name, page, seen, report)
        check_data(site, name, page, report)
        report.saw("pages")
    puppies = [name for name in site.pages() if name.startswith("litters/") and name.count("/") == 2]
    for name in ["index.html", *puppies]:
        report.expect(site.page(name).xpath("//script[@type='application/ld+json']"), name, "has no structured data")
    report.saw("puppy pages", len(puppies))
