"""The first tables."""

from typing import Any

import sqlalchemy as sa
from alembic import op
from sqlalchemy.dialects.postgresql import JSONB

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None

TABLES = (
    "clubs",
    "brewers",
    "keys",
    "setups",
    "recipes",
    "sessions",
    "calibrations",
    "scalings",
    "idempotency",
)


def upgrade() -> None:
    _people()
    _keys()
    _documents()
    _learning()
    _scalings()
    _idempotency()


def downgrade() -> None:
    for table in reversed(TABLES):
        op.drop_table(table)


def _people() -> None:
    op.create_table("clubs", *_row(), _name(), _name_length("clubs"), _primary("clubs"))
    op.create_table(
        "brewers",
        *_row(),
        _uuid("club_id"),
        _name(),
        _text("units"),
        _check("brewers", "units", "units IN ('metric', 'us', 'imperial')"),
        _name_length("brewers"),
        _club_of("brewers"),
        _primary("brewers"),
        sa.UniqueConstraint("club_id", "id", name="uq_brewers_club_id_id"),
    )


def _keys() -> None:
    op.create_table(
        "keys",
        *_owned_row("keys", needs_brewer=False),
        _text("kind"),
        _name(),
        _text("secret_hash"),
        _json("origins"),
        _text("opens", nullable=True),
        _uuid("opens_id", nullable=True),
        _moment("expires_at", nullable=True),
        _moment("revoked_at", nullable=True),
        sa.Column("last_used_on", sa.Date(), nullable=True),
        _check("keys", "kind", "kind IN ('club', 'brewer', 'page', 'link')"),
        _check("keys", "owner", "(kind = 'club') = (brewer_id IS NULL) OR kind = 'link'"),
        _check("keys", "opens", "(kind = 'link') = (opens_id IS NOT NULL)"),
    )
    _index("keys", "club_id", "brewer_id")


def _documents() -> None:
    op.create_table(
        "setups",
        *_owned_row("setups"),
        _name(),
        _json("document"),
        _name_length("setups"),
        sa.UniqueConstraint("club_id", "id", name="uq_setups_club_id_id"),
    )
    _index("setups", "club_id", "brewer_id")
    op.create_table(
        "recipes",
        *_owned_row("recipes", needs_brewer=False),
        _name(),
        _json("document"),
        _name_length("recipes"),
    )
    _index("recipes", "club_id", "brewer_id")


def _learning() -> None:
    op.create_table(
        "sessions",
        *_owned_row("sessions"),
        _uuid("setup_id"),
        _uuid("scaling_id", nullable=True),
        _moment("brewed_at"),
        _text("state"),
        _json("document"),
        _check("sessions", "state", "state IN ('open', 'closed', 'set_aside')"),
        _setup_of("sessions"),
    )
    _index("sessions", "setup_id", "state", "brewed_at")
    _index("sessions", "club_id", "brewer_id")
    op.create_table(
        "calibrations",
        *_owned_row("calibrations"),
        _uuid("setup_id"),
        _whole("number"),
        _whole("setup_version"),
        _json("session_ids"),
        _json("document"),
        _check("calibrations", "number", "number >= 0"),
        _setup_of("calibrations"),
        sa.UniqueConstraint("setup_id", "number", name="uq_calibrations_setup_id_number"),
    )


def _scalings() -> None:
    op.create_table(
        "scalings",
        *_owned_row("scalings", needs_brewer=False),
        _uuid("setup_id", nullable=True),
        _whole("setup_version", nullable=True),
        _uuid("recipe_id", nullable=True),
        _whole("recipe_version", nullable=True),
        _whole("calibration_number", nullable=True),
        _json("document"),
    )
    _index("scalings", "club_id", "brewer_id")


def _idempotency() -> None:
    op.create_table(
        "idempotency",
        _uuid("club_id"),
        _text("route"),
        _text("key"),
        _text("fingerprint"),
        _whole("status"),
        _json("headers"),
        sa.Column("body", sa.LargeBinary(), nullable=False),
        _moment("kept_at"),
        _check("idempotency", "status", "status BETWEEN 200 AND 499"),
        _club_of("idempotency"),
        sa.PrimaryKeyConstraint("club_id", "route", "key", name="pk_idempotency"),
    )
    _index("idempotency", "kept_at")


def _row() -> tuple[sa.Column[Any], ...]:
    return (_uuid("id"), _moment("created_at"), _moment("updated_at"), _whole("version"))


def _owned_row(table: str, *, needs_brewer: bool = True) -> tuple[sa.schema.SchemaItem, ...]:
    brewer = sa.ForeignKeyConstraint(
        ["club_id", "brewer_id"],
        ["brewers.club_id", "brewers.id"],
        name=f"fk_{table}_club_id_brewer_id_brewers",
        ondelete="CASCADE",
    )
    common = (
        *_row(),
        _uuid("club_id"),
        _uuid("brewer_id", nullable=True),
        _club_of(table),
        brewer,
        _primary(table),
    )
    return (
        (*common, _check(table, "has_brewer", "brewer_id IS NOT NULL")) if needs_brewer else common
    )


def _setup_of(table: str) -> sa.ForeignKeyConstraint:
    return sa.ForeignKeyConstraint(
        ["club_id", "setup_id"],
        ["setups.club_id", "setups.id"],
        name=f"fk_{table}_club_id_setup_id_setups",
        ondelete="CASCADE",
    )


def _club_of(table: str) -> sa.ForeignKeyConstraint:
    return sa.ForeignKeyConstraint(
        ["club_id"], ["clubs.id"], name=f"fk_{table}_club_id_clubs", ondelete="CASCADE"
    )


def _primary(table: str) -> sa.PrimaryKeyConstraint:
    return sa.PrimaryKeyConstraint("id", name=f"pk_{table}")


def _check(table: str, name: str, condition: str) -> sa.CheckConstraint:
    return sa.CheckConstraint(condition, name=op.f(f"ck_{table}_{name}"))


def _name_length(table: str) -> sa.CheckConstraint:
    return _check(table, "name_length", "length(name) BETWEEN 1 AND 200")


def _index(table: str, *columns: str) -> None:
    op.create_index(f"ix_{table}_{'_'.join(columns)}", table, list(columns))


def _name() -> sa.Column[Any]:
    return _text("name")


def _text(name: str, *, nullable: bool = False) -> sa.Column[Any]:
    return sa.Column(name, sa.String(), nullable=nullable)


def _whole(name: str, *, nullable: bool = False) -> sa.Column[Any]:
    return sa.Column(name, sa.Integer(), nullable=nullable)


def _uuid(name: str, *, nullable: bool = False) -> sa.Column[Any]:
    return sa.Column(name, sa.Uuid(), nullable=nullable)


def _moment(name: str, *, nullable: bool = False) -> sa.Column[Any]:
    return sa.Column(name, sa.DateTime(timezone=True), nullable=nullable)


def _json(name: str) -> sa.Column[Any]:
    return sa.Column(name, sa.JSON().with_variant(JSONB(), "postgresql"), nullable=False)
