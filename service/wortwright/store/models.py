"""The tables. Nothing outside this package sees a row."""

from datetime import date, datetime
from typing import Any, ClassVar
from uuid import UUID

from sqlalchemy import (
    CheckConstraint,
    ForeignKey,
    ForeignKeyConstraint,
    Index,
    LargeBinary,
    MetaData,
    String,
    UniqueConstraint,
    Uuid,
)
from sqlalchemy.orm import DeclarativeBase, Mapped, declared_attr, mapped_column
from uuid6 import uuid7

from wortwright.store.clock import now
from wortwright.store.types import Document, UtcDateTime

NAMING = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_N_name)s_%(referred_table_name)s",
    "pk": "pk_%(table_name)s",
}


def _new_id() -> UUID:
    return UUID(int=uuid7().int)


class Base(DeclarativeBase):
    """What all tables share."""

    metadata = MetaData(naming_convention=NAMING)
    type_annotation_map: ClassVar[dict[Any, Any]] = {
        datetime: UtcDateTime(),
        UUID: Uuid(),
        dict[str, Any]: Document,
        list[str]: Document,
        str: String(),
        bytes: LargeBinary(),
    }


class Row:
    """What every stored thing has: an id that sorts by age, its dates and its version."""

    thing: ClassVar[str]
    id: Mapped[UUID] = mapped_column(primary_key=True, default=_new_id, sort_order=-3)
    created_at: Mapped[datetime] = mapped_column(default=now, sort_order=-2)
    updated_at: Mapped[datetime] = mapped_column(default=now, onupdate=now, sort_order=-2)
    version: Mapped[int] = mapped_column(sort_order=-2)

    @declared_attr.directive
    @classmethod
    def __mapper_args__(cls) -> dict[str, Any]:
        """Let the database refuse the second of two writers."""
        return {"version_id_col": cls.version}


class OfClub(Row):
    """A row of one club, perhaps of one of its brewers."""

    club_id: Mapped[UUID] = mapped_column(ForeignKey("clubs.id", ondelete="CASCADE"), sort_order=-1)
    brewer_id: Mapped[UUID | None] = mapped_column(sort_order=-1)


def _brewer_of_same_club() -> ForeignKeyConstraint:
    return ForeignKeyConstraint(
        ["club_id", "brewer_id"], ["brewers.club_id", "brewers.id"], ondelete="CASCADE"
    )


def _setup_of_same_club() -> ForeignKeyConstraint:
    return ForeignKeyConstraint(
        ["club_id", "setup_id"], ["setups.club_id", "setups.id"], ondelete="CASCADE"
    )


def _name_is_sane() -> CheckConstraint:
    return CheckConstraint("length(name) BETWEEN 1 AND 200", name="name_length")


class ClubRow(Row, Base):
    """A club: the tenant."""

    __tablename__ = "clubs"
    __table_args__ = (_name_is_sane(),)

    thing = "club"
    name: Mapped[str]


class BrewerRow(Row, Base):
    """A brewer of a club."""

    __tablename__ = "brewers"
    __table_args__ = (
        UniqueConstraint("club_id", "id"),
        CheckConstraint("units IN ('metric', 'us', 'imperial')", name="units"),
        _name_is_sane(),
    )

    thing = "brewer"
    club_id: Mapped[UUID] = mapped_column(ForeignKey("clubs.id", ondelete="CASCADE"), sort_order=-1)
    name: Mapped[str]
    units: Mapped[str]

    @property
    def brewer_id(self) -> UUID:
        """A brewer is the brewer's own."""
        return self.id


def _listed_by_age(*, unique_in_club: bool = False) -> list[Index]:
    """Indexes for lists of a club and of a brewer, newest first; a unique id has the first."""
    of_brewer = Index(None, "club_id", "brewer_id", "id")
    return [of_brewer] if unique_in_club else [Index(None, "club_id", "id"), of_brewer]


class KeyRow(OfClub, Base):
    """A key: what it opens and the keyed hash of its secret, never the secret."""

    __tablename__ = "keys"
    __table_args__ = (
        _brewer_of_same_club(),
        CheckConstraint("kind IN ('club', 'brewer', 'page', 'link')", name="kind"),
        CheckConstraint("(kind = 'club') = (brewer_id IS NULL) OR kind = 'link'", name="owner"),
        CheckConstraint("(kind = 'link') = (opens_id IS NOT NULL)", name="opens"),
        *_listed_by_age(),
    )

    thing = "key"
    kind: Mapped[str]
    name: Mapped[str]
    secret_hash: Mapped[str]
    origins: Mapped[list[str]]
    opens: Mapped[str | None]
    opens_id: Mapped[UUID | None]
    expires_at: Mapped[datetime | None]
    revoked_at: Mapped[datetime | None]
    last_used_on: Mapped[date | None]


class SetupRow(OfClub, Base):
    """A brewing system of a brewer."""

    __tablename__ = "setups"
    __table_args__ = (
        UniqueConstraint("club_id", "id"),
        _brewer_of_same_club(),
        CheckConstraint("brewer_id IS NOT NULL", name="has_brewer"),
        _name_is_sane(),
        *_listed_by_age(unique_in_club=True),
    )

    thing = "setup"
    name: Mapped[str]
    document: Mapped[dict[str, Any]]


class RecipeRow(OfClub, Base):
    """A recipe of the club or of a brewer."""

    __tablename__ = "recipes"
    __table_args__ = (
        _brewer_of_same_club(),
        _name_is_sane(),
        *_listed_by_age(),
    )

    thing = "recipe"
    name: Mapped[str]
    document: Mapped[dict[str, Any]]


class SessionRow(OfClub, Base):
    """A brew on a setup."""

    __tablename__ = "sessions"
    __table_args__ = (
        _brewer_of_same_club(),
        _setup_of_same_club(),
        CheckConstraint("brewer_id IS NOT NULL", name="has_brewer"),
        CheckConstraint("state IN ('open', 'closed', 'set_aside')", name="state"),
        Index(None, "setup_id", "state", "brewed_at"),
        *_listed_by_age(),
    )

    thing = "session"
    setup_id: Mapped[UUID]
    # A session outlives the scaling it was brewed from.
    scaling_id: Mapped[UUID | None]
    brewed_at: Mapped[datetime]
    state: Mapped[str]
    document: Mapped[dict[str, Any]]


class CalibrationRow(OfClub, Base):
    """What the sessions said of a setup at one moment; written once."""

    __tablename__ = "calibrations"
    __table_args__ = (
        _brewer_of_same_club(),
        _setup_of_same_club(),
        UniqueConstraint("setup_id", "number"),
        CheckConstraint("number >= 0", name="number"),
        CheckConstraint("brewer_id IS NOT NULL", name="has_brewer"),
    )

    thing = "calibration"
    setup_id: Mapped[UUID]
    number: Mapped[int]
    setup_version: Mapped[int]
    session_ids: Mapped[list[str]]
    document: Mapped[dict[str, Any]]


class ScalingRow(OfClub, Base):
    """A recipe refitted to a setup, with all it was computed from; written once.

    It keeps copies: recipe and setup may change or go, the scaling stays what it was.
    """

    __tablename__ = "scalings"
    __table_args__ = (_brewer_of_same_club(), *_listed_by_age())

    thing = "scaling"
    setup_id: Mapped[UUID | None]
    setup_version: Mapped[int | None]
    recipe_id: Mapped[UUID | None]
    recipe_version: Mapped[int | None]
    calibration_number: Mapped[int | None]
    document: Mapped[dict[str, Any]]


class IdempotencyRow(Base):
    """The answer to a request that may be sent again."""

    __tablename__ = "idempotency"
    __table_args__ = (
        CheckConstraint("status BETWEEN 200 AND 499", name="status"),
        Index(None, "kept_at"),
    )

    club_id: Mapped[UUID] = mapped_column(
        ForeignKey("clubs.id", ondelete="CASCADE"), primary_key=True
    )
    route: Mapped[str] = mapped_column(primary_key=True)
    key: Mapped[str] = mapped_column(primary_key=True)
    fingerprint: Mapped[str]
    status: Mapped[int]
    headers: Mapped[dict[str, Any]]
    body: Mapped[bytes]
    kept_at: Mapped[datetime] = mapped_column(default=now)
