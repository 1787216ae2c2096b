"""Owners' pages as jwcrypto sees them (RFC 7516, 7515): each opens with its own code and with no other, and the record in it is signed by the kennel."""

import base64
import hashlib
import json
import re

import yaml
from jwcrypto import jwa, jwe, jwk, jws
from jwcrypto.common import base64url_decode, base64url_encode

NAME = "sealed pages open with their own code only, and what is in them is signed"

# jwcrypto guards itself against hostile tokens: we ask for more rounds, and seal larger pages, than it takes unasked.
jwa.default_max_pbkdf2_iterations = 2_000_000
jwe.default_max_compressed_size = 32 * 1024 * 1024
jwe.default_max_plaintext_size = 64 * 1024 * 1024
ALGORITHMS = ["PBES2-HS512+A256KW", "A256GCM"]
SYMBOLS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ*~$=U"
SEALED = re.compile(r'<script type="application/jose" id="sealed">\s*([A-Za-z0-9_.-]+)\s*</script>')


def password(code):
    """The rule of access codes written a second time, from its description: 23 symbols, and the number modulo 37 as a check symbol."""
    plain = code.upper().replace("-", "")
    number = 0
    for symbol in plain[:-1]:
        number = number * 32 + SYMBOLS.index(symbol)
    if len(plain) != 24 or SYMBOLS[number % 37] != plain[-1]:
        raise ValueError("no access code")
    return plain[:-1].encode()


def opened(text, code):
    token = jwe.JWE(algs=ALGORITHMS)
    token.deserialize(text, jwk.JWK(kty="oct", k=base64url_encode(password(code))))
    return token.payload


def opens(text, code):
    try:
        opened(text, code)
    except jwe.InvalidJWEData:
        return False
    return True


def check_header(text, where, report):
    header = json.loads(base64url_decode(text.split(".")[0]))
    report.expect([header.get("alg"), header.get("enc"), header.get("zip")] == [*ALGORITHMS, "DEF"], where, f"is sealed as {header}")
    report.expect(header.get("p2c", 0) >= 600_000, where, f"has {header.get('p2c')} rounds")
    return header.get("p2s")


def files_of(content):
    return {file["name"]: base64.b64decode(file["base64"]) for file in content["files"]}


def check_signatures(files, keys, where, report):
    """The signed record, and the PDF with its signature in a comment line."""
    record = json.loads(next(data for name, data in files.items() if name.endswith("-record.json")))
    payload = verified(record["signature"], keys)
    report.expect(payload is not None and json.loads(payload) == record["record"], where, "its record is not the one that was signed")
    altered = record["signature"].split(".")
    altered[1] = base64url_encode(payload.replace(b'"dog"', b'"cat"'))
    report.expect(verified(".".join(altered), keys) is None, where, "an altered record passes")
    pdf = next(data for name, data in files.items() if name.endswith("-record.pdf"))
    line = re.search(rb"%litterfolio-signature: ([A-Za-z0-9_.-]+)\n", pdf)
    if report.expect(line, where, "its PDF is not signed"):
        said = json.loads(verified(line.group(1).decode(), keys) or "{}")
        bare = pdf[: line.start()] + pdf[line.end() :]
        report.expect(said.get("sha256") == hashlib.sha256(bare).hexdigest(), where, "its PDF is not the one that was signed")
        number = int.from_bytes(hashlib.sha256(payload).digest(), "big") >> (256 - 100)
        figure = "".join(SYMBOLS[number >> shift & 31] for shift in range(95, -1, -5))
        grouped = "-".join(figure[at : at + 4] for at in range(0, 20, 4))
        report.expect(said.get("record") == grouped, where, f"its check figure is {said.get('record')}, not {grouped}")
    report.saw("signatures", 2)


def verified(text, keys):
    """The payload, when one of the kennel's keys made the signature."""
    token = jws.JWS()
    token.allowed_algs = ["ES256"]
    for key in keys:
        try:
            token.deserialize(text, key)
        except jws.InvalidJWSSignature:
            continue
        return token.payload
    return None


def check(site, report):
    codes = yaml.safe_load((site.kennel_dir / "codes.yaml").read_text())
    taken = yaml.safe_load((site.content / "owners.yaml").read_text())["families"]
    wanted = {f"{one['litter']}/{one['puppy']}" for family in taken for one in family.get("takes", [])}
    report.expect(set(codes) == wanted, "codes.yaml", f"holds {sorted(codes)}, families take {sorted(wanted)}")
    keys = [jwk.JWK(**key) for key in json.loads((site.public / "kennel-keys.json").read_text())["keys"]]
    report.expect(not any(key.has_private for key in keys), "kennel-keys.json", "holds a private key")
    report.expect(all(key.thumbprint() == key.key_id for key in keys), "kennel-keys.json", "a key is not called by its thumbprint")
    pages = {name.split("/")[1].removesuffix(".html"): name for name in site.files() if name.startswith("sealed/")}
    report.expect(set(pages) == {entry["page"] for entry in codes.values()}, "sealed/", "holds other pages than codes.yaml")
    salts = set()
    names = sorted(codes)
    for place, name in enumerate(names):
        entry, where = codes[name], pages[codes[name]["page"]]
        text = SEALED.search((site.public / where).read_text()).group(1)
        salts.add(check_header(text, where, report))
        other = codes[names[(place + 1) % len(names)]]["code"]
        report.expect(not opens(text, other), where, "opens with another family's code")
        report.expect(not opens(text[:-9] + ("A" if text[-9] != "A" else "B") + text[-8:], entry["code"]), where, "opens although its tag was changed")
        content = json.loads(opened(text, entry["code"]))
        check_signatures(files_of(content), keys, where, report)
        report.saw("pages")
    report.expect(len(salts) == len(names), "sealed/", "two pages share a salt")
