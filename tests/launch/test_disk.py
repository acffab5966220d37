"""A disk that is full or takes no writing: what is refused, what is said, and that nothing that was
acknowledged is lost."""

from __future__ import annotations

import json
import os
import urllib.error
import urllib.request
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.launch.pressing import Pressing, a_phone
from tests.launch.small_disk import Disk, small_disk
from tests.programs import Program, free_port, manage_inside, running

OK, FULL = 200, 507


@pytest.fixture
def disk(tmp_path: Path) -> Iterator[Disk]:
    with small_disk(tmp_path / "disk", 24) as made:
        yield made


@pytest.fixture
def phone(disk: Disk) -> Pressing:
    return a_phone(disk.folder, free_port(), disk.inside)


@pytest.fixture
def program(disk: Disk, phone: Pressing) -> Iterator[Program]:
    with running(disk.folder, "serve", port=phone.port, inside=disk.inside) as started:
        assert phone.push() == (OK, "")
        yield started


def whole(disk: Disk) -> bool:
    return manage_inside(disk.inside, disk.folder, "verify").stdout.startswith("Whole")


def health(port: int) -> tuple[int, bool]:
    try:
        with urllib.request.urlopen(f"http://localhost:{port}/health") as answer:
            return answer.status, json.load(answer)["ok"]
    except urllib.error.HTTPError as error:
        return error.code, json.load(error)["ok"]


def test_full_during_pushes_nothing_acknowledged_is_lost(
    disk: Disk, phone: Pressing, program: Program
) -> None:
    disk.fill(leave=400_000)
    said = [phone.push() for _ in range(60)]
    refused = [one for one in said if one[0] != OK]
    # Some went in, then it was said, each time, that there is no room.
    assert said[0] == (OK, "")
    assert set(refused) == {(FULL, "no-room")}
    assert said[-1] == (FULL, "no-room")
    before = phone.acknowledged()
    assert before <= disk.lines()
    assert health(phone.port) == (503, False)
    disk.make_room()
    assert [phone.push() for _ in range(3)] == [(OK, "")] * 3
    assert phone.acknowledged() > before
    assert phone.acknowledged() <= disk.lines()
    assert whole(disk)
    assert "The disk of the shop's computer is full" in program.chatter()


def test_full_during_a_backup_the_older_ones_stay_and_nothing_half_is_left(
    disk: Disk, phone: Pressing, program: Program
) -> None:
    folder = disk.folder / "to"
    assert manage_inside(disk.inside, disk.folder, "backup", "--to", str(folder)).stdout
    for _ in range(30):
        phone.push(100)
    disk.fill(leave=600_000)
    refused = manage_inside(disk.inside, disk.folder, "backup", "--to", str(folder))
    assert refused.returncode == 1
    assert "no backup was made" in refused.stderr.lower()
    assert "full" in refused.stderr or "space" in refused.stderr
    left = disk.do("ls", "-A", str(folder)).stdout.split()
    assert len(left) == 1
    assert not left[0].startswith(".")
    disk.make_room()
    assert phone.push() == (OK, "")
    again = manage_inside(disk.inside, disk.folder, "backup", "--to", str(folder))
    assert "whole" in again.stdout
    assert phone.acknowledged() <= disk.lines()


def test_full_during_a_photo_it_goes_on_where_it_was(
    disk: Disk, phone: Pressing, program: Program
) -> None:
    photo = os.urandom(900_000)
    status, said = phone.upload(photo, 0)
    assert (status, said["have"]) == (OK, 262_144)
    disk.fill(leave=100_000)
    status, said = phone.upload(photo, 262_144)
    assert (status, said["error"]) == (FULL, "no-room")
    disk.make_room()
    # As a phone does: it asks how much is here, and goes on from there.
    have = phone.upload(photo, len(photo))[1]["have"]
    assert 262_144 <= have < len(photo)
    while have < len(photo):
        status, said = phone.upload(photo, have)
        assert (status, said["have"] > have) == (OK, True)
        have = said["have"]
    assert whole(disk)


def test_on_a_read_only_disk_the_start_says_so_and_changes_nothing(
    disk: Disk, phone: Pressing
) -> None:
    with running(disk.folder, "serve", port=phone.port, inside=disk.inside):
        assert phone.push() == (OK, "")
    disk.read_only(True)
    for command in ("serve", "upgrade"):
        refused = manage_inside(disk.inside, disk.folder, command)
        assert refused.returncode == 2, refused.stderr
        assert "takes no more writing" in refused.stderr
        assert "Traceback" not in refused.stderr
    disk.read_only(False)
    with running(disk.folder, "serve", port=phone.port, inside=disk.inside):
        assert phone.push() == (OK, "")
    assert phone.acknowledged() <= disk.lines()
    assert whole(disk)


def test_on_a_full_disk_the_start_says_so_and_changes_nothing(disk: Disk, phone: Pressing) -> None:
    disk.fill()
    refused = manage_inside(disk.inside, disk.folder, "serve")
    assert refused.returncode == 2
    assert "disk of the shop's computer is full" in refused.stderr
    disk.make_room()
    with running(disk.folder, "serve", port=phone.port, inside=disk.inside):
        assert phone.push() == (OK, "")
    assert whole(disk)
