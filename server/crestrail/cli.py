"""The ``crestrail`` command. Each word does one thing; the work is done elsewhere."""

from __future__ import annotations

import argparse
import sys
import tempfile
from collections.abc import Sequence
from contextlib import ExitStack
from dataclasses import replace
from pathlib import Path

from flask import Flask

from crestrail import serving
from crestrail.app import create_app
from crestrail.config import PORT, SAMPLE_PORT, Settings, from_env
from crestrail.services import devices, households
from crestrail.serving import Listening


def main(argv: Sequence[str] | None = None) -> int:
    """Run a command; its exit code."""
    arguments = _parser().parse_args(argv)
    try:
        code: int = arguments.run(arguments)
    except KeyboardInterrupt:
        return 130
    return code


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="crestrail", description=__doc__)
    parser.add_argument("--data", type=Path, help="folder of the database and the pictures")
    words = parser.add_subparsers(required=True, metavar="WORD")
    _add_serve(words.add_parser("serve", help="start the server and print where it is"))
    pair = words.add_parser("pair", help="print a new pairing code")
    pair.add_argument("--household", help="its id, where there are several")
    pair.set_defaults(run=_pair)
    return parser


def _add_serve(serve: argparse.ArgumentParser) -> None:
    serve.add_argument("--host", default="127.0.0.1", help="address to listen on")
    serve.add_argument("--port", type=int, help=f"default {PORT}, with --sample {SAMPLE_PORT}")
    serve.add_argument("--data", type=Path, default=argparse.SUPPRESS, help="data folder")
    serve.add_argument("--sample", action="store_true", help="an invented household to try")
    serve.add_argument("--origin", help="the one address that phones use, as https://name")
    serve.add_argument(
        "--behind-proxy", type=int, metavar="N", help="believe N reverse proxies' headers"
    )
    serve.set_defaults(run=_serve)


def _settings(arguments: argparse.Namespace) -> Settings:
    settings = from_env()
    return replace(settings, data=arguments.data.resolve()) if arguments.data else settings


def _serve(arguments: argparse.Namespace) -> int:
    with ExitStack() as stack:
        settings = _settings(arguments)
        if arguments.sample:
            folder = stack.enter_context(tempfile.TemporaryDirectory(prefix="crestrail-sample-"))
            settings = replace(settings, data=Path(folder), database="", sample=True)
        port = arguments.port or (SAMPLE_PORT if arguments.sample else PORT)
        listening = Listening(arguments.host, port)
        settings = _with_origin(settings, arguments, listening)
        app = create_app(settings)
        household = _only_household(app)
        serving.keep_origin(settings)
        _greet(app, household)
        serving.run(app, listening)
    return 0


def _with_origin(
    settings: Settings, arguments: argparse.Namespace, listening: Listening
) -> Settings:
    if arguments.origin:
        settings = replace(settings, origin=arguments.origin.rstrip("/"), strict_host=True)
    if arguments.behind_proxy is not None:
        settings = replace(settings, behind_proxy=arguments.behind_proxy)
    return settings if settings.origin else replace(settings, origin=listening.local_origin)


def _only_household(app: Flask) -> str:
    """The household of this server, made at the first start."""
    with app.app_context():
        known = households.all_ids()
        return known[0] if known else serving.first_household(app)


def _greet(app: Flask, household: str) -> None:
    with app.app_context():
        code = devices.make_code(household, app.extensions["crestrail"].clock.now())
    serving.show_code(serving.kept_origin(app.extensions["crestrail"]), code)


def _pair(arguments: argparse.Namespace) -> int:
    app = create_app(_settings(arguments))
    with app.app_context():
        known = households.all_ids()
    wanted = arguments.household or (known[0] if len(known) == 1 else "")
    if wanted not in known:
        print("Say which household with --household:", *known, sep="\n  ", file=sys.stderr)
        return 2
    _greet(app, wanted)
    return 0


if __name__ == "__main__":
    sys.exit(main())
