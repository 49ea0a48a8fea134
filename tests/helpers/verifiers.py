"""What others make of the household's certificates: OpenSSL, and a verifier of web ones."""

from __future__ import annotations

import subprocess
from datetime import UTC, datetime
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import serialization
from cryptography.x509.verification import PolicyBuilder, Store, VerificationError

from crestrail import tls

AT = datetime(2026, 5, 1, 12, tzinfo=UTC)
"""The moment that the verifiers take for now."""


def pem(certificate: x509.Certificate) -> bytes:
    return certificate.public_bytes(serialization.Encoding.PEM)


def openssl_says(
    tmp_path: Path, authority: tls.Authority, leaf: x509.Certificate, *between: x509.Certificate
) -> str:
    """The judgement of `openssl verify` as of the moment, for a TLS server."""
    paths = {
        name: tmp_path / f"{name}.pem"
        for name in ("authority", "between", "leaf")
    }  # fmt: skip
    paths["authority"].write_bytes(pem(authority.certificate))
    paths["between"].write_bytes(b"".join(map(pem, between)))
    paths["leaf"].write_bytes(pem(leaf))
    chain = ["-untrusted", str(paths["between"])] if between else []
    done = subprocess.run(
        ["openssl", "verify", "-x509_strict", "-purpose", "sslserver",
         "-attime", str(int(AT.timestamp())), "-CAfile", str(paths["authority"]),
         *chain, str(paths["leaf"])],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    return done.stdout + done.stderr


def web_verifier_accepts(authority: tls.Authority, leaf: x509.Certificate, name: str) -> bool:
    """The judgement of cryptography's verifier (the rules of public web certificates)."""
    store = Store([authority.certificate])
    verifier = PolicyBuilder().store(store).time(AT).build_server_verifier(x509.DNSName(name))
    try:
        verifier.verify(leaf, [])
    except VerificationError:
        return False
    return True
