"""Fixtures of the server side."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from helpers import app as apps
from helpers import postgres
from helpers.app import Home
from helpers.live import LiveServer
from helpers.postgres import Postgres

DATABASES = ("sqlite", "postgresql")


@pytest.fixture
def live_server(tmp_path: Path) -> Iterator[LiveServer]:
    """A real server with a fresh household, in a process of its own."""
    with LiveServer(tmp_path / "data") as server:
        yield server


@pytest.fixture(scope="session")
def postgres_server() -> Iterator[Postgres]:
    """One PostgreSQL server a run."""
    with postgres.running() as server:
        yield server


@pytest.fixture(scope="session")
def postgres_template(
    postgres_server: Postgres, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[str]:
    """A database with all tables, to be copied."""
    name = postgres_server.create()
    folder = tmp_path_factory.mktemp("template")
    with apps.opened(folder, postgres_server.url(name), household="-"):
        pass
    yield name
    postgres_server.drop(name)


@pytest.fixture
def postgres_url(postgres_server: Postgres, postgres_template: str) -> Iterator[str]:
    """An empty PostgreSQL database with all tables."""
    name = postgres_server.create(postgres_template)
    yield postgres_server.url(name)
    postgres_server.drop(name)


@pytest.fixture(params=DATABASES)
def database_url(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """An empty database: SQLite in a file, then PostgreSQL."""
    if request.param == "sqlite":
        return f"sqlite:///{tmp_path / 'crestrail.sqlite3'}"
    url: str = request.getfixturevalue("postgres_url")
    return url


@pytest.fixture
def home(tmp_path: Path) -> Iterator[Home]:
    """A household on SQLite, served in this process."""
    with apps.opened(tmp_path / "data") as opened:
        yield opened


@pytest.fixture
def any_home(tmp_path: Path, database_url: str) -> Iterator[Home]:
    """A household on SQLite, and again on PostgreSQL."""
    with apps.opened(tmp_path / "data", database_url) as opened:
        yield opened
