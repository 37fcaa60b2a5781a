"""The local network: what the authority may sign, who reads its key, and the real server over https seen by independent clients."""

import os
import re
import shutil
import signal
import socket
import ssl
import stat
import subprocess
import sys
import urllib.error
import urllib.request
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.serialization import load_pem_private_key
from cryptography.x509.oid import ExtendedKeyUsageOID
from cryptography.x509.verification import PolicyBuilder, Store, VerificationError
from starlette.testclient import TestClient

from loamwright.errors import InputError
from loamwright.web import certificates as making
from loamwright.web import lan

NOW = datetime(2026, 3, 4, 8, 0, tzinfo=UTC)
HOST = "bench-1.example"


def made(folder: Path, *, addresses=("192.168.7.20",), now=NOW, host=HOST) -> making.Certificates:
    return making.certificates(folder, addresses=list(addresses), host=host, now=now)


def authority_of(found: making.Certificates) -> x509.Certificate:
    return x509.load_der_x509_certificate(found.authority)


def leaf_of(found: making.Certificates) -> x509.Certificate:
    return x509.load_pem_x509_certificates(found.chain.read_bytes())[0]


# --- what the certificates say ---


def test_the_authority_is_bound_to_private_addresses_and_its_own_names(tmp_path):
    authority = authority_of(made(tmp_path / "net"))
    basic = authority.extensions.get_extension_for_class(x509.BasicConstraints)
    assert (basic.critical, basic.value.ca, basic.value.path_length) == (True, True, 0)
    bounds = authority.extensions.get_extension_for_class(x509.NameConstraints)
    assert bounds.critical
    # RFC 1918 section 3 and RFC 4193 section 3.1 name the networks kept for local use.
    networks = {"10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "fc00::/7", "127.0.0.1/32"}
    assert {str(each.value) for each in bounds.value.permitted_subtrees} == {*networks, "bench-1", "bench-1.local"}
    assert list(authority.extensions.get_extension_for_class(x509.ExtendedKeyUsage).value) == [ExtendedKeyUsageOID.SERVER_AUTH]
    assert authority.not_valid_after_utc - NOW == timedelta(days=730)


def test_the_leaf_lives_no_longer_than_browsers_take(tmp_path):
    leaf = leaf_of(made(tmp_path / "net"))
    assert leaf.not_valid_after_utc - leaf.not_valid_before_utc <= timedelta(days=397)
    said = leaf.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    assert [str(each) for each in said.get_values_for_type(x509.IPAddress)] == ["192.168.7.20"]
    assert said.get_values_for_type(x509.DNSName) == ["bench-1", "bench-1.local"]


def foreign_leaf(folder: Path, name: x509.GeneralName, file: Path) -> x509.Certificate:
    """What a thief of the authority's key would sign."""
    key = load_pem_private_key((folder / "authority.key").read_bytes(), None)
    authority = x509.load_pem_x509_certificate((folder / "authority.crt").read_bytes())
    own = leaf_of(made(folder))
    stolen = x509.CertificateBuilder().subject_name(own.subject).issuer_name(authority.subject).public_key(own.public_key())
    stolen = stolen.serial_number(7).not_valid_before(own.not_valid_before_utc).not_valid_after(own.not_valid_after_utc)
    for extension in own.extensions:
        value = (
            x509.SubjectAlternativeName([name]) if isinstance(extension.value, x509.SubjectAlternativeName) else extension.value
        )
        stolen = stolen.add_extension(value, extension.critical)
    signed = stolen.sign(key, hashes.SHA256())
    file.write_bytes(signed.public_bytes(serialization.Encoding.PEM))
    return signed


def openssl_takes(folder: Path, file: Path, *more: str) -> bool:
    """The verdict of another library, at the tests' day."""
    program = shutil.which("openssl")
    if program is None:
        pytest.fail("openssl is not installed: run `apt-get install -y openssl` as root.")
    at = ["-attime", str(int(NOW.timestamp()))]
    command = [
        program,
        "verify",
        "-x509_strict",
        "-CAfile",
        str(folder / "authority.crt"),
        *at,
        "-purpose",
        "sslserver",
        *more,
        str(file),
    ]
    return subprocess.run(command, capture_output=True, check=False).returncode == 0


def test_two_verifiers_take_the_leaf_for_its_own_names_only(tmp_path):
    folder = tmp_path / "net"
    found = made(folder)
    policy = PolicyBuilder().store(Store([authority_of(found)])).time(NOW)
    import ipaddress

    address = x509.IPAddress(ipaddress.ip_address("192.168.7.20"))
    assert policy.build_server_verifier(address).verify(leaf_of(found), [])
    with pytest.raises(VerificationError):
        policy.build_server_verifier(x509.IPAddress(ipaddress.ip_address("192.168.7.21"))).verify(leaf_of(found), [])
    assert openssl_takes(folder, found.chain, "-verify_ip", "192.168.7.20")
    assert openssl_takes(folder, found.chain, "-verify_hostname", "bench-1.local")
    assert not openssl_takes(folder, found.chain, "-verify_ip", "192.168.7.21")


@pytest.mark.parametrize("name", ["bank.example", "other.local", "8.8.8.8"])
def test_a_stolen_key_signs_for_no_other_site(tmp_path, name):
    import ipaddress

    folder = tmp_path / "net"
    found = made(folder)
    is_address = name[0].isdigit()
    said = x509.IPAddress(ipaddress.ip_address(name)) if is_address else x509.DNSName(name)
    stolen = foreign_leaf(folder, said, tmp_path / "stolen.crt")
    with pytest.raises(VerificationError):
        PolicyBuilder().store(Store([authority_of(found)])).time(NOW).build_server_verifier(said).verify(stolen, [])
    assert not openssl_takes(folder, tmp_path / "stolen.crt", "-verify_ip" if is_address else "-verify_hostname", name)


def test_the_thief_of_this_test_could_sign_for_what_is_permitted(tmp_path):
    """Else the test above would prove nothing: the same hand, with a name within bounds, is taken."""
    folder = tmp_path / "net"
    made(folder)
    foreign_leaf(folder, x509.DNSName("bench-1.local"), tmp_path / "own.crt")
    assert openssl_takes(folder, tmp_path / "own.crt", "-verify_hostname", "bench-1.local")


# --- files, renewal ---


def mode(file: Path) -> int:
    return stat.S_IMODE(file.stat().st_mode)


def test_keys_are_for_their_owner_whatever_the_mask(tmp_path):
    before = os.umask(0)
    try:
        found = made(tmp_path / "net")
    finally:
        os.umask(before)
    assert {file.name: oct(mode(file)) for file in (tmp_path / "net").glob("*.key")} == {
        "authority.key": "0o600",
        "server.key": "0o600",
    }
    assert mode(tmp_path / "net") == 0o700
    assert found.key == tmp_path / "net" / "server.key"
    assert [file.name for file in (tmp_path / "net").iterdir() if file.suffix == ".new"] == []


def test_a_key_others_can_read_is_not_used(tmp_path):
    made(tmp_path / "net")
    (tmp_path / "net" / "authority.key").chmod(0o640)
    with pytest.raises(InputError, match="lan_key_open"):
        made(tmp_path / "net")


def test_the_same_addresses_change_nothing_and_another_renews_the_leaf_alone(tmp_path):
    first = made(tmp_path / "net")
    leaf = leaf_of(first)
    again = made(tmp_path / "net", now=NOW + timedelta(days=1))
    assert first.fresh
    assert not again.fresh
    assert (again.authority, leaf_of(again)) == (first.authority, leaf)
    moved = made(tmp_path / "net", addresses=["10.1.2.3"], now=NOW + timedelta(days=2))
    assert moved.authority == first.authority
    assert leaf_of(moved) != leaf


def test_near_its_end_each_is_renewed(tmp_path):
    first = made(tmp_path / "net")
    leaf = leaf_of(first)
    later = made(tmp_path / "net", now=NOW + timedelta(days=397 - 59))
    assert leaf_of(later) != leaf
    assert later.authority == first.authority
    last = made(tmp_path / "net", now=NOW + timedelta(days=730 - 59))
    assert last.fresh
    assert last.authority != first.authority
    before_its_time = made(tmp_path / "net", now=NOW)
    assert before_its_time.fresh, "made by a clock that was ahead: not valid yet"


def test_a_new_name_of_the_machine_makes_a_new_authority(tmp_path):
    first = made(tmp_path / "net")
    assert made(tmp_path / "net", host="bench-2").authority != first.authority


@pytest.mark.parametrize("damage", ["cut", "text", "other key"])
def test_damaged_files_are_a_sentence(tmp_path, damage):
    made(tmp_path / "net")
    file = tmp_path / "net" / ("authority.key" if damage == "other key" else "authority.crt")
    if damage == "other key":
        from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

        form = (serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption())
        file.write_bytes(Ed25519PrivateKey.generate().private_bytes(*form))
    else:
        file.write_bytes(file.read_bytes()[:60] if damage == "cut" else b"hello")
    with pytest.raises(InputError, match="lan_folder_unusable"):
        made(tmp_path / "net")


def test_a_file_in_the_way_is_a_sentence(tmp_path):
    (tmp_path / "net").write_text("in the way")
    with pytest.raises(InputError, match="lan_folder_unusable"):
        made(tmp_path / "net")


# --- addresses ---


@pytest.mark.parametrize("typed", ["8.8.8.8", "bench", "0.0.0.0", "192.168.1", "::"])
def test_only_addresses_of_local_networks_are_served(typed):
    with pytest.raises(InputError, match="lan_address_not_private"):
        lan.chosen_addresses([typed])


def test_addresses_found_are_private_and_not_this_machine_alone():
    assert all(lan.is_private(each) and not each.startswith("127.") for each in lan.local_addresses())


# --- the page about trust ---


@pytest.fixture
def place(tmp_path) -> lan.Lan:
    return lan.Lan(("192.168.7.20",), ("bench-1", "bench-1.local"), 8322, 8323, made(tmp_path / "net"))


@pytest.fixture
def trust(place) -> Iterator[TestClient]:
    with TestClient(lan.trust_app(place), base_url="http://192.168.7.20:8323") as client:
        yield client


def test_the_plain_page_walks_through_it_and_gives_nothing_else(trust, place):
    page = trust.get("/")
    assert page.status_code == 200
    for words in ("some minutes, once", "write on paper", 'href="/loamwright.crt"', "https://192.168.7.20:8322/trusted", "<svg"):
        assert words in page.text
    shown = re.search(r"<pre>(.*?)</pre>", page.text, re.DOTALL)[1].split()
    assert ":".join(shown) == place.certificates.fingerprint
    assert page.headers["content-security-policy"].startswith("default-src 'self'; connect-src https://192.168.7.20:8322;")
    assert "style=" not in page.text
    assert [trust.get(path).status_code for path in ("/p/x/today", "/bench", "/ready", "/local-network/authority.key")] == [
        404
    ] * 4
    assert trust.get("/", headers={"host": "evil.example"}).status_code == 421


def test_the_certificate_is_sent_as_one_and_its_fingerprint_is_that_shown(trust, place):
    answer = trust.get("/loamwright.crt")
    assert answer.headers["content-type"] == "application/x-x509-ca-cert"
    digest = x509.load_der_x509_certificate(answer.content).fingerprint(hashes.SHA256()).hex().upper()
    assert digest == place.certificates.fingerprint.replace(":", "")
    assert b"PRIVATE" not in answer.content


def test_the_code_on_the_page_reads_back_as_the_address(place):
    import segno
    import zxingcpp
    from PIL import Image

    text = lan.qr_text(place.trust)
    assert len(text.splitlines()) > 10
    svg = lan.qr_svg(place.trust)
    assert "<script" not in svg
    assert 'style="' not in svg
    # the same code as pixels, read by a reader that knows nothing of ours
    rows = [list(row) for row in segno.make(place.trust, micro=False).matrix_iter(scale=6, border=4)]
    picture = Image.new("L", (len(rows[0]), len(rows)))
    picture.putdata([0 if each else 255 for row in rows for each in row])
    assert [found.text for found in zxingcpp.read_barcodes(picture)] == [place.trust]


def test_the_terminal_says_where_what_to_compare_and_who_can_read(place):
    said = "\n".join(lan.told(place))
    half = place.certificates.fingerprint[:47]
    for words in ("https://192.168.7.20:8322", "http://192.168.7.20:8323", half, "Everybody on this network", "made just now"):
        assert words in said
    assert "made just now" not in "\n".join(lan.told(replace(place, certificates=replace(place.certificates, fresh=False))))


# --- the real server ---


@dataclass
class Served:
    own: str
    pages: str
    trust: str
    folder: Path
    process: subprocess.Popen


def one_address() -> str:
    """An address of this machine on a network; its own loopback where it has none."""
    try:
        candidates = [str(each[4][0]) for each in socket.getaddrinfo(socket.gethostname(), None)]
    except OSError:
        candidates = []
    return next((each for each in (*lan.local_addresses(), *candidates) if lan.is_private(each) and ":" not in each), "127.0.0.1")


@pytest.fixture(scope="module")
def served(tmp_path_factory) -> Iterator[Served]:
    folder = tmp_path_factory.mktemp("lan")
    command = [
        sys.executable,
        "-m",
        "loamwright",
        "serve",
        "--lan",
        "--address",
        one_address(),
        "--notebook",
        str(folder / "bench.notebook"),
    ]
    command += ["--port", "0", "--lan-port", "0", "--trust-port", "0", "--public-name", "bench.example.org"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as process:
        try:
            lines = []
            while "Everybody" not in (lines or [""])[-1]:
                line = process.stdout.readline()
                assert line, process.stderr.read()
                lines.append(line)
            said = "".join(lines)
            yield Served(
                re.search(r"http://127\.0\.0\.1:\d+", said)[0],
                re.search(r"network: (https://\S+)", said)[1],
                re.search(r"starts at (http://\S+)", said)[1],
                folder,
                process,
            )
        finally:
            process.send_signal(signal.SIGINT)
            process.communicate(timeout=20)
    assert process.returncode == 0, "Ctrl+C ends all three servers"


def opened(address: str, context: ssl.SSLContext | None = None) -> tuple[int, bytes]:
    with urllib.request.urlopen(address, timeout=20, context=context) as answer:
        return answer.status, answer.read()


def test_a_client_that_trusts_the_authority_reads_the_pages_and_any_other_refuses(served):
    authority = served.folder / "local-network" / "authority.crt"
    assert opened(f"{served.pages}/ready", ssl.create_default_context(cafile=authority))[0] == 200
    assert b"trust the bench" in opened(f"{served.pages}/trusted", ssl.create_default_context(cafile=authority))[1]
    with pytest.raises(urllib.error.URLError, match="CERTIFICATE_VERIFY_FAILED"):
        opened(f"{served.pages}/ready", ssl.create_default_context())


def test_the_name_in_the_certificate_is_checked(served):
    """The same server, asked for under a name it does not have."""
    context = ssl.create_default_context(cafile=served.folder / "local-network" / "authority.crt")
    host, port = served.pages.removeprefix("https://").rsplit(":", 1)
    plain = socket.create_connection((host.strip("[]"), int(port)), timeout=20)
    with plain, pytest.raises(ssl.SSLCertVerificationError):
        context.wrap_socket(plain, server_hostname="bank.example")


def test_this_machine_and_the_plain_page_are_served_beside_it(served):
    assert opened(f"{served.own}/ready")[0] == 200
    status, certificate = opened(f"{served.trust}/loamwright.crt")
    assert status == 200
    pem = (served.folder / "local-network" / "authority.crt").read_bytes()
    assert x509.load_der_x509_certificate(certificate) == x509.load_pem_x509_certificate(pem)
    assert oct(mode(served.folder / "local-network" / "authority.key")) == "0o600"


@pytest.mark.parametrize(("name", "status"), [("bench.example.org", 200), ("other.example.org", 421)])
def test_a_reverse_proxy_on_this_machine_serves_it_under_the_name_given(served, name, status):
    asked = urllib.request.Request(f"{served.own}/ready", headers={"Host": name, "X-Forwarded-Proto": "https"})
    try:
        with urllib.request.urlopen(asked, timeout=20) as answer:
            assert answer.status == status
    except urllib.error.HTTPError as fault:
        assert fault.code == status
        fault.close()


def test_pages_are_not_served_in_the_plain_on_the_network(served):
    with pytest.raises((urllib.error.URLError, ConnectionError)):
        opened(served.pages.replace("https://", "http://") + "/ready")
