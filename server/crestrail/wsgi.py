"""``app`` for a WSGI server of one's own: settings come from the environment."""

from __future__ import annotations

from crestrail.app import create_app
from crestrail.config import from_env

app = create_app(from_env())
