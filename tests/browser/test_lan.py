"""The local network in a real browser: it warns until the authority is trusted; then the worker registers over https.

Where `certutil` (Debian: libnss3-tools) is there, the authority is put into the browser's own store, as a person would. Else the
browser is told to take this server's key, which proves the worker but not the trust; the test then says so in its name.
"""

import base64
import hashlib
import os
import re
import shutil
import signal
import socket
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from cryptography import x509
from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat
from playwright.sync_api import Browser, Error, Page

from loamwright.web import lan

pytestmark = pytest.mark.browser
PHONE = {"width": 360, "height": 740}


@dataclass
class Served:
    pages: str
    trust: str
    certificates: Path


def address() -> str:
    """An address of this machine that is not its loopback, where there is one: a loopback needs no https for a worker."""
    try:
        found = [str(each[4][0]) for each in socket.getaddrinfo(socket.gethostname(), None)]
    except OSError:
        found = []
    beyond = [each for each in (*lan.local_addresses(), *found) if lan.is_private(each) and each not in ("::1", "127.0.0.1")]
    return (beyond or ["127.0.0.1"])[0]


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    folder = tmp_path_factory.mktemp("lan")
    command = [sys.executable, "-m", "loamwright", "serve", "--lan", "--address", address(), "--demo"]
    command += ["--notebook", str(folder / "bench.notebook"), "--port", "0", "--lan-port", "0", "--trust-port", "0"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as process:
        assert process.stdout is not None
        said = ""
        while "Everybody" not in said:
            line = process.stdout.readline()
            assert line, said
            said += line
        pages, trust = re.search(r"network: (https://\S+)", said), re.search(r"starts at (http://\S+)", said)
        assert pages and trust
        yield Served(pages[1], trust[1], folder / "local-network")
        process.send_signal(signal.SIGINT)
        process.communicate(timeout=20)


@pytest.fixture(scope="module")
def trusting(served: Served, chromium: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Browser]:
    """A browser that trusts the authority: by its own store where certutil is there, else by the key of this server."""
    home = tmp_path_factory.mktemp("home")
    flags = ["--no-sandbox", "--no-first-run"]
    certutil = shutil.which("certutil")
    if certutil is None:
        leaf = x509.load_pem_x509_certificate((served.certificates / "server.crt").read_bytes())
        form = leaf.public_key().public_bytes(Encoding.DER, PublicFormat.SubjectPublicKeyInfo)
        flags.append("--ignore-certificate-errors-spki-list=" + base64.b64encode(hashlib.sha256(form).digest()).decode())
    else:
        store = home / ".pki" / "nssdb"
        store.mkdir(parents=True)
        subprocess.run([certutil, "-N", "-d", f"sql:{store}", "--empty-password"], check=True)
        add = ["-A", "-d", f"sql:{store}", "-n", "bench", "-t", "C,,", "-i", str(served.certificates / "authority.crt")]
        subprocess.run([certutil, *add], check=True)
    path = os.environ.get("LOAMWRIGHT_CHROMIUM") or shutil.which("chromium") or shutil.which("chromium-browser")
    browser = chromium.browser_type.launch(executable_path=path, args=flags, env={**os.environ, "HOME": str(home)})
    yield browser
    browser.close()


def opened(browser: Browser, where: str) -> Page:
    page = browser.new_context(viewport=PHONE, has_touch=True, is_mobile=True).new_page()
    page.set_default_timeout(20_000)
    page.goto(where)
    return page


def test_a_phone_that_does_not_trust_it_is_warned_and_told(served: Served, chromium: Browser) -> None:
    page = opened(chromium, served.trust)
    answer = page.locator("#answer")
    answer.wait_for(state="visible")
    assert "does not trust the bench yet" in answer.inner_text()
    with pytest.raises(Error, match="ERR_CERT_AUTHORITY_INVALID"):
        page.goto(f"{served.pages}/")
    page.context.close()


def test_a_warning_passed_by_is_not_trust(served: Served, chromium: Browser) -> None:
    page = chromium.new_context(viewport=PHONE).new_page()
    with pytest.raises(Error, match="ERR_CERT_AUTHORITY_INVALID"):
        page.goto(f"{served.pages}/trusted")
    page.wait_for_timeout(500)
    page.keyboard.type("thisisunsafe")  # what the browser's warning page takes for "go on all the same"
    page.wait_for_selector("#answer[data-trusted]", timeout=20_000)
    assert page.get_attribute("#answer", "data-trusted") == "no"
    page.context.close()


def test_a_phone_that_trusts_it_keeps_the_pages_for_when_the_network_is_gone(served: Served, trusting: Browser) -> None:
    page = opened(trusting, f"{served.pages}/trusted")
    page.wait_for_selector('#answer[data-trusted="yes"]')
    assert "Yes." in page.locator("#answer").inner_text()
    assert page.evaluate("window.isSecureContext")
    assert page.evaluate("navigator.serviceWorker.ready.then(found => found.active.scriptURL)") == f"{served.pages}/sw.js"
    page.goto(f"{served.pages}/")
    page.wait_for_function("navigator.serviceWorker.controller !== null")
    page.context.set_offline(True)
    assert page.goto(f"{served.pages}/bench").ok
    page.context.close()


def test_the_plain_page_tells_a_phone_that_trusts_it(served: Served, trusting: Browser) -> None:
    page = opened(trusting, served.trust)
    page.locator("#answer a").wait_for(state="visible")
    assert page.locator("#answer a").get_attribute("href") == f"{served.pages}/"
    complaints: list[str] = []
    page.on("console", lambda message: complaints.append(message.text))
    page.reload()
    page.locator("#answer a").wait_for(state="visible")
    assert complaints == []
    page.context.close()
