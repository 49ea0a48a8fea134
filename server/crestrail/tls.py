"""The household's own certificate authority, and the certificate the server shows to phones.

Browsers give offline work and the camera to secure origins only. A home network has no public
certificates, so the household makes its own authority, which is worth nothing to a thief:
it may vouch for one name alone (RFC 5280, 4.2.1.10, critical name constraints), for no
address, and for no other authority. Its key stays in the data folder, readable by its owner
only, and is never part of a backup.

The certificate of the server lives 397 days and is renewed when fewer than 60 are left.
Apple refuses certificates of over 825 days also from a private authority
(support.apple.com/en-us/103769, from memory); 397 days is within that and every known limit.
"""

from __future__ import annotations

import os
import tempfile
from dataclasses import dataclass
from datetime import datetime, timedelta
from ipaddress import ip_network
from pathlib import Path

from cryptography import x509
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

AUTHORITY_YEARS = 10
AUTHORITY_DAYS = 365 * AUTHORITY_YEARS
LEAF_DAYS = 397
RENEW_WHEN_DAYS_LEFT = 60
CLOCK_SLACK = timedelta(days=1)
"""Certificates begin a day early, for phones whose clock is a little behind."""


class CannotStart(Exception):
    """The server can't start as asked; the text says why and what to do."""


@dataclass(frozen=True, slots=True)
class TlsFiles:
    """Where the certificates are kept.

    ``server`` holds the server's key and certificate in one file, so that renewing replaces
    both at once or not at all.
    """

    folder: Path

    @property
    def authority(self) -> Path:
        """The authority's certificate (PEM), which phones may have."""
        return self.folder / "authority.pem"

    @property
    def authority_key(self) -> Path:
        """The authority's key (PEM), which nobody may have."""
        return self.folder / "authority-key.pem"

    @property
    def server(self) -> Path:
        """Key and certificate of the server (PEM)."""
        return self.folder / "server.pem"


@dataclass(frozen=True, slots=True)
class Authority:
    """A certificate authority with its key."""

    certificate: x509.Certificate
    key: ec.EllipticCurvePrivateKey


def fingerprint(certificate: x509.Certificate) -> str:
    """The SHA-256 fingerprint as pairs of hex digits, upper case, with colons between."""
    return certificate.fingerprint(hashes.SHA256()).hex(":").upper()


def fingerprint_lines(certificate: x509.Certificate) -> list[str]:
    """The same in four lines of eight pairs, as people compare it with a phone's screen."""
    pairs = fingerprint(certificate).split(":")
    return [" ".join(pairs[start : start + 8]) for start in range(0, len(pairs), 8)]


def authority_title(name: str) -> str:
    """The authority's common name: phones list it under this, cut at the 64 characters of X.520."""
    return f"Crestrail household authority, {name}"[:64]


def make_authority(name: str, now: datetime) -> Authority:
    """A new authority that can vouch for the DNS name ``name`` and for nothing else."""
    key = ec.generate_private_key(ec.SECP256R1())
    subject = _common_name(authority_title(name))
    only_this_name = x509.NameConstraints(
        permitted_subtrees=[x509.DNSName(name)],
        excluded_subtrees=[
            x509.IPAddress(ip_network("0.0.0.0/0")),
            x509.IPAddress(ip_network("::/0")),
        ],
    )
    certificate = (
        _builder(subject, subject, key.public_key(), now)
        .not_valid_after(now + timedelta(days=AUTHORITY_DAYS))
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(_key_usage(signs_certificates=True), critical=True)
        .add_extension(only_this_name, critical=True)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .sign(key, hashes.SHA256())
    )
    return Authority(certificate, key)


def make_leaf(
    authority: Authority, name: str, now: datetime
) -> tuple[x509.Certificate, ec.EllipticCurvePrivateKey]:
    """A certificate for a server called ``name``, with a new key.

    It never outlives the authority that signs it.
    """
    key = ec.generate_private_key(ec.SECP256R1())
    issuer = authority.certificate
    end = now - CLOCK_SLACK + timedelta(days=LEAF_DAYS)
    certificate = (
        _builder(_common_name("Crestrail"), issuer.subject, key.public_key(), now)
        .not_valid_after(min(end, issuer.not_valid_after_utc))
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(_key_usage(signs_certificates=False), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(x509.SubjectAlternativeName([x509.DNSName(name)]), critical=False)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .add_extension(
            x509.AuthorityKeyIdentifier.from_issuer_public_key(issuer.public_key()),  # type: ignore[arg-type]
            critical=False,
        )
        .sign(authority.key, hashes.SHA256())
    )
    return certificate, key


def ensure_authority(files: TlsFiles, name: str, now: datetime) -> Authority:
    """The household's authority; made at the first call, then kept.

    It is never replaced by itself, because every phone would have to trust the new one.
    Raises CannotStart when what is kept is damaged, over, or for another name.
    """
    if not files.authority.exists() and not files.authority_key.exists():
        made = make_authority(name, now)
        _write_private(files.authority_key, _key_pem(made.key))
        _write_private(files.authority, _pem(made.certificate))
        return made
    kept = _read_authority(files)
    if _named_in(kept.certificate) != [name]:
        raise CannotStart(_start_over(files, f"the household authority is not for {name}."))
    if now < kept.certificate.not_valid_before_utc:
        begins = kept.certificate.not_valid_before_utc.date()
        why = f"the household authority begins on {begins}: is this computer's date right?"
        raise CannotStart(_start_over(files, why))
    if now >= kept.certificate.not_valid_after_utc:
        raise CannotStart(_start_over(files, "the household authority has run out."))
    files.authority_key.chmod(0o600)
    return kept


def ensure_leaf(files: TlsFiles, authority: Authority, name: str, now: datetime) -> bool:
    """Make or renew the server's certificate where that is due; returns whether it did."""
    kept = _read_certificate(files.server)
    if kept is not None and not _is_due(kept, authority, name, now):
        return False
    keep_leaf(files, *make_leaf(authority, name, now))
    return True


def keep_leaf(
    files: TlsFiles, certificate: x509.Certificate, key: ec.EllipticCurvePrivateKey
) -> None:
    """Keep a certificate and its key as the server's, in place of those before."""
    _write_private(files.server, _key_pem(key) + _pem(certificate))


def leaf_ends(files: TlsFiles) -> datetime:
    """The moment at which the server's certificate runs out."""
    kept = _read_certificate(files.server)
    if kept is None:
        raise CannotStart(f"{files.server} is not a certificate; remove it and start again")
    return kept.not_valid_after_utc


def _is_due(leaf: x509.Certificate, authority: Authority, name: str, now: datetime) -> bool:
    """Whether a certificate is to be replaced: near its end, not begun, or not ours."""
    days_left = timedelta(days=RENEW_WHEN_DAYS_LEFT)
    if now < leaf.not_valid_before_utc or leaf.not_valid_after_utc - now < days_left:
        return leaf.not_valid_after_utc < authority.certificate.not_valid_after_utc
    try:
        leaf.verify_directly_issued_by(authority.certificate)
    except (InvalidSignature, ValueError, TypeError):
        return True
    names = leaf.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    return names.get_values_for_type(x509.DNSName) != [name]


def _named_in(authority: x509.Certificate) -> list[str]:
    """The DNS names an authority may vouch for; none where it says nothing."""
    try:
        limits = authority.extensions.get_extension_for_class(x509.NameConstraints).value
    except x509.ExtensionNotFound:
        return []
    return [str(tree.value) for tree in limits.permitted_subtrees or []]


def _read_authority(files: TlsFiles) -> Authority:
    try:
        certificate = x509.load_pem_x509_certificate(files.authority.read_bytes())
        key = serialization.load_pem_private_key(files.authority_key.read_bytes(), password=None)
    except (OSError, ValueError, TypeError) as error:
        why = "the household authority can't be read."
        raise CannotStart(_start_over(files, why)) from error
    if not isinstance(key, ec.EllipticCurvePrivateKey) or (
        key.public_key() != certificate.public_key()
    ):
        raise CannotStart(_start_over(files, "key and certificate of the authority don't match."))
    return Authority(certificate, key)


def _read_certificate(path: Path) -> x509.Certificate | None:
    """The certificate in a file, or None where there is none that can be read."""
    try:
        return x509.load_pem_x509_certificate(path.read_bytes())
    except (OSError, ValueError):
        return None


def _start_over(files: TlsFiles, why: str) -> str:
    return (
        f"{why} To make a new one, move the folder {files.folder} away and start again; "
        "every phone then has to trust the new authority."
    )


def _builder(
    subject: x509.Name, issuer: x509.Name, public_key: ec.EllipticCurvePublicKey, now: datetime
) -> x509.CertificateBuilder:
    return (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(issuer)
        .public_key(public_key)
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - CLOCK_SLACK)
    )


def _common_name(text: str) -> x509.Name:
    return x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, text)])


def _key_usage(*, signs_certificates: bool) -> x509.KeyUsage:
    """An authority signs certificates and revocation lists; a server signs handshakes."""
    return x509.KeyUsage(
        digital_signature=not signs_certificates,
        key_cert_sign=signs_certificates,
        crl_sign=signs_certificates,
        content_commitment=False,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        encipher_only=False,
        decipher_only=False,
    )


def _pem(certificate: x509.Certificate) -> bytes:
    return certificate.public_bytes(serialization.Encoding.PEM)


def _key_pem(key: ec.EllipticCurvePrivateKey) -> bytes:
    return key.private_bytes(
        serialization.Encoding.PEM,
        serialization.PrivateFormat.PKCS8,
        serialization.NoEncryption(),
    )


def _write_private(path: Path, data: bytes) -> None:
    """Replace a file in one step; it is readable by its owner only from the first byte on."""
    path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    handle, temporary = tempfile.mkstemp(dir=path.parent)
    with os.fdopen(handle, "wb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())
    Path(temporary).replace(path)
