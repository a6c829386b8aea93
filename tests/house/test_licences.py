# SPDX-License-Identifier: Apache-2.0
"""Prints the licence of every package in the lock, and fails on AGPL or on one that can't be told."""

import re
from importlib import metadata
from pathlib import Path

import pytest
from packaging.markers import Marker

ROOT = Path(__file__).resolve().parents[2]

# Packages that give no licence in their metadata's licence fields or classifiers, read by hand from their files.
READ_BY_HAND: dict[str, str] = {
    "axe-playwright-python": "MIT",  # its LICENSE file; axe-core inside is MPL-2.0
}


def locked() -> list[tuple[str, str]]:
    found = []
    for line in (ROOT / "lock.txt").read_text().splitlines():
        match = re.match(r"^([a-z0-9._-]+)==([^ ;]+)(?: ; ([^\\]+))?", line)
        if match and (match[3] is None or Marker(match[3].strip()).evaluate()):
            found.append((match[1], match[2]))
    return found


def licence(name: str) -> str:
    data = metadata.metadata(name)
    told = [
        *(data.get_all("License-Expression") or []),
        *(item.rsplit("::", 1)[-1].strip() for item in data.get_all("Classifier") or [] if item.startswith("License")),
    ]
    short = [item for item in told if item and item != "OSI Approved"]
    free_text = "".join(data.get_all("License") or []).strip().splitlines()
    return READ_BY_HAND.get(name) or (short[0] if short else "") or (free_text[0][:60] if free_text else "")


def test_every_locked_package_has_a_known_licence_and_none_is_agpl(capsys: pytest.CaptureFixture[str]) -> None:
    packages = locked()
    assert len(packages) > 20
    lines = {name: licence(name) for name, _ in packages}
    with capsys.disabled():
        print()
        for name, version in packages:
            print(f"  {name} {version}: {lines[name] or 'UNKNOWN'}")
    assert [name for name, text in lines.items() if not text or text.upper() == "UNKNOWN"] == []
    assert [name for name, text in lines.items() if re.search(r"\bAGPL|Affero", text)] == []


def test_the_lock_has_hashes_and_no_address() -> None:
    for file in ("lock.txt", "lock-run.txt", "bootstrap.txt"):
        text = (ROOT / file).read_text()
        assert "://" not in text
        pins = re.findall(r"^[a-z0-9._-]+==.*", text, re.MULTILINE)
        assert pins
        assert all(line.endswith("\\") for line in pins), file
        assert text.count("--hash=sha256:") >= len(pins)


def test_what_users_install_is_part_of_what_developers_install() -> None:
    def pins(file: str) -> set[str]:
        return set(re.findall(r"^[a-z0-9._-]+==[^ ]+", (ROOT / file).read_text(), re.MULTILINE))

    assert pins("lock-run.txt") <= pins("lock.txt")
