"""The application factory."""

from __future__ import annotations

from flask import Flask
from werkzeug.middleware.proxy_fix import ProxyFix

from crestrail.api import (
    auth,
    bodies,
    devices,
    errors,
    hello,
    limits,
    photos,
    price_book,
    records,
    static_site,
    sync,
    tags,
)
from crestrail.config import Settings
from crestrail.services.price_book import Shelf
from crestrail.store.db import db, migrate
from crestrail.store.photos import PhotoFiles
from crestrail.store.upgrade import MIGRATIONS, upgrade

BLUEPRINTS = (
    hello.bp,
    devices.bp,
    sync.bp,
    records.bp,
    photos.bp,
    price_book.bp,
    tags.bp,
    static_site.bp,
)


def create_app(settings: Settings) -> Flask:
    """A server with these settings; its database is brought up to date first."""
    settings.data.mkdir(parents=True, exist_ok=True)
    app = Flask("crestrail", static_folder=None)
    app.config.update(
        SQLALCHEMY_DATABASE_URI=settings.database_url,
        MAX_CONTENT_LENGTH=bodies.MAX_BODY,
    )
    app.json = bodies.JsonProvider(app)
    app.extensions["crestrail"] = settings
    app.extensions["crestrail_photos"] = PhotoFiles(settings.data / "photos")
    app.extensions["crestrail_shelf"] = Shelf()
    app.extensions["crestrail_tries"] = limits.Tries()
    db.init_app(app)
    migrate.init_app(app, db, directory=str(MIGRATIONS))
    _wire(app)
    if settings.behind_proxy:
        hops = settings.behind_proxy
        app.wsgi_app = ProxyFix(  # type: ignore[method-assign]
            app.wsgi_app, x_for=hops, x_proto=hops, x_host=hops, x_port=hops
        )
    with app.app_context():
        upgrade(settings.clock.now())
    return app


def _wire(app: Flask) -> None:
    app.before_request(auth.guard)
    app.after_request(bodies.zip_answer)
    app.after_request(static_site.add_headers)
    errors.register(app)
    for blueprint in BLUEPRINTS:
        app.register_blueprint(blueprint)
