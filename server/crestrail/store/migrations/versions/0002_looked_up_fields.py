"""An index for every field that records are found by.

SQLAlchemy cannot read such indexes back from SQLite: whoever builds ``record`` anew there makes
them again.
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None

_FIELDS = (
    ("sale", "piece_id"), ("return", "sale_id"), ("tag", "code"),
    ("same_as", "duplicate_id"), ("same_as", "survivor_id"),
)  # fmt: skip


def upgrade() -> None:
    for type, name in _FIELDS:
        only = sa.text(f"type = '{type}'")
        op.create_index(
            f"ix_record_{type}_{name}",
            "record",
            ["household_id", sa.text(f"(fields ->> '{name}')")],
            sqlite_where=only,
            postgresql_where=only,
        )


def downgrade() -> None:
    for type, name in _FIELDS:
        op.drop_index(f"ix_record_{type}_{name}", "record")
