"""The list of licences that goes into a package, held against cargo: both read the licence and the version of every library out of its manifest."""

import importlib.util
import json
import subprocess
import tomllib
from pathlib import Path

NAME = "licences and versions in packages are those that cargo reads"
ROOT = Path(__file__).resolve().parents[3]


def lister():
    spec = importlib.util.spec_from_file_location("licences_of_packages", ROOT / "packaging" / "licences.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def check(_site, report):
    licences = lister()
    told = subprocess.run(["rustc", "-vV"], capture_output=True, text=True, check=True).stdout
    host = next(line.removeprefix("host: ") for line in told.splitlines() if line.startswith("host: "))
    asked = ["cargo", "metadata", "--format-version", "1", "--locked", "--offline", "--filter-platform", host]
    for package in json.loads(subprocess.run(asked, cwd=ROOT, capture_output=True, text=True, check=True).stdout)["packages"]:
        manifest = Path(package["manifest_path"])
        written = tomllib.loads(manifest.read_text(encoding="utf-8"))["package"]
        name = f"{package['name']} {package['version']}"
        report.saw("libraries")
        report.expect(licences.of_workspace(written, manifest, "version") == package["version"], name, "has another version in the list")
        licence = licences.of_workspace(written, manifest, "license")
        report.expect(licence == package["license"], name, f"has the licence {package['license']}, the list says {licence}")
        if package["source"] is None:
            report.expect(licence is not None and licences.choose(licence), name, "is ours, and names no licence that may be passed on")
