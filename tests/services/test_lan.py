"""The name on the home network: chosen once, kept, announced, and never taken from another.

Real multicast DNS on the loopback interface.
"""

from __future__ import annotations

import json
import random
import socket
import zipfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from zeroconf import IPVersion, ServiceInfo, Zeroconf

from crestrail.app import create_app
from crestrail.basis.clock import FixedClock
from crestrail.config import Settings
from crestrail.lan import mdns, names
from crestrail.lan.serving import LanServer
from crestrail.lan.setup import LanWish, prepare
from crestrail.services.backup import back_up, restore
from crestrail.serving import first_household
from crestrail.store.db import db
from crestrail.store.photos import PhotoFiles
from crestrail.tls import CannotStart
from helpers.home_network import NOW, aside, chance, hello
from helpers.ports import free_ports

LOOPBACK = ["127.0.0.1"]


@pytest.fixture
def said() -> list[str]:
    return []


# The name


def test_the_first_start_makes_up_a_name_and_keeps_it_with_the_port(tmp_path: Path) -> None:
    first = names.settle(tmp_path / "lan.json", None, None, random.Random(1))
    again = names.settle(tmp_path / "lan.json", None, None, random.Random(2))
    assert first == again
    label = first.name.removeprefix("crestrail-").removesuffix(".local")
    assert len(label) == 4
    assert set(label) <= set(names.LETTERS)
    assert first.origin == f"https://{first.name}:{names.DEFAULT_PORT}"
    assert json.loads((tmp_path / "lan.json").read_text())["name"] == first.name


@pytest.mark.parametrize(
    ("typed", "kept"),
    [
        ("shed", "shed.local"),
        (" Shed.LOCAL. ", "shed.local"),
        ("tools.Example.org", "tools.example.org"),
        ("a" * 63, "a" * 63 + ".local"),
    ],
)
def test_a_name_may_be_chosen(tmp_path: Path, typed: str, kept: str) -> None:
    assert names.settle(tmp_path / "lan.json", typed, None, chance()).name == kept


@pytest.mark.parametrize(
    "typed",
    ["", ".", "two words", "-shed", "shed-", "späti", "a" * 64, "192.168.1.7", "a.b.local",
     "shed:80", "https://shed.local", "a..b", "*.example.org", "x." * 130 + "org"],
)  # fmt: skip
def test_what_cannot_be_a_name_is_refused_before_anything_is_kept(
    tmp_path: Path, typed: str
) -> None:
    with pytest.raises(CannotStart, match="letters, digits and hyphens"):
        names.settle(tmp_path / "lan.json", typed, None, chance())
    assert not (tmp_path / "lan.json").exists()


@pytest.mark.parametrize("port", [0, -1, 65535, 70000])
def test_a_port_without_a_neighbour_is_refused(tmp_path: Path, port: int) -> None:
    with pytest.raises(CannotStart, match="1 to 65534"):
        names.settle(tmp_path / "lan.json", None, port, chance())


@pytest.mark.parametrize(("name", "port"), [("other", None), (None, 9000), ("shed", 9000)])
def test_name_and_port_are_never_changed_in_passing(
    tmp_path: Path, name: str | None, port: int | None
) -> None:
    file = tmp_path / "lan.json"
    kept = names.settle(file, "shed", 8600, chance())
    with pytest.raises(CannotStart, match=r"https://shed\.local:8600"):
        names.settle(file, name, port, chance())
    assert names.settle(file, "SHED", 8600, chance()) == kept


def test_a_damaged_address_is_not_replaced_by_a_new_one(tmp_path: Path) -> None:
    file = tmp_path / "lan.json"
    file.write_text('{"name": "shed.lo')
    with pytest.raises(CannotStart, match="damaged"):
        names.settle(file, None, None, chance())
    assert file.read_text() == '{"name": "shed.lo'


def test_the_usual_https_port_is_left_out_of_the_origin() -> None:
    assert names.LanAddress("tools.example.org", 443, 444).origin == "https://tools.example.org"


def test_a_backup_holds_the_address_and_no_key(tmp_path: Path) -> None:
    """Nor does anything else of the certificates: a new computer makes its own."""
    setup = prepare(tmp_path, LanWish("shed"), NOW, chance())
    app = create_app(Settings(data=tmp_path, clock=FixedClock(NOW)))
    with app.app_context():
        first_household(app)
        back_up(tmp_path / "backup.zip", PhotoFiles(tmp_path / "photos"), NOW, tmp_path)
        db.engine.dispose()
    secrets = [
        line
        for path in setup.files.folder.iterdir()
        for line in path.read_bytes().splitlines()
        if len(line) > 20
    ]
    assert any(b"PRIVATE KEY" in line for line in secrets)
    with zipfile.ZipFile(tmp_path / "backup.zip") as archive:
        assert json.loads(archive.read("lan.json"))["name"] == "shed.local"
        for name in archive.namelist():
            held = archive.read(name)
            assert not any(line in held for line in secrets), name


@pytest.mark.parametrize("there", [None, "barn"])
def test_a_restore_brings_the_address_only_where_none_is_there(
    tmp_path: Path, there: str | None
) -> None:
    kept = names.settle(tmp_path / "old" / "lan.json", "shed", 9000, chance())
    file = tmp_path / "new" / "lan.json"
    if there:
        names.settle(file, there, None, chance())
    for folder, act in [("old", back_up), ("new", restore)]:
        data = tmp_path / folder
        app = create_app(Settings(data=data, clock=FixedClock(NOW)))
        with app.app_context():
            counts = act(tmp_path / "b.zip", PhotoFiles(data / "photos"), NOW, data)
            db.engine.dispose()
    if there:
        assert names.settle(file, None, None, chance()).name == "barn.local"
        assert "home network address" not in counts
    else:
        assert names.settle(file, None, None, chance()) == kept
        assert counts["home network address"] == 1


@pytest.mark.parametrize("content", [None, "{", "[]", "{}"])
def test_a_backup_without_an_address_to_take_along_is_whole_all_the_same(
    tmp_path: Path, content: str | None
) -> None:
    if content is not None:
        (tmp_path / "lan.json").write_text(content)
    app = create_app(Settings(data=tmp_path, clock=FixedClock(NOW)))
    with app.app_context():
        files = PhotoFiles(tmp_path / "photos")
        assert back_up(tmp_path / "b.zip", files, NOW, tmp_path).keys() == {"rows", "pictures"}
        assert restore(tmp_path / "b.zip", files, NOW, tmp_path).keys() == {"rows", "pictures"}
        db.engine.dispose()


# The announcement


def computer() -> Zeroconf:
    """Another computer on the network."""
    return aside(Zeroconf, interfaces=LOOPBACK, ip_version=IPVersion.V4Only)


@pytest.fixture
def neighbour() -> Iterator[Zeroconf]:
    zeroconf = computer()
    yield zeroconf
    aside(zeroconf.close)


def called(label: str, at: str) -> ServiceInfo:
    """What another computer announces that has the name."""
    return ServiceInfo(
        "_http._tcp.local.",
        f"its-{label}._http._tcp.local.",
        port=80,
        server=f"{label}.local.",
        parsed_addresses=[at],
    )


PATIENCE_MS = 15_000


def address(label: str) -> names.LanAddress:
    return names.LanAddress(f"{label}.local", 8472, 8473)


def test_phones_find_the_name_and_no_longer_after_the_end(
    neighbour: Zeroconf, monkeypatch: pytest.MonkeyPatch
) -> None:
    announcer = mdns.Announcer(address("crestrail-ttta"))
    assert aside(announcer.refresh, LOOPBACK)
    assert not announcer.refresh(LOOPBACK), "nothing new, nothing to announce"
    with monkeypatch.context() as crowded:
        crowded.setattr(mdns, "PROBE_MS", PATIENCE_MS)
        assert aside(mdns.others_with_name, neighbour, "crestrail-ttta.local", []) == LOOPBACK
    aside(announcer.close)
    later = computer()
    assert aside(mdns.others_with_name, later, "crestrail-ttta.local", []) == []
    aside(later.close)


@pytest.fixture
def patient(monkeypatch: pytest.MonkeyPatch) -> None:
    """Listens long enough for a crowded machine to answer; an answer ends the wait."""
    monkeypatch.setattr(mdns, "PROBE_MS", PATIENCE_MS)


@pytest.mark.usefixtures("patient")
def test_the_name_of_another_computer_is_not_taken_over(neighbour: Zeroconf) -> None:
    aside(neighbour.register_service, called("crestrail-tttb", "192.0.2.99"))
    announcer = mdns.Announcer(address("crestrail-tttb"))
    with pytest.raises(CannotStart, match=r"taken on this network by 192\.0\.2\.99"):
        aside(announcer.refresh, LOOPBACK)
    assert announcer.addresses == []


def test_the_computers_own_name_is_no_conflict(neighbour: Zeroconf) -> None:
    aside(neighbour.register_service, called("crestrail-ttte", "127.0.0.1"))
    announcer = mdns.Announcer(address("crestrail-ttte"))
    assert aside(announcer.refresh, LOOPBACK)
    aside(announcer.close)


@pytest.mark.usefixtures("patient")
def test_a_start_under_a_taken_name_gives_every_port_back(
    tmp_path: Path, neighbour: Zeroconf
) -> None:
    port = free_ports()
    setup = prepare(tmp_path, LanWish("crestrail-tttc", port), NOW, chance())
    aside(neighbour.register_service, called("crestrail-tttc", "192.0.2.98"))
    server = LanServer(hello, setup, FixedClock(NOW), addresses=lambda: LOOPBACK)
    with pytest.raises(CannotStart, match="is taken on this network"):
        aside(server.start)
    for freed in (port, port + 1):
        with socket.socket() as sock:
            sock.bind(("127.0.0.1", freed))


def test_a_new_address_from_the_router_is_announced(tmp_path: Path, said: list[str]) -> None:
    setup = prepare(tmp_path, LanWish("crestrail-tttd", free_ports()), NOW, chance())
    current: list[str] = []
    server = LanServer(hello, setup, FixedClock(NOW), said.append, addresses=lambda: current)
    aside(server.start)
    assert said == []
    current.append("127.0.0.1")
    aside(server.upkeep)
    assert said == ["crestrail-tttd.local is announced at 127.0.0.1."]
    aside(server.upkeep)
    assert len(said) == 1
    aside(server.stop)
