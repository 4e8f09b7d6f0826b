"""Every kind of problem the service answers with, and which error of ours becomes which.

A type is a promise: its path never changes its meaning. To add one, add a row to PROBLEM_TYPES;
to answer with it when a use case raises an error, add a row to DOMAIN_PROBLEMS.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field

from wortwright.brewing.bottling import BottlePressureError
from wortwright.brewing.errors import OutOfRangeError
from wortwright.brewing.mash_acid import DoseWithoutEffectError
from wortwright.brewing.salts import UnknownSaltError
from wortwright.brewing.starter import NoStarterNeededError
from wortwright.brewing.water_report import AmbiguousBasisError, UnreadableReportError
from wortwright.calibration.explanations import NothingToReconcileError
from wortwright.store.database import DatabaseUnavailableError
from wortwright.store.idempotency import IdempotencyKeyBusyError
from wortwright.store.stored import AlreadyHereError, NotFoundError, StaleVersionError
from wortwright.usecases.basis import CannotScaleError
from wortwright.usecases.callers import UnknownKeyError
from wortwright.usecases.keys import KeyAskedError
from wortwright.usecases.moving import CannotImportError
from wortwright.usecases.rights import NotAllowedError
from wortwright.usecases.session_answers import NoEarlierBrewError, NothingTaughtError
from wortwright.usecases.sessions import NotTrustedError, SessionStateError, TooManyReadingsError
from wortwright.usecases.setups import SetupInUseError, TooManyChangesError
from wortwright.usecases.work import IdempotencyMismatchError


@dataclass(frozen=True, slots=True)
class ProblemType:
    """One kind of problem, as documented at ``/problems/<slug>``."""

    slug: str
    status: int
    title: str
    meaning: str
    headers: Mapping[str, str] = field(default_factory=dict)

    @property
    def path(self) -> str:
        """The ``type`` of the problem: a path into the documentation."""
        return f"/problems/{self.slug}"


INVALID_JSON = ProblemType(
    "invalid-json",
    400,
    "The body is not JSON",
    "The request body is not one JSON value in UTF-8, is nested too deeply, holds a number beyond "
    "the range of a double, or names a member twice.",
)
INVALID_CURSOR = ProblemType(
    "invalid-cursor",
    400,
    "The cursor does not belong here",
    "A cursor is only good for the list, the filters and the service that gave it. Start the "
    "list again without it.",
)
INVALID_HEADER = ProblemType(
    "invalid-header",
    400,
    "A header cannot be read",
    "A header such as Idempotency-Key does not have the form it should have.",
)
BAD_REQUEST = ProblemType(
    "bad-request", 400, "The request cannot be read", "The request is not well-formed HTTP."
)
UNKNOWN_KEY = ProblemType(
    "unknown-key",
    401,
    "A valid key is needed",
    "Send Authorization: Bearer <key> with a key that is known, has not expired and was not "
    "revoked. Which of these it fails is not told.",
)
FORBIDDEN = ProblemType(
    "forbidden",
    403,
    "This key may not do that",
    "The key is valid, but keys of its kind may not do this, or not from this web origin.",
)
NOT_FOUND = ProblemType(
    "not-found",
    404,
    "Not found",
    "There is no such thing, or it belongs to somebody else, which is answered in the same way.",
)
METHOD_NOT_ALLOWED = ProblemType(
    "method-not-allowed",
    405,
    "Method not allowed",
    "The Allow header names the methods that this path takes.",
)
CONFLICT = ProblemType(
    "conflict",
    409,
    "In conflict with the present state",
    "The request is valid, but not in the state that the thing is in now.",
)
IDEMPOTENCY_BUSY = ProblemType(
    "idempotency-key-busy",
    409,
    "The same request is being answered",
    "Another request with this Idempotency-Key is at work. Send it again a moment later.",
    {"Retry-After": "1"},
)
STALE_VERSION = ProblemType(
    "stale-version",
    412,
    "It was changed in the meantime",
    "The ETag given in If-Match is not the present one. Get the thing again, apply the change to "
    "what it is now, and send that with the new ETag.",
)
TOO_LARGE = ProblemType(
    "too-large", 413, "The body is too large", "The request body is larger than is accepted."
)
UNSUPPORTED_MEDIA_TYPE = ProblemType(
    "unsupported-media-type",
    415,
    "The body must be JSON",
    "Send the body as Content-Type: application/json, not compressed.",
)
INVALID_BODY = ProblemType(
    "invalid-body",
    422,
    "The body is refused",
    "The body is JSON, but not what this operation takes. Each entry of errors points at one "
    "place by JSON Pointer and says what would be accepted there.",
)
INVALID_PARAMETER = ProblemType(
    "invalid-parameter",
    422,
    "A parameter is refused",
    "A query parameter is unknown or has a value that is not accepted. Each entry of errors names "
    "one parameter and says what would be accepted.",
)
IDEMPOTENCY_MISMATCH = ProblemType(
    "idempotency-key-reused",
    422,
    "The Idempotency-Key was used before",
    "Within the last 24 hours the same Idempotency-Key came with a different request. Take a new "
    "key for a new request.",
)
BOTTLE_PRESSURE = ProblemType(
    "bottle-pressure",
    422,
    "The bottles may not bear this",
    "Carbonation wanted, gas still in the beer and what is left to ferment together would put the "
    "bottles under more pressure than their kind may bear. The detail tells the pressure.",
)
VERSION_REQUIRED = ProblemType(
    "version-required",
    428,
    "If-Match is needed",
    "To change or delete a thing, send the ETag it was read with in If-Match, so that nobody "
    "else's change is lost.",
)
TOO_MANY_REQUESTS = ProblemType(
    "too-many-requests",
    429,
    "Too many requests",
    "Wait as many seconds as the Retry-After header says.",
)
INTERNAL = ProblemType(
    "internal-error",
    500,
    "Something went wrong here",
    "The fault is the service's. Its operator finds it in the log by the instance of the problem.",
)
UNAVAILABLE = ProblemType(
    "unavailable",
    503,
    "Not available at the moment",
    "The service or its database is busy or starting. Send the request again a moment later.",
    {"Retry-After": "2"},
)

PROBLEM_TYPES: tuple[ProblemType, ...] = (
    INVALID_JSON,
    INVALID_CURSOR,
    INVALID_HEADER,
    BAD_REQUEST,
    UNKNOWN_KEY,
    FORBIDDEN,
    NOT_FOUND,
    METHOD_NOT_ALLOWED,
    CONFLICT,
    IDEMPOTENCY_BUSY,
    STALE_VERSION,
    TOO_LARGE,
    UNSUPPORTED_MEDIA_TYPE,
    INVALID_BODY,
    INVALID_PARAMETER,
    IDEMPOTENCY_MISMATCH,
    BOTTLE_PRESSURE,
    VERSION_REQUIRED,
    TOO_MANY_REQUESTS,
    INTERNAL,
    UNAVAILABLE,
)

# What an HTTP error raised by a library becomes; other 4xx become BAD_REQUEST with their status.
PROBLEM_OF_STATUS: Mapping[int, ProblemType] = {
    401: UNKNOWN_KEY,
    403: FORBIDDEN,
    404: NOT_FOUND,
    405: METHOD_NOT_ALLOWED,
    409: CONFLICT,
    412: STALE_VERSION,
    413: TOO_LARGE,
    415: UNSUPPORTED_MEDIA_TYPE,
    422: INVALID_BODY,
    428: VERSION_REQUIRED,
    429: TOO_MANY_REQUESTS,
    500: INTERNAL,
    503: UNAVAILABLE,
}

# The detail is the error's own sentence. An error with a ``pointer`` (a JSON Pointer into the
# request body) and perhaps ``accepted`` is answered with one entry in ``errors``.
DOMAIN_PROBLEMS: Mapping[type[Exception], ProblemType] = {
    UnknownKeyError: UNKNOWN_KEY,
    NotAllowedError: FORBIDDEN,
    NotFoundError: NOT_FOUND,
    KeyAskedError: INVALID_BODY,
    CannotScaleError: INVALID_BODY,
    CannotImportError: INVALID_BODY,
    AlreadyHereError: CONFLICT,
    SetupInUseError: CONFLICT,
    SessionStateError: CONFLICT,
    NotTrustedError: CONFLICT,
    TooManyReadingsError: CONFLICT,
    NothingToReconcileError: CONFLICT,
    NothingTaughtError: CONFLICT,
    NoEarlierBrewError: CONFLICT,
    TooManyChangesError: CONFLICT,
    StaleVersionError: STALE_VERSION,
    IdempotencyKeyBusyError: IDEMPOTENCY_BUSY,
    IdempotencyMismatchError: IDEMPOTENCY_MISMATCH,
    DatabaseUnavailableError: UNAVAILABLE,
    # What the science refuses of numbers that are each acceptable by themselves.
    OutOfRangeError: INVALID_BODY,
    UnknownSaltError: INVALID_BODY,
    AmbiguousBasisError: INVALID_BODY,
    UnreadableReportError: INVALID_BODY,
    DoseWithoutEffectError: INVALID_BODY,
    NoStarterNeededError: INVALID_BODY,
    BottlePressureError: BOTTLE_PRESSURE,
}
