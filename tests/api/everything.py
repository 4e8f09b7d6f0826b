"""One of everything of a club, made by sending the examples of the contract itself.

Nothing here names a resource: a new one is made, and asked for, as soon as the contract has it.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from api.house import House
from wortwright.api import examples

METHODS = ("get", "post", "put", "patch", "delete")


@dataclass(frozen=True)
class Operation:
    """One operation as the contract describes it."""

    method: str
    path: str
    described: dict[str, Any]

    @property
    def parameters(self) -> tuple[str, ...]:
        return tuple(re.findall(r"{(\w+)}", self.path))

    @property
    def kinds(self) -> frozenset[str]:
        return frozenset(self.described["x-key-kinds"])

    @property
    def example(self) -> Any:
        content = self.described.get("requestBody", {}).get("content", {})
        return content.get("application/json", {}).get("example")

    @property
    def takes_json(self) -> bool:
        return "application/json" in self.described.get("requestBody", {}).get("content", {})

    def statuses(self) -> set[int]:
        return {int(status) for status in self.described["responses"] if status != "default"}

    def __str__(self) -> str:
        return f"{self.method} {self.path}"


def operations_of(contract: dict[str, Any]) -> list[Operation]:
    """Every operation of the contract."""
    return [
        Operation(method.upper(), path, described)
        for path, item in contract["paths"].items()
        for method, described in item.items()
        if method in METHODS
    ]


class Everything:
    """A club's things: by the name of each path parameter, the id of one."""

    def __init__(self, house: House, operations: list[Operation], mark: str) -> None:
        self.house = house
        self.mark = mark
        club = house.get("/v1/clubs")["items"][0]
        self.ids: dict[str, str] = {"club_id": club["id"], "brewer_id": house.brewer_id}
        self.ids["owner"] = house.brewer_id
        self.made: set[str] = set(self.ids.values())
        while any(self._make(operation, operations) for operation in operations):
            pass
        for operation in operations:
            for name in operation.parameters:
                if not name.endswith("_id"):
                    self.ids.setdefault(name, "0")
        missing = {name for one in operations for name in one.parameters} - self.ids.keys()
        assert not missing, f"no example of the contract makes these: {missing}"

    def _make(self, operation: Operation, operations: list[Operation]) -> bool:
        """Send an example if what it needs is there; tell whether that made something new."""
        if operation.method != "POST" or "201" not in operation.described["responses"]:
            return False
        if "requestBody" in operation.described and operation.example is None:
            return False
        if not self.ids.keys() >= {*operation.parameters, *id_names(operation.example)}:
            return False
        body = marked(self.body(operation), self.mark)
        answer = self.house.ask("POST", self.path(operation), body)
        assert answer.status_code == 201, f"{operation}: {answer.text}"
        location = answer.headers["Location"]
        self.made.add(location.rpartition("/")[2])
        name = _parameter_of(location, operations)
        if name is None or name in self.ids:
            return False
        self.ids[name] = location.rpartition("/")[2]
        return True

    def path(self, operation: Operation) -> str:
        return operation.path.format(**self.ids)

    def body(self, operation: Operation) -> Any:
        return with_ids(operation.example, self.ids)


def id_names(example: Any) -> Iterator[str]:
    """The names under which a body names stored things by their placeholder id."""
    if isinstance(example, dict):
        for name, value in example.items():
            if value == examples.CLUB_OR_BREWER_ID:
                yield name
            elif value == [examples.CLUB_OR_BREWER_ID]:
                yield name.removesuffix("s")
            else:
                yield from id_names(value)


def with_ids(example: Any, ids: dict[str, str]) -> Any:
    """Put ids in the place of the placeholders of an example."""
    if not isinstance(example, dict):
        return example
    names = {*id_names({k: v for k, v in example.items() if not isinstance(v, dict)})}
    filled = {k: with_ids(v, ids) for k, v in example.items()}
    for key, value in example.items():
        name = key.removesuffix("s") if isinstance(value, list) else key
        # The id of a thing that is imported is its own, not that of one made here.
        if name in names and name in ids:
            filled[key] = [ids[name]] if isinstance(value, list) else ids[name]
    if example.get("owner") == "club":
        filled["owner"] = ids["owner"]
    return filled


def marked(body: Any, mark: str) -> Any:
    """Give what a body describes a name that is found again wherever it leaks."""
    names = {name: mark for name in ("name", "reason") if name in body} if body else {}
    return {**body, **names} if names else body


def with_foreign_ids(
    operation: Operation, own: dict[str, str], theirs: dict[str, str], contract: dict[str, Any]
) -> Iterator[tuple[str, Any]]:
    """Bodies of one's own in each of which one id, required or not, is another's."""
    if operation.example is None:
        return
    body = with_ids(operation.example, own)
    for name, schema in _properties(operation, contract).items():
        single = name.removesuffix("s")
        if single in theirs:
            is_list = name != single and schema.get("type") == "array"
            yield name, {**body, name: [theirs[single]] if is_list else theirs[single]}


def _properties(operation: Operation, contract: dict[str, Any]) -> dict[str, Any]:
    schema = operation.described["requestBody"]["content"]["application/json"]["schema"]
    while "$ref" in schema:
        schema = contract["components"]["schemas"][schema["$ref"].rpartition("/")[2]]
    found: dict[str, Any] = schema.get("properties", {})
    return found


def _parameter_of(location: str, operations: list[Operation]) -> str | None:
    for operation in operations:
        pattern = re.sub(r"{\w+}", "[^/]+", operation.path)
        if operation.path.endswith("}") and re.fullmatch(pattern, location):
            return operation.parameters[-1]
    return None
