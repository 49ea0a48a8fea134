"""The address phones know the household by: chosen once, kept, never changed by itself.

Name and port together are the origin that owns everything a phone has stored, and they are
printed on tags. So they are written down at the first start on the home network, and a later
start uses exactly these or fails.
"""

from __future__ import annotations

import json
import random
import re
from dataclasses import asdict, dataclass
from pathlib import Path

from crestrail.tls import CannotStart

DEFAULT_PORT = 8472
LETTERS = "bcdfghjkmnpqrstvwxz"
"""For made-up names: no vowels, so no words, and no letter that is easily misread."""
LABEL = re.compile(r"[a-z0-9]([a-z0-9-]{0,61}[a-z0-9])?")


@dataclass(frozen=True, slots=True)
class LanAddress:
    """The household's address: a name ending in ``.local``, or a domain of the person's own.

    ``port`` serves the app over https, ``trust_port`` the trust page over plain http.
    """

    name: str
    port: int
    trust_port: int

    @property
    def host(self) -> str:
        """What a browser sends as Host: the port is left out where it is the usual one."""
        return self.name if self.port == 443 else f"{self.name}:{self.port}"

    @property
    def origin(self) -> str:
        """The canonical origin of the household."""
        return f"https://{self.host}"

    @property
    def is_local(self) -> bool:
        """Whether the name is one that the server itself announces on the home network."""
        return self.name.endswith(".local")


def settle(file: Path, name: str | None, port: int | None, chance: random.Random) -> LanAddress:
    """The kept address, or at the first call a new one, which is then kept in ``file``.

    ``name`` and ``port`` are what the person asked for, None for no wish. Raises CannotStart
    when a wish is not possible, or differs from what is kept.
    """
    wished = None if name is None else clean_name(name)
    kept = read(file)
    if kept is None:
        chosen = wished or made_up_name(chance)
        kept = _address(chosen, DEFAULT_PORT if port is None else port)
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(json.dumps(asdict(kept), indent=2) + "\n")
    _refuse_other(file, kept, wished, port)
    return kept


def read(file: Path) -> LanAddress | None:
    """The kept address, None before the first start on the home network."""
    if not file.exists():
        return None
    try:
        kept = json.loads(file.read_text())
        return LanAddress(clean_name(kept["name"]), int(kept["port"]), int(kept["trust_port"]))
    except (ValueError, KeyError, TypeError) as error:
        raise CannotStart(
            f"{file} is damaged. Move it away and start once with --name and --port as the "
            "household's address has them; the address stands on every printed tag."
        ) from error


def made_up_name(chance: random.Random) -> str:
    """A name of our own with four letters by chance: neighbours may run Crestrail too."""
    return f"crestrail-{''.join(chance.choice(LETTERS) for _ in range(4))}.local"


def clean_name(text: str) -> str:
    """A name as it is kept: lower case, with ``.local`` where no domain was given."""
    name = text.strip().lower().rstrip(".")
    name = name if "." in name else f"{name}.local"
    labels = name.split(".")
    fits = all(LABEL.fullmatch(label) for label in labels) and len(name) <= 253
    if not fits or labels[-1].isdigit() or (labels[-1] == "local" and len(labels) != 2):
        raise CannotStart(
            f"{text!r} can't be the name: use letters, digits and hyphens, "
            "as in shed or tools.example.org"
        )
    return name


def _address(name: str, port: int) -> LanAddress:
    if not 1 <= port <= 65534:
        raise CannotStart(f"{port} can't be the port: use a number from 1 to 65534")
    return LanAddress(name, port, port + 1)


def _refuse_other(file: Path, kept: LanAddress, name: str | None, port: int | None) -> None:
    """Refuse a wish that differs from the kept address."""
    if name in (None, kept.name) and port in (None, kept.port):
        return
    raise CannotStart(
        f"this household's address is {kept.origin}. Phones keep their data under it and printed "
        "tags carry it, so it isn't changed in passing. To change it all the same: send every "
        f"phone's work home, then move {file} and the folder tls beside it away and start again; "
        "all phones then trust, install and pair anew."
    )
