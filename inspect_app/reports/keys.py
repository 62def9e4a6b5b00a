"""The keys that organisations sign their reports with.

Each lies in a file of its own beside the database, never in it: a copy of the database signs
nothing.  The file holds the private key and its certificates (PEM), is readable by the server's
own user only, and is named by the organisation's id.
"""

import os
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from django.conf import settings

from inspect_app.environment import write_once
from inspect_app.people.models import Organisation

if TYPE_CHECKING:  # loaded when the first report is signed
    from cryptography.hazmat.primitives.asymmetric.ec import EllipticCurvePrivateKey
    from cryptography.hazmat.primitives.asymmetric.rsa import RSAPrivateKey
    from cryptography.x509 import Certificate, KeyUsage

LIFE = timedelta(days=365 * 10)
LONGEST_NAME = 64  # of a certificate's subject: RFC 5280, appendix A.1, ub-common-name


class KeyRefused(Exception):  # noqa: N818 - an answer to a person, not a fault
    """A key that cannot sign here; the message is one plain sentence."""


@dataclass(frozen=True, slots=True)
class SigningKey:
    """A private key with its certificate first and those of its issuers after it, all PEM."""

    pem: bytes

    @property
    def certificate(self) -> "Certificate":
        """The key's own certificate."""
        from cryptography.x509 import load_pem_x509_certificates

        return load_pem_x509_certificates(self.pem)[0]

    @property
    def name(self) -> str:
        """Who the certificate says signs."""
        from cryptography.x509.oid import NameOID

        subject = self.certificate.subject
        named = subject.get_attributes_for_oid(NameOID.COMMON_NAME)
        return str(named[0].value) if named else subject.rfc4514_string()

    @property
    def fingerprint(self) -> str:
        """SHA-256 of the certificate, hexadecimal: what PDF readers show."""
        from cryptography.hazmat.primitives.hashes import SHA256

        return self.certificate.fingerprint(SHA256()).hex()


def key_of(organisation: Organisation) -> SigningKey:
    """The organisation's key; a self-made one where it has none yet, or its own is out of date.

    The certificate out of date stays where it is: a new one takes its place (take_own_key).
    """
    path = _path_of(organisation)
    if path.exists() and not _is_valid_today(SigningKey(path.read_bytes()).certificate):
        path = path.with_suffix(".stand-in.pem")
        if path.exists() and not _is_valid_today(SigningKey(path.read_bytes()).certificate):
            path.unlink()
    if not path.exists():
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        write_once(path, _self_made(organisation).decode("ascii"))
    return SigningKey(path.read_bytes())


def why_not_own_key(organisation: Organisation) -> str | None:
    """One sentence for its staff where its certificate is out of date; None where all is well."""
    path = _path_of(organisation)
    if not path.exists():
        return None
    key = SigningKey(path.read_bytes())
    if _is_valid_today(key.certificate):
        return None
    until = key.certificate.not_valid_after_utc
    return (
        f"The signing certificate of {key.name} is out of date (valid until {until:%-d %B %Y}): "
        "reports are now signed with a key made on this server. Ask whoever runs the server to "
        "put a new certificate in its place."
    )


def take_own_key(organisation: Organisation, pkcs12: bytes, passphrase: str) -> SigningKey:
    """Sign with this key from now on; reports issued before keep their signature.

    Raises KeyRefused for a file or passphrase that is wrong, a certificate that is out of date
    or not meant for signing.
    """
    key = SigningKey(_pem_of(pkcs12, passphrase))
    _check_fit_for_signing(key.certificate)
    path = _path_of(organisation)
    path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    handle, aside = tempfile.mkstemp(dir=path.parent)  # mode 600
    with os.fdopen(handle, "wb") as file:
        file.write(key.pem)
    Path(aside).replace(path)
    return key


def _path_of(organisation: Organisation) -> Path:
    return Path(settings.DATA_DIR) / "keys" / f"{organisation.pk}.pem"


def _self_made(organisation: Organisation) -> bytes:
    """A P-256 key and a certificate that vouches for nobody: it only tells one key from others."""
    from cryptography import x509
    from cryptography.hazmat.primitives.asymmetric import ec
    from cryptography.hazmat.primitives.hashes import SHA256
    from cryptography.x509.oid import NameOID

    name = "A private person" if organisation.is_private else organisation.name.strip()
    subject = x509.Name(
        [x509.NameAttribute(NameOID.COMMON_NAME, name[:LONGEST_NAME] or "No name given")]
    )
    key = ec.generate_private_key(ec.SECP256R1())
    now = datetime.now(UTC)
    certificate = (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(subject)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - timedelta(minutes=5))  # for readers whose clock is a little late
        .not_valid_after(now + LIFE)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(_signing_only(), critical=True)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .sign(key, SHA256())
    )
    return _as_pem(key, [certificate])


def _signing_only() -> "KeyUsage":
    from cryptography import x509

    return x509.KeyUsage(
        digital_signature=True,
        content_commitment=True,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        key_cert_sign=False,
        crl_sign=False,
        encipher_only=False,
        decipher_only=False,
    )


def _pem_of(pkcs12: bytes, passphrase: str) -> bytes:
    from cryptography.hazmat.primitives.asymmetric.ec import EllipticCurvePrivateKey
    from cryptography.hazmat.primitives.asymmetric.rsa import RSAPrivateKey
    from cryptography.hazmat.primitives.serialization.pkcs12 import load_key_and_certificates

    try:
        key, certificate, others = load_key_and_certificates(pkcs12, passphrase.encode() or None)
    except ValueError:
        raise KeyRefused("This is no PKCS#12 file, or the passphrase is wrong.") from None
    if certificate is None or not isinstance(key, EllipticCurvePrivateKey | RSAPrivateKey):
        raise KeyRefused("The file must hold one RSA or elliptic-curve key and its certificate.")
    return _as_pem(key, [certificate, *others])


def _as_pem(
    key: "EllipticCurvePrivateKey | RSAPrivateKey", certificates: "Sequence[Certificate]"
) -> bytes:
    from cryptography.hazmat.primitives.serialization import (
        Encoding,
        NoEncryption,
        PrivateFormat,
    )

    private = key.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption())
    return private + b"".join(one.public_bytes(Encoding.PEM) for one in certificates)


def _is_valid_today(certificate: "Certificate") -> bool:
    now = datetime.now(UTC)
    return certificate.not_valid_before_utc <= now < certificate.not_valid_after_utc


def _check_fit_for_signing(certificate: "Certificate") -> None:
    from cryptography.x509 import ExtensionNotFound, KeyUsage

    if not _is_valid_today(certificate):
        raise KeyRefused("The certificate is not valid today.")
    try:
        usage = certificate.extensions.get_extension_for_class(KeyUsage).value
    except ExtensionNotFound:
        return  # no extension, no restriction: RFC 5280, 4.2.1.3
    if not (usage.digital_signature or usage.content_commitment):
        raise KeyRefused("The certificate is not meant for signing documents.")
