import inspect

import httpx
import pytest

from clients.flaky import Flaky
from wortwright.api.problem_table import PROBLEM_TYPES
from wortwright_client import (
    ApiError,
    Client,
    ConflictError,
    ForbiddenError,
    InvalidRequestError,
    NotFoundError,
    StaleVersionError,
    TooManyRequestsError,
    UnauthorizedError,
    VersionRequiredError,
    WortwrightError,
    errors,
)

CLASS_OF = {
    401: UnauthorizedError,
    403: ForbiddenError,
    404: NotFoundError,
    409: ConflictError,
    412: StaleVersionError,
    422: InvalidRequestError,
    428: VersionRequiredError,
    429: TooManyRequestsError,
}


@pytest.mark.parametrize("problem", PROBLEM_TYPES, ids=lambda problem: problem.slug)
def test_every_problem_of_the_service_becomes_the_error_of_its_status(
    club: Client, flaky: Flaky, problem: object
) -> None:
    status, path = problem.status, problem.path  # type: ignore[attr-defined]
    document = {"type": path, "title": "x", "status": status, "detail": "y", "instance": "z"}
    flaky.troubles += [httpx.Response(status, json=document)] * 3
    with pytest.raises(ApiError) as caught:
        list(club.list_brewers())
    error = caught.value
    assert type(error) is CLASS_OF.get(status, ApiError)
    assert (error.status, error.type, error.title) == (status, path, "x")
    assert (error.detail, error.request_id, error.errors) == ("y", "z", ())


def test_service_itself_refuses_as_told(club: Client, flaky: Flaky) -> None:
    brewer = club.create_brewer({"name": "Ada Millrace"})
    (listed,) = club.list_brewers()
    with pytest.raises(VersionRequiredError):
        club.delete_brewer(listed.id, etag=listed.etag)
    club.replace_brewer(brewer.id, {"name": "Ada Weir"}, etag=brewer.etag)
    with pytest.raises(StaleVersionError):
        club.delete_brewer(brewer.id, etag=brewer.etag)
    with pytest.raises(InvalidRequestError) as caught:
        list(club.list_brewers(page_size=0))
    assert caught.value.errors[0].parameter == "limit"
    with (
        Client("http://brewing.example", "ww_no_key", transport=flaky) as stranger,
        pytest.raises(UnauthorizedError),
    ):
        list(stranger.list_brewers())


def test_refused_body_names_every_place(club: Client) -> None:
    with pytest.raises(InvalidRequestError) as caught:
        club.create_brewer({"name": "", "nickname": "x", "units": "ells"})  # type: ignore[typeddict-item, typeddict-unknown-key]
    error = caught.value
    assert {refusal.pointer for refusal in error.errors} == {"/name", "/nickname", "/units"}
    units = next(refusal for refusal in error.errors if refusal.pointer == "/units")
    assert units.accepted == ("metric", "us", "imperial")
    assert len(error.request_id) >= 8
    assert str(error).startswith("422 The body is refused: ")
    assert "/nickname: Unknown field. [accepted: name, units]" in str(error)
    assert str(error).count("imperial") == 1


@pytest.mark.parametrize(
    "answer",
    [
        httpx.Response(500, text="<html>Bad day</html>"),
        httpx.Response(500, json=["x"]),
        httpx.Response(500, json={"errors": "x"}),
        httpx.Response(500, json={"errors": ["x", None]}),
    ],
    ids=["html", "list", "text for errors", "errors that are none"],
)
def test_refusal_by_something_in_between_is_an_api_error(
    club: Client, flaky: Flaky, answer: httpx.Response
) -> None:
    answer.headers["X-Request-ID"] = "0123456789"
    flaky.troubles += [answer]
    with pytest.raises(ApiError) as caught:
        list(club.list_brewers())
    error = caught.value
    assert (error.type, error.title) == ("about:blank", "Internal Server Error")
    assert error.request_id == "0123456789"
    assert error.errors == ()


def test_tree_in_the_module_docstring_is_the_tree() -> None:
    drawn = errors.__doc__ or ""
    classes = [
        one
        for _, one in inspect.getmembers(errors, inspect.isclass)
        if issubclass(one, Exception) and one.__module__ == errors.__name__
    ]
    assert {word for word in drawn.split() if word.endswith("Error")} == {
        one.__name__ for one in classes
    }
    assert all(issubclass(one, WortwrightError) for one in classes)
    for status, one in CLASS_OF.items():
        assert any(line.split()[1:3] == [one.__name__, str(status)] for line in drawn.splitlines())
