"""Trust as a phone or a browser has it: an NSS database in a home folder of its own.

Chromium on Linux reads ``$HOME/.local/share/pki/nssdb`` or ``$HOME/.pki/nssdb``; with HOME
pointing elsewhere a test can trust an authority without touching the person's own browser.
"""

from __future__ import annotations

import os
import shutil
import socket
import ssl
import subprocess
from pathlib import Path

from playwright.sync_api import Browser, Playwright

from helpers import browser as browsers

MISSING = "certutil is missing: install the package libnss3-tools"


def home_that_trusts(folder: Path, *authorities: Path) -> Path:
    """A home folder in which Chromium trusts these authorities (PEM files) for web sites."""
    certutil = shutil.which("certutil")
    assert certutil, MISSING
    for database in (folder / ".pki/nssdb", folder / ".local/share/pki/nssdb"):
        database.mkdir(parents=True)
        store = f"sql:{database}"
        subprocess.run([certutil, "-N", "-d", store, "--empty-password"], check=True)
        for number, authority in enumerate(authorities):
            subprocess.run(
                [certutil, "-A", "-d", store, "-n", f"authority {number}", "-t", "C,,",
                 "-i", str(authority)],
                check=True,
            )  # fmt: skip
    return folder


def launch_at_home(playwright: Playwright, home: Path, *names: str) -> Browser:
    """Chromium with that home folder, for which ``names`` lead to this computer."""
    rules = ", ".join(f"MAP {name} 127.0.0.1" for name in names)
    return browsers.launch(
        playwright, f"--host-resolver-rules={rules}", env={**os.environ, "HOME": str(home)}
    )


def certificate_shown(port: int, name: str) -> bytes:
    """The certificate (DER) that a server on this computer shows to a new connection."""
    context = ssl.create_default_context()
    context.check_hostname, context.verify_mode = False, ssl.CERT_NONE
    with (
        socket.create_connection(("127.0.0.1", port), timeout=5) as plain,
        context.wrap_socket(plain, server_hostname=name) as secure,
    ):
        shown = secure.getpeercert(binary_form=True)
    assert shown is not None
    return shown
