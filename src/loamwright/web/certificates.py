"""A certificate authority of this machine alone, so that phones on the local network reach the pages over https.

Its name constraints let it speak for private addresses, this machine's own names and nothing else: whoever stole its key could
not stand in for any other site. It signs certificates for servers only, and no further authority.
"""

import ipaddress
import os
import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from loamwright.errors import InputError

if TYPE_CHECKING:
    from cryptography import x509
    from cryptography.hazmat.primitives.asymmetric.ec import EllipticCurvePrivateKey

FOLDER = "local-network"
AUTHORITY_DAYS = 730
LEAF_DAYS = 397  # the longest that browsers take from any authority
NEAR_END_DAYS = 60
# A machine gets a new address with every network it joins; were only today's permitted, every phone had to trust anew each time.
PRIVATE = ("10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "127.0.0.1/32", "fc00::/7")
_NAME = re.compile(r"(?!-)[a-z0-9-]{1,63}(?<!-)")
_BACK = timedelta(hours=12)  # a phone's clock may be behind


@dataclass(frozen=True, slots=True)
class Certificates:
    """Files of the authority and of this server, and what a person compares.

    Attributes
    ----------
    authority : bytes
        The authority's certificate, DER: the file a phone takes in.
    fingerprint : str
        Its SHA-256 in pairs, as phones show it.
    chain, key : Path
        Certificate chain and key of the server.
    ends : datetime
        When the authority ends and phones have to trust a new one.
    fresh : bool
        Whether the authority was made just now: no phone trusts it yet.
    """

    authority: bytes
    fingerprint: str
    chain: Path
    key: Path
    ends: datetime
    fresh: bool


def machine_names(host: str) -> tuple[str, ...]:
    """The names of a machine on its own network: its own, and the same under .local.

    >>> machine_names("Bench-1.lan"), machine_names("my_box")
    (('bench-1', 'bench-1.local'), ())
    """
    first = host.strip().lower().split(".")[0]
    return (first, f"{first}.local") if _NAME.fullmatch(first) and first not in ("localhost", "local") else ()


def certificates(folder: Path, *, addresses: Sequence[str], host: str, now: datetime) -> Certificates:
    """The certificates of a folder: made where missing, renewed where addresses changed or the end is near.

    Raises
    ------
    InputError
        "lan_key_open" where others can read a key, "lan_folder_unusable" where the folder cannot be read or written.
    """
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        return _certificates(folder, addresses, machine_names(host), now)
    except (OSError, ValueError) as fault:
        if isinstance(fault, InputError):
            raise
        raise InputError("lan_folder_unusable", path=str(folder), reason=str(fault)) from fault


def _certificates(folder: Path, addresses: Sequence[str], names: Sequence[str], now: datetime) -> Certificates:
    from cryptography.hazmat.primitives import hashes, serialization

    key_file, file = folder / "authority.key", folder / "authority.crt"
    known = _load(key_file, file)
    fresh = known is None or not _reaches(known[1], now) or not _permits(known[1], names)
    if known is None or fresh:
        known = _new_authority(names, now)
        _write_key(key_file, known[0])
        _write(file, known[1].public_bytes(serialization.Encoding.PEM), 0o644)
    key, authority = known
    leaf_key, chain = folder / "server.key", folder / "server.crt"
    leaf = _load(leaf_key, chain)
    if leaf is None or fresh or not _reaches(leaf[1], now) or _says(leaf[1]) != _wanted(addresses, names):
        made_key, made = _new_leaf(key, authority, addresses, names, now)
        _write_key(leaf_key, made_key)
        _write(chain, b"".join(each.public_bytes(serialization.Encoding.PEM) for each in (made, authority)), 0o644)
    mark = authority.fingerprint(hashes.SHA256()).hex().upper()
    pairs = ":".join(mark[at : at + 2] for at in range(0, len(mark), 2))
    der = authority.public_bytes(serialization.Encoding.DER)
    return Certificates(der, pairs, chain, leaf_key, authority.not_valid_after_utc, fresh)


def _reaches(certificate: "x509.Certificate", now: datetime) -> bool:
    """Whether a certificate holds now and for a good while yet."""
    near = certificate.not_valid_after_utc - timedelta(days=NEAR_END_DAYS)
    return certificate.not_valid_before_utc <= now.astimezone(UTC) < near


def _permits(authority: "x509.Certificate", names: Sequence[str]) -> bool:
    from cryptography import x509

    permitted = authority.extensions.get_extension_for_class(x509.NameConstraints).value.permitted_subtrees or ()
    return {str(each.value) for each in permitted} == {*PRIVATE, *names}


def _says(leaf: "x509.Certificate") -> set[str]:
    from cryptography import x509

    return {str(each.value) for each in leaf.extensions.get_extension_for_class(x509.SubjectAlternativeName).value}


def _wanted(addresses: Sequence[str], names: Sequence[str]) -> set[str]:
    return {*(str(ipaddress.ip_address(each)) for each in addresses), *names}


# --- making ---


def _subject(words: str) -> "x509.Name":
    from cryptography import x509
    from cryptography.x509.oid import NameOID

    return x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, words[:64])])


def _new_authority(names: Sequence[str], now: datetime) -> "tuple[EllipticCurvePrivateKey, x509.Certificate]":
    from cryptography import x509
    from cryptography.hazmat.primitives import hashes
    from cryptography.hazmat.primitives.asymmetric import ec
    from cryptography.x509.oid import ExtendedKeyUsageOID

    key = ec.generate_private_key(ec.SECP256R1())
    subject = _subject(f"Loamwright on {names[0] if names else 'this bench'}, {now:%Y-%m-%d}")
    permitted: list[x509.GeneralName] = [x509.IPAddress(ipaddress.ip_network(each)) for each in PRIVATE]
    permitted += [x509.DNSName(each) for each in names] or [x509.DNSName("invalid")]  # else every name would be permitted
    made = (
        _builder(subject, subject, key, now, now + timedelta(days=AUTHORITY_DAYS))
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(_usage(signs=True), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(x509.NameConstraints(permitted_subtrees=permitted, excluded_subtrees=None), critical=True)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .sign(key, hashes.SHA256())
    )
    return key, made


def _new_leaf(
    authority_key: "EllipticCurvePrivateKey",
    authority: "x509.Certificate",
    addresses: Sequence[str],
    names: Sequence[str],
    now: datetime,
) -> "tuple[EllipticCurvePrivateKey, x509.Certificate]":
    from cryptography import x509
    from cryptography.hazmat.primitives import hashes
    from cryptography.hazmat.primitives.asymmetric import ec
    from cryptography.x509.oid import ExtendedKeyUsageOID

    key = ec.generate_private_key(ec.SECP256R1())
    ends = min(now.astimezone(UTC) - _BACK + timedelta(days=LEAF_DAYS), authority.not_valid_after_utc)
    said: list[x509.GeneralName] = [x509.IPAddress(ipaddress.ip_address(each)) for each in addresses]
    said += [x509.DNSName(each) for each in names]
    authority_id = x509.AuthorityKeyIdentifier.from_issuer_public_key(authority_key.public_key())
    made = (
        _builder(_subject(addresses[0]), authority.subject, key, now, ends)
        .add_extension(x509.SubjectAlternativeName(said), critical=False)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(_usage(signs=False), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(authority_id, critical=False)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .sign(authority_key, hashes.SHA256())
    )
    return key, made


def _builder(
    subject: "x509.Name", issuer: "x509.Name", key: "EllipticCurvePrivateKey", now: datetime, ends: datetime
) -> "x509.CertificateBuilder":
    from cryptography import x509

    return (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(issuer)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now.astimezone(UTC) - _BACK)
        .not_valid_after(ends.astimezone(UTC))
    )


def _usage(*, signs: bool) -> "x509.KeyUsage":
    from cryptography import x509

    return x509.KeyUsage(
        digital_signature=not signs,
        content_commitment=False,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        key_cert_sign=signs,
        crl_sign=signs,
        encipher_only=False,
        decipher_only=False,
    )


# --- files ---


def _load(key_file: Path, file: Path) -> "tuple[EllipticCurvePrivateKey, x509.Certificate] | None":
    """A key and its certificate, or None where one is missing."""
    from cryptography import x509
    from cryptography.hazmat.primitives.asymmetric.ec import EllipticCurvePrivateKey
    from cryptography.hazmat.primitives.serialization import load_pem_private_key

    if not (key_file.exists() and file.exists()):
        return None
    if os.name == "posix" and key_file.stat().st_mode & 0o077:
        raise InputError("lan_key_open", path=str(key_file))
    key = load_pem_private_key(key_file.read_bytes(), None)
    if not isinstance(key, EllipticCurvePrivateKey):
        raise ValueError(f"{key_file} holds another kind of key")
    return key, x509.load_pem_x509_certificate(file.read_bytes())


def _write_key(file: Path, key: "EllipticCurvePrivateKey") -> None:
    from cryptography.hazmat.primitives import serialization as form

    _write(file, key.private_bytes(form.Encoding.PEM, form.PrivateFormat.PKCS8, form.NoEncryption()), 0o600)


def _write(file: Path, data: bytes, mode: int) -> None:
    """Write under another name, never readable by more than it may be, then put in place at once."""
    beside = file.with_suffix(f"{file.suffix}.new")
    beside.unlink(missing_ok=True)
    with os.fdopen(os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_EXCL, mode), "wb") as out:
        out.write(data)
        out.flush()
        os.fsync(out.fileno())
    beside.chmod(mode)  # whatever the mask of this process took away or left
    beside.replace(file)
