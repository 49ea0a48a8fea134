"""The listeners on the home network: https for the app, plain http for the trust page only."""

from __future__ import annotations

import errno
import socket
import ssl
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from threading import Thread
from typing import TYPE_CHECKING, Any

from cheroot import errors
from cheroot.ssl.builtin import BuiltinSSLAdapter
from cheroot.workers.threadpool import ThreadPool
from cheroot.wsgi import Server

from crestrail.tls import CannotStart

if TYPE_CHECKING:
    from _typeshed.wsgi import WSGIApplication

EVERYWHERE = "0.0.0.0"
MAX_HEADER_BYTES = 16 * 1024
TRUST_BODY_BYTES = 1
"""The trust page takes no bodies; 0 would mean no limit."""
SECONDS_OF_PATIENCE = 10
SECONDS_TO_STOP = 6
"""Calls are given 5 seconds to finish, which is cheroot's own measure; it then waits for ever."""
NOT_HTTPS = (
    b"HTTP/1.1 400 Bad Request\r\nContent-Type: text/plain; charset=utf-8\r\n"
    b"Connection: close\r\nContent-Length: 63\r\n\r\n"
    b"This port speaks https only: put https:// before the address.\r\n"
)


class EndingPool(ThreadPool):
    """Workers that never keep the program from ending."""

    def grow(self, amount: int) -> None:
        """Start workers; threads are daemons where the thread that starts them is one."""
        growing = Thread(target=super().grow, args=(amount,), daemon=True)
        growing.start()
        growing.join()


class HomeServer(Server):
    """A web server that gives its socket back when the port can't be had, and ends in time."""

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.requests = EndingPool(self, min=self.requests.min, max=self.requests.max)

    def stop(self) -> None:
        """Stop; a call that is still not done after ``SECONDS_TO_STOP`` is left behind."""
        stopping = Thread(target=super().stop, name="stopping", daemon=True)
        stopping.start()
        stopping.join(timeout=SECONDS_TO_STOP)

    @staticmethod
    def bind_socket(socket_: socket.socket, bind_addr: tuple[str, int]) -> socket.socket:
        """Bind the socket, or close it and raise the OSError."""
        try:
            socket_.bind(bind_addr)
        except OSError:
            socket_.close()
            raise
        return socket_


class PatientSocket(ssl.SSLSocket):
    """A TLS socket whose handshake waits for the first read.

    The server accepts in one thread and reads in many; with the handshake among the reads a
    phone that connects and then says nothing keeps nobody else waiting.
    """

    _shaken = False

    def recv_into(self, *args: Any, **kwargs: Any) -> int:
        """Read, after the handshake."""
        with self._trouble_as_the_server_knows_it():
            if not self._shaken:
                self.do_handshake()
                self._shaken = True
            return super().recv_into(*args, **kwargs)

    def send(self, *args: Any, **kwargs: Any) -> int:
        """Write."""
        with self._trouble_as_the_server_knows_it():
            return super().send(*args, **kwargs)

    @contextmanager
    def _trouble_as_the_server_knows_it(self) -> Iterator[None]:
        """A phone that is gone, or doesn't trust us, ends its connection and makes no noise."""
        try:
            yield
        except ssl.SSLError as error:
            if error.reason == "HTTP_REQUEST":
                socket.socket.sendall(self, NOT_HTTPS)
            raise errors.FatalSSLAlert(*error.args) from error


class RenewableAdapter(BuiltinSSLAdapter):
    """TLS for the server, with a certificate that can be replaced while it runs."""

    def __init__(self, pem: Path) -> None:
        super().__init__(str(pem), str(pem))
        self.reload()

    def reload(self) -> None:
        """Use the certificate as it now stands in the file for every new connection.

        Connections that are open go on with the one they began with.
        """
        context = ssl.create_default_context(ssl.Purpose.CLIENT_AUTH)
        context.load_cert_chain(self.certificate)
        context.sslsocket_class = PatientSocket
        self.context = context

    def wrap(self, sock: socket.socket) -> tuple[ssl.SSLSocket, dict[str, str]]:
        """Wrap an accepted connection without waiting for its handshake."""
        wrapped = self.context.wrap_socket(sock, server_side=True, do_handshake_on_connect=False)
        return wrapped, {"wsgi.url_scheme": "https", "HTTPS": "on"}


def https_listener(app: WSGIApplication, port: int, adapter: RenewableAdapter) -> Server:
    """The app over https on every address of this computer; the port is taken at once."""
    server = HomeServer((EVERYWHERE, port), app, timeout=SECONDS_OF_PATIENCE)
    server.ssl_adapter = adapter
    return take_port(server)


def trust_listener(app: WSGIApplication, port: int) -> Server:
    """The trust page over plain http on every address; the port is taken at once."""
    server = HomeServer((EVERYWHERE, port), app, numthreads=2, timeout=SECONDS_OF_PATIENCE)
    server.max_request_body_size = TRUST_BODY_BYTES
    return take_port(server)


def take_port(server: Server) -> Server:
    """Bind a server's port, or raise CannotStart saying that it is taken."""
    server.max_request_header_size = MAX_HEADER_BYTES
    port = server.bind_addr[1]
    try:
        server.prepare()
    except OSError as error:
        reason = "is not allowed to this user" if _is_denied(error) else "is taken or can't be had"
        raise CannotStart(
            f"port {port} {reason} ({error}). Stop what uses it and start again; phones look for "
            "the household under this port only, so no other is tried."
        ) from error
    return server


def _is_denied(error: OSError) -> bool:
    return error.errno in (errno.EACCES, errno.EPERM) or "denied" in str(error)
