"""The household authority: narrow, private, and its certificate never out of date.

What counts is what others make of the certificates, so they are judged by OpenSSL's command
line and by cryptography's verifier of web certificates, and not by reading them back.
"""

from __future__ import annotations

import stat
import subprocess
from datetime import datetime, timedelta
from ipaddress import ip_address
from pathlib import Path

import pytest
from cryptography import x509
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec

from crestrail import tls
from crestrail.basis.clock import FixedClock
from helpers.verifiers import AT, openssl_says, pem, web_verifier_accepts

NOW = AT
NAME = "crestrail-bcdf.local"
DAY = timedelta(days=1)


@pytest.fixture(scope="module")
def authority() -> tls.Authority:
    return tls.make_authority(NAME, NOW)


@pytest.fixture
def files(tmp_path: Path) -> tls.TlsFiles:
    return tls.TlsFiles(tmp_path / "tls")


def forged(
    authority: tls.Authority, *names: x509.GeneralName, ca: bool = False
) -> tuple[x509.Certificate, ec.EllipticCurvePrivateKey]:
    """What somebody who got hold of the authority's key would sign."""
    key = ec.generate_private_key(ec.SECP256R1())
    issuer = authority.certificate
    builder = (
        x509.CertificateBuilder()
        .subject_name(x509.Name([x509.NameAttribute(x509.NameOID.COMMON_NAME, "forged")]))
        .issuer_name(issuer.subject)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(NOW - DAY)
        .not_valid_after(NOW + 90 * DAY)
        .add_extension(x509.BasicConstraints(ca=ca, path_length=None), critical=True)
        .add_extension(x509.ExtendedKeyUsage([x509.OID_SERVER_AUTH]), critical=False)
        .add_extension(
            x509.AuthorityKeyIdentifier.from_issuer_public_key(authority.key.public_key()),
            critical=False,
        )
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
    )
    if names:
        builder = builder.add_extension(x509.SubjectAlternativeName(names), critical=False)
    return builder.sign(authority.key, hashes.SHA256()), key


def test_openssl_and_a_web_verifier_accept_the_servers_certificate(
    authority: tls.Authority, tmp_path: Path
) -> None:
    leaf, _ = tls.make_leaf(authority, NAME, NOW)
    assert openssl_says(tmp_path, authority, leaf).endswith("leaf.pem: OK\n")
    assert web_verifier_accepts(authority, leaf, NAME)
    assert not web_verifier_accepts(authority, leaf, "crestrail-ghjk.local")


OTHERS = [
    [x509.DNSName("bank.example")],
    [x509.DNSName("crestrail-ghjk.local")],
    [x509.DNSName("local")],
    [x509.DNSName(NAME), x509.DNSName("bank.example")],
    [x509.IPAddress(ip_address("192.0.2.7"))],
    [x509.IPAddress(ip_address("2001:db8::7"))],
]


@pytest.mark.parametrize("names", OTHERS, ids=lambda names: "+".join(str(n.value) for n in names))
def test_the_authority_cannot_vouch_for_anything_else(
    authority: tls.Authority, names: list[x509.GeneralName], tmp_path: Path
) -> None:
    leaf, _ = forged(authority, *names)
    said = openssl_says(tmp_path, authority, leaf)
    assert "permitted subtree violation" in said or "excluded subtree violation" in said


@pytest.mark.parametrize("name", ["bank.example", "crestrail-ghjk.local"])
def test_a_web_verifier_holds_the_authority_to_its_name_too(
    authority: tls.Authority, name: str
) -> None:
    ours, _ = forged(authority, x509.DNSName(NAME))
    assert web_verifier_accepts(authority, ours, NAME), "the forgery itself must be well made"
    leaf, _ = forged(authority, x509.DNSName(name))
    assert not web_verifier_accepts(authority, leaf, name)


def test_the_authority_cannot_make_another_authority(
    authority: tls.Authority, tmp_path: Path
) -> None:
    certificate, key = forged(authority, ca=True)
    second = tls.Authority(certificate, key)
    leaf, _ = forged(second, x509.DNSName(NAME))
    assert "path length constraint exceeded" in openssl_says(tmp_path, authority, leaf, certificate)


def test_the_limits_are_critical_and_the_uses_are_few(authority: tls.Authority) -> None:
    extensions = authority.certificate.extensions
    limits = extensions.get_extension_for_class(x509.NameConstraints)
    assert limits.critical
    assert limits.value.permitted_subtrees == [x509.DNSName(NAME)]
    basic = extensions.get_extension_for_class(x509.BasicConstraints)
    assert (basic.critical, basic.value.ca, basic.value.path_length) == (True, True, 0)
    usage = extensions.get_extension_for_class(x509.KeyUsage)
    assert usage.critical
    assert usage.value == x509.KeyUsage(
        digital_signature=False, content_commitment=False, key_encipherment=False,
        data_encipherment=False, key_agreement=False, key_cert_sign=True, crl_sign=True,
        encipher_only=False, decipher_only=False,
    )  # fmt: skip
    assert isinstance(authority.key.curve, ec.SECP256R1)


def test_phones_list_the_authority_under_a_name_of_at_most_64_characters(
    authority: tls.Authority,
) -> None:
    assert common_name(authority) == f"Crestrail household authority, {NAME}"
    long = tls.make_authority("tools.a-household-with-a-very-long-name.example.org", NOW)
    assert len(common_name(long)) == 64


def common_name(authority: tls.Authority) -> str:
    (found,) = authority.certificate.subject.get_attributes_for_oid(x509.NameOID.COMMON_NAME)
    return str(found.value)


def test_the_servers_certificate_is_short_lived_and_for_servers_only(
    authority: tls.Authority,
) -> None:
    leaf, _ = tls.make_leaf(authority, NAME, NOW)
    assert leaf.not_valid_after_utc - leaf.not_valid_before_utc == 397 * DAY
    assert leaf.not_valid_before_utc == NOW - DAY
    assert isinstance(leaf.signature_hash_algorithm, hashes.SHA256)
    names = leaf.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    assert list(names) == [x509.DNSName(NAME)]
    uses = leaf.extensions.get_extension_for_class(x509.ExtendedKeyUsage).value
    assert list(uses) == [x509.OID_SERVER_AUTH]


def test_a_certificate_never_outlives_the_authority(authority: tls.Authority) -> None:
    leaf, _ = tls.make_leaf(authority, NAME, NOW + 3500 * DAY)
    assert leaf.not_valid_after_utc == authority.certificate.not_valid_after_utc


def test_the_fingerprint_is_the_one_that_openssl_prints(
    authority: tls.Authority, tmp_path: Path
) -> None:
    (tmp_path / "authority.pem").write_bytes(pem(authority.certificate))
    printed = subprocess.run(
        ["openssl", "x509", "-in", tmp_path / "authority.pem", "-noout", "-fingerprint", "-sha256"],
        capture_output=True, text=True, check=True,
    ).stdout.strip()  # fmt: skip
    assert printed.lower() == f"sha256 fingerprint={tls.fingerprint(authority.certificate)}".lower()
    lines = tls.fingerprint_lines(authority.certificate)
    assert [len(line.split()) for line in lines] == [8, 8, 8, 8]
    assert ":".join(lines).replace(" ", ":") == tls.fingerprint(authority.certificate)


def test_keys_are_readable_by_their_owner_only(files: tls.TlsFiles) -> None:
    tls.ensure_leaf(files, tls.ensure_authority(files, NAME, NOW), NAME, NOW)
    assert stat.S_IMODE(files.folder.stat().st_mode) == 0o700
    for path in files.folder.iterdir():
        assert stat.S_IMODE(path.stat().st_mode) == 0o600, path.name


def test_a_key_that_became_readable_for_others_is_closed_again(files: tls.TlsFiles) -> None:
    tls.ensure_authority(files, NAME, NOW)
    files.authority_key.chmod(0o644)
    tls.ensure_authority(files, NAME, NOW)
    assert stat.S_IMODE(files.authority_key.stat().st_mode) == 0o600


def test_the_authority_is_made_once_and_kept(files: tls.TlsFiles) -> None:
    first = tls.ensure_authority(files, NAME, NOW)
    again = tls.ensure_authority(files, NAME, NOW + 3000 * DAY)
    assert again.certificate == first.certificate


EDGE = NOW - DAY + (397 - 60) * DAY
"""The moment from which 60 days are left."""


@pytest.mark.parametrize(
    ("at", "renewed"),
    [
        (NOW, False),
        (EDGE, False),
        (EDGE + timedelta(seconds=1), True),
        (EDGE + 100 * DAY, True),
        (NOW - 2 * DAY, True),
    ],
    ids=["fresh", "60 days left", "less than 60 days left", "over", "not begun yet"],
)
def test_the_certificate_is_renewed_when_fewer_than_60_days_are_left(
    files: tls.TlsFiles, at: datetime, renewed: bool
) -> None:
    authority = tls.make_authority(NAME, NOW - 100 * DAY)
    clock = FixedClock(NOW)
    assert tls.ensure_leaf(files, authority, NAME, clock.now())
    before = files.server.read_bytes()
    clock.instant = at
    assert tls.ensure_leaf(files, authority, NAME, clock.now()) is renewed
    assert (files.server.read_bytes() != before) is renewed
    assert tls.leaf_ends(files) > clock.now() + 60 * DAY or not renewed


def test_a_certificate_at_the_authoritys_own_end_is_not_renewed_over_and_over(
    files: tls.TlsFiles, authority: tls.Authority
) -> None:
    late = authority.certificate.not_valid_after_utc - 30 * DAY
    assert tls.ensure_leaf(files, authority, NAME, late)
    assert not tls.ensure_leaf(files, authority, NAME, late + DAY)


@pytest.mark.parametrize("found", ["nothing", "half a file", "for another name", "by another"])
def test_a_certificate_that_is_not_ours_is_replaced(
    files: tls.TlsFiles, authority: tls.Authority, found: str
) -> None:
    other = "crestrail-ghjk.local"
    if found == "for another name":
        tls.ensure_leaf(files, authority, other, NOW)
    elif found == "by another":
        tls.ensure_leaf(files, tls.make_authority(NAME, NOW), NAME, NOW)
    else:
        tls.ensure_leaf(files, authority, NAME, NOW)
        half = files.server.read_bytes()[:300]
        files.server.unlink() if found == "nothing" else files.server.write_bytes(half)
    assert tls.ensure_leaf(files, authority, NAME, NOW)
    leaf = x509.load_pem_x509_certificate(files.server.read_bytes())
    assert web_verifier_accepts(authority, leaf, NAME)


@pytest.mark.parametrize(
    ("name", "at", "says"),
    [
        ("crestrail-ghjk.local", NOW, "is not for crestrail-ghjk.local"),
        (NAME, NOW + 3651 * DAY, "has run out"),
        (NAME, NOW - 400 * DAY, "is this computer's date right?"),
    ],
)
def test_an_authority_that_will_not_do_stops_the_start_and_says_what_to_do(
    files: tls.TlsFiles, name: str, at: datetime, says: str
) -> None:
    tls.ensure_authority(files, NAME, NOW)
    with pytest.raises(tls.CannotStart, match="move the folder") as refused:
        tls.ensure_authority(files, name, at)
    assert says in str(refused.value)


@pytest.mark.parametrize("damaged", ["authority", "authority_key"])
@pytest.mark.parametrize("how", ["missing", "cut", "swapped"])
def test_a_damaged_authority_is_never_replaced_by_itself(
    files: tls.TlsFiles, damaged: str, how: str, tmp_path: Path
) -> None:
    tls.ensure_authority(files, NAME, NOW)
    path: Path = getattr(files, damaged)
    if how == "missing":
        path.unlink()
    elif how == "cut":
        path.write_bytes(path.read_bytes()[:80])
    else:
        other = tls.TlsFiles(tmp_path / "other")
        tls.ensure_authority(other, NAME, NOW)
        path.write_bytes(getattr(other, damaged).read_bytes())
    kept = {p.name: p.read_bytes() for p in files.folder.iterdir()}
    with pytest.raises(tls.CannotStart, match="authority"):
        tls.ensure_authority(files, NAME, NOW)
    assert {p.name: p.read_bytes() for p in files.folder.iterdir()} == kept
