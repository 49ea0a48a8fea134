"""The trust page: all that the household's server says over plain http on the home network.

Three answers exist: the page, and the authority's certificate in the two usual forms.
Everything else is refused in plain words, so that nothing of the household ever crosses the
network unencrypted. The page works without scripts and asks for nothing from elsewhere.

An iPhone takes the bare certificate as a profile, so there is no separate profile file: it
would be unsigned, ask the same questions, and be one more thing to keep right.
"""

from __future__ import annotations

import base64
import hashlib
import re
from collections.abc import Iterable
from dataclasses import dataclass
from html import escape
from pathlib import Path
from string import Template
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from _typeshed.wsgi import StartResponse, WSGIApplication, WSGIEnvironment

PAGE = Path(__file__).with_name("trust_page.html")
CERTIFICATE_TYPE = "application/x-x509-ca-cert"
DER_PATH = "/crestrail-authority.cer"
PEM_PATH = "/crestrail-authority.pem"
TEXT = "text/plain; charset=utf-8"


@dataclass(frozen=True, slots=True)
class TrustFacts:
    """What the page tells: public things only.

    ``by_name`` is this page's own host and port under the household's name, ``fingerprint`` the
    authority's in lines, ``der`` and ``pem`` its certificate.
    """

    name: str
    origin: str
    by_name: str
    fingerprint: tuple[str, ...]
    der: bytes
    pem: bytes


@dataclass(frozen=True, slots=True)
class Answer:
    """One answer of the listener."""

    status: str
    content_type: str
    body: bytes
    headers: tuple[tuple[str, str], ...] = ()


def trust_app(facts: TrustFacts) -> WSGIApplication:
    """A WSGI application with the page and the certificate of one household."""
    certificates = {
        DER_PATH: _download(DER_PATH, facts.der),
        PEM_PATH: _download(PEM_PATH, facts.pem),
    }
    template = Template(PAGE.read_text(encoding="utf-8"))
    pages = {by_name: _page(template, facts, by_name) for by_name in (True, False)}

    def app(environ: WSGIEnvironment, start_response: StartResponse) -> Iterable[bytes]:
        by_name = environ.get("HTTP_HOST", "").lower() == facts.by_name
        answers = {"/": pages[by_name], **certificates}
        answer = _choose(answers, environ)
        start_response(answer.status, _headers(answer))
        return [] if environ["REQUEST_METHOD"] == "HEAD" else [answer.body]

    return app


def _choose(answers: dict[str, Answer], environ: WSGIEnvironment) -> Answer:
    found = answers.get(environ.get("PATH_INFO", ""))
    if found is None:
        words = "There is nothing here. The page that helps a phone to trust this home is at /\n"
        return Answer("404 Not Found", TEXT, words.encode())
    if environ["REQUEST_METHOD"] not in ("GET", "HEAD"):
        words = "This can only be read: nothing is taken over plain http.\n"
        return Answer("405 Method Not Allowed", TEXT, words.encode(), (("Allow", "GET, HEAD"),))
    return found


def _headers(answer: Answer) -> list[tuple[str, str]]:
    return [
        ("Content-Type", answer.content_type),
        ("Content-Length", str(len(answer.body))),
        ("Cache-Control", "no-store"),
        ("X-Content-Type-Options", "nosniff"),
        ("Referrer-Policy", "no-referrer"),
        *answer.headers,
    ]


def _download(path: str, data: bytes) -> Answer:
    """A certificate; an attachment by name, so that the phone offers to install it."""
    disposition = f'attachment; filename="{path[1:]}"'
    return Answer("200 OK", CERTIFICATE_TYPE, data, (("Content-Disposition", disposition),))


def _page(template: Template, facts: TrustFacts, by_name: bool) -> Answer:
    """The page, with what is known from how it was asked for: whether the name was found."""
    html = template.substitute(
        name=escape(facts.name),
        origin=escape(facts.origin),
        by_name=escape(facts.by_name),
        fingerprint="\n".join(escape(line) for line in facts.fingerprint),
        der=DER_PATH,
        pem=PEM_PATH,
        found="" if by_name else "hidden",
        not_yet="hidden" if by_name else "",
    )
    return Answer("200 OK", "text/html; charset=utf-8", html.encode(), (_policy(html),))


def _policy(html: str) -> tuple[str, str]:
    """A policy under which the page's own style sheet works and nothing else does."""
    styles = re.findall(r"<style>(.*?)</style>", html, re.DOTALL)
    allowed = " ".join(f"'sha256-{_digest(style)}'" for style in styles)
    rules = f"default-src 'none'; style-src {allowed}; base-uri 'none'; form-action 'none'"
    return "Content-Security-Policy", f"{rules}; frame-ancestors 'none'"


def _digest(text: str) -> str:
    return base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()
