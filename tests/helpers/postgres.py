"""A PostgreSQL server of our own in a temporary folder, and quick copies of a database.

The programs are those of the distribution's package. They refuse to run as root, so then the
server runs as the user ``postgres``. Nothing is synced to disk: the folder is thrown away.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from itertools import count
from pathlib import Path

import psycopg

from helpers.ports import free_port

PROGRAMS = Path("/usr/lib/postgresql/15/bin")
_FAST = "-c fsync=off -c synchronous_commit=off -c full_page_writes=off -c max_connections=60"
_numbers = count(1)


class Postgres:
    """A running server; ``url`` names a database of it for SQLAlchemy."""

    def __init__(self, folder: Path, port: int) -> None:
        self.folder, self.port = folder, port

    def url(self, database: str) -> str:
        """The SQLAlchemy URL of a database."""
        return f"postgresql+psycopg://postgres@127.0.0.1:{self.port}/{database}"

    def create(self, template: str = "template1") -> str:
        """A new database, a copy of the template; its name."""
        name = f"crestrail_{next(_numbers)}"
        self._run(f"CREATE DATABASE {name} TEMPLATE {template} STRATEGY file_copy")
        return name

    def drop(self, name: str) -> None:
        """Throw a database away, whoever is connected."""
        self._run(f"DROP DATABASE IF EXISTS {name} WITH (FORCE)")

    def _run(self, statement: str) -> None:
        where = f"host=127.0.0.1 port={self.port} user=postgres dbname=postgres"
        with psycopg.connect(where, autocommit=True) as connection:
            connection.execute(statement)  # type: ignore[arg-type]


@contextmanager
def running() -> Iterator[Postgres]:
    """A server from initdb to the end."""
    if not PROGRAMS.is_dir():
        raise RuntimeError("PostgreSQL is missing: install the package postgresql-15")
    folder = Path(tempfile.mkdtemp(prefix="crestrail-pg-"))
    try:
        data, port = folder / "data", free_port()
        if os.geteuid() == 0:
            shutil.chown(folder, "postgres", "postgres")
        _program("initdb", "-D", data, "-A", "trust", "-U", "postgres", "-E", "UTF8", "--no-sync")
        options = f"-p {port} -k {folder} -h 127.0.0.1 {_FAST}"
        _program("pg_ctl", "-D", data, "-w", "-l", folder / "log", "-o", options, "start")
        try:
            yield Postgres(folder, port)
        finally:
            _program("pg_ctl", "-D", data, "-m", "immediate", "stop")
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def _program(name: str, *words: str | Path) -> None:
    command = [str(PROGRAMS / name), *map(str, words)]
    if os.geteuid() == 0:
        command = ["runuser", "-u", "postgres", "--", *command]
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL, cwd="/")
