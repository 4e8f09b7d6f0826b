"""Lists are read by age, which an id sorts by: as much of them as is asked for, no more."""

from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None

_OF_BREWERS = ("keys", "setups", "recipes", "sessions", "scalings")
# A setup's ids within its club are unique, which is an index already.
_OF_CLUBS = ("keys", "recipes", "sessions", "scalings")


def upgrade() -> None:
    """Let the indexes end with the id."""
    for table in _OF_BREWERS:
        op.drop_index(f"ix_{table}_club_id_brewer_id", table)
        op.create_index(f"ix_{table}_club_id_brewer_id_id", table, ["club_id", "brewer_id", "id"])
    for table in _OF_CLUBS:
        op.create_index(f"ix_{table}_club_id_id", table, ["club_id", "id"])


def downgrade() -> None:
    """Put the shorter indexes back."""
    for table in _OF_CLUBS:
        op.drop_index(f"ix_{table}_club_id_id", table)
    for table in _OF_BREWERS:
        op.drop_index(f"ix_{table}_club_id_brewer_id_id", table)
        op.create_index(f"ix_{table}_club_id_brewer_id", table, ["club_id", "brewer_id"])
