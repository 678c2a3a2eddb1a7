"""A certificate of one's own for a local network: nobody vouches for it, so its fingerprint is shown."""

from __future__ import annotations

import hashlib
import ipaddress
import os
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:  # loaded where a certificate is wanted: most who open a workbench want none
    from cryptography import x509

LASTS = timedelta(days=800)
RENEWED_BEFORE = timedelta(days=30)


@dataclass(frozen=True, slots=True, kw_only=True)
class Certificate:
    """Where key and certificate lie, and the certificate's SHA-256 in hex."""

    key: Path
    certificate: Path
    fingerprint: str


def certificate_for(workbench: Path, names: Sequence[str], *, now: datetime) -> Certificate:
    """The certificate beside a workbench, made where there is none, it has nearly run out, or lacks a name.

    The key never leaves this computer, and only its owner may read it.
    """
    key, place = (workbench.with_name(f"{workbench.name}.{ending}") for ending in ("key.pem", "cert.pem"))
    found = _read(place) if key.exists() else None
    if found is None or found.not_valid_after_utc - now < RENEWED_BEFORE or not set(names) <= _names(found):
        found = _make(key, place, names, now)
    from cryptography.hazmat.primitives import serialization

    fingerprint = hashlib.sha256(found.public_bytes(serialization.Encoding.DER)).hexdigest()
    return Certificate(key=key, certificate=place, fingerprint=fingerprint)


def shown(fingerprint: str) -> str:
    """A fingerprint as people compare it.

    >>> shown("ab0c12")
    'AB:0C:12'
    """
    return ":".join(fingerprint[at : at + 2] for at in range(0, len(fingerprint), 2)).upper()


def _read(place: Path) -> x509.Certificate | None:
    from cryptography import x509

    try:
        return x509.load_pem_x509_certificate(place.read_bytes())
    except (OSError, ValueError):
        return None


def _names(found: x509.Certificate) -> set[str]:
    from cryptography import x509

    try:
        said = found.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    except x509.ExtensionNotFound:
        return set()
    return {str(each.value) for each in said}


def _make(key_place: Path, place: Path, names: Sequence[str], now: datetime) -> x509.Certificate:
    from cryptography import x509
    from cryptography.hazmat.primitives import hashes, serialization
    from cryptography.hazmat.primitives.asymmetric import ec
    from cryptography.x509.oid import NameOID

    key = ec.generate_private_key(ec.SECP256R1())
    called = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "Evenhand workbench")])
    made = (
        x509.CertificateBuilder()
        .subject_name(called)
        .issuer_name(called)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - timedelta(days=1))
        .not_valid_after(now + LASTS)
        .add_extension(x509.SubjectAlternativeName([_name(each) for each in names]), critical=False)
        .sign(key, hashes.SHA256())
    )
    private = key.private_bytes(
        serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
    )
    key_place.unlink(missing_ok=True)
    with os.fdopen(os.open(key_place, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as file:
        file.write(private)
    place.write_bytes(made.public_bytes(serialization.Encoding.PEM))
    return made


def _name(name: str) -> x509.GeneralName:
    from cryptography import x509

    try:
        return x509.IPAddress(ipaddress.ip_address(name))
    except ValueError:
        return x509.DNSName(name)
