"""The ``crestrail`` command. Each word does one thing; the work is done elsewhere."""

from __future__ import annotations

import argparse
import sys
import tempfile
from collections.abc import Mapping, Sequence
from contextlib import ExitStack
from dataclasses import replace
from datetime import datetime
from pathlib import Path

from flask import Flask

from crestrail import serving
from crestrail.app import create_app
from crestrail.basis.errors import CrestrailError
from crestrail.config import PORT, SAMPLE_PORT, Settings, from_env
from crestrail.lan.setup import LanSetup, LanWish, prepare
from crestrail.sample import load_sample, sample_folder
from crestrail.services import backup, devices, households, rescue
from crestrail.serving import Listening
from crestrail.store.photos import PhotoFiles
from crestrail.tls import CannotStart


def main(argv: Sequence[str] | None = None) -> int:
    """Run a command; its exit code."""
    arguments = _parser().parse_args(argv)
    serving.stop_on_signal()
    try:
        code: int = arguments.run(arguments)
    except KeyboardInterrupt:
        return 130
    except CannotStart as why:
        print(f"crestrail cannot start: {why}", file=sys.stderr)
        return 1
    except (CrestrailError, OSError) as why:
        print(f"crestrail: {getattr(why, 'message', why)}", file=sys.stderr)
        return 1
    return code


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="crestrail", description=__doc__)
    parser.add_argument("--data", type=Path, help="folder of the database and the pictures")
    words = parser.add_subparsers(required=True, metavar="WORD")
    _add_serve(words.add_parser("serve", help="start the server and print where it is"))
    pair = words.add_parser("pair", help="print a new pairing code")
    pair.add_argument("--household", help="its id, where there are several")
    pair.set_defaults(run=_pair)
    for word, run, text in (
        ("backup", _back_up, "write everything to a new file"),
        ("restore", _restore, "put a backup in the place of everything there is"),
        ("bring-home", _bring_home, "take in a file that a phone saved"),
    ):
        one = words.add_parser(word, help=text)
        one.add_argument("file", type=Path)
        one.set_defaults(run=run)
    return parser


def _add_serve(serve: argparse.ArgumentParser) -> None:
    add = serve.add_argument
    add("--host", default="127.0.0.1", help="address to listen on (default: this machine only)")
    add("--port", type=int, help=f"default {PORT}, with --sample {SAMPLE_PORT}")
    add("--data", type=Path, default=argparse.SUPPRESS, help="folder of database and pictures")
    add("--lan", action="store_true", help="serve the home network over https")
    add("--name", help="with --lan: the household's name on the network, kept from then on")
    add("--local-port", type=int, default=PORT, help="with --lan: where localhost is answered")
    add("--sample", action="store_true", help="an invented household in a throw-away folder")
    add("--origin", help="the one address that browsers use, such as https://crest.example")
    add("--behind-proxy", type=int, metavar="N", help="believe N reverse proxies' headers")
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
            print("Filling an invented household, a few seconds …", flush=True)
            load_sample(replace(settings, origin="", strict_host=False), sample_folder())
        port = arguments.port or (SAMPLE_PORT if arguments.sample else PORT)
        if arguments.lan:
            wish = LanWish(arguments.name, arguments.port)
            settings.data.mkdir(parents=True, exist_ok=True)
            setup = prepare(settings.data, wish, settings.clock.now())
            _serve_lan(settings, setup, arguments.local_port)
        else:
            _serve_here(_with_origin(settings, arguments), Listening(arguments.host, port))
    return 0


def _with_origin(settings: Settings, arguments: argparse.Namespace) -> Settings:
    if arguments.origin:
        settings = replace(settings, origin=arguments.origin.rstrip("/"), strict_host=True)
    if arguments.behind_proxy is not None:
        settings = replace(settings, behind_proxy=arguments.behind_proxy)
    return settings


def _serve_here(settings: Settings, listening: Listening) -> None:
    app = create_app(replace(settings, origin=settings.origin or listening.local_origin))
    serving.run_here(app, listening, lambda: _greet(app))


def _serve_lan(settings: Settings, setup: LanSetup, local_port: int) -> None:
    known = replace(settings, certificate_ends=setup.certificate_ends)
    app = create_app(replace(known, origin=setup.origin, strict_host=True))
    serving.run_on_lan(app, setup, lambda: _greet(app), local_port)


def _greet(app: Flask) -> None:
    """Make the household at the first start, and print how to pair with it."""
    serving.keep_origin(app.extensions["crestrail"])
    with app.app_context():
        known = households.all_ids()
        household = known[0] if known else serving.first_household(app)
    _show_code(app, household)


def _show_code(app: Flask, household: str) -> None:
    settings: Settings = app.extensions["crestrail"]
    with app.app_context():
        code = devices.make_code(household, settings.clock.now())
    serving.show_code(serving.kept_origin(settings), code)


def _pair(arguments: argparse.Namespace) -> int:
    app = create_app(_settings(arguments))
    with app.app_context():
        known = households.all_ids()
    wanted = arguments.household or (known[0] if len(known) == 1 else "")
    if wanted not in known:
        print("Say which household with --household:", *known, sep="\n  ", file=sys.stderr)
        return 2
    _show_code(app, wanted)
    return 0


def _back_up(arguments: argparse.Namespace) -> int:
    app = create_app(_settings(arguments))
    with app.app_context():
        return _tell(backup.back_up(arguments.file, *_here(app), _data(app)))


def _restore(arguments: argparse.Namespace) -> int:
    app = create_app(_settings(arguments))
    with app.app_context():
        return _tell(backup.restore(arguments.file, *_here(app), _data(app)))


def _bring_home(arguments: argparse.Namespace) -> int:
    app = create_app(_settings(arguments))
    with app.app_context(), arguments.file.open(encoding="utf-8", errors="replace") as lines:
        return _tell(rescue.bring_home(lines, *_here(app)))


def _here(app: Flask) -> tuple[PhotoFiles, datetime]:
    """Where the pictures are, and what time it is."""
    return app.extensions["crestrail_photos"], app.extensions["crestrail"].clock.now()


def _data(app: Flask) -> Path:
    settings: Settings = app.extensions["crestrail"]
    return settings.data


def _tell(counts: Mapping[str, int]) -> int:
    print("Done:", ", ".join(f"{count} {name}" for name, count in counts.items()) or "nothing")
    return 0


if __name__ == "__main__":
    sys.exit(main())
