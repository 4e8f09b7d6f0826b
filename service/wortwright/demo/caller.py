"""A caller of the API within one process: the same bytes in and out, without a socket."""

from typing import Any

from flask import Flask


class DemoError(RuntimeError):
    """The API refused a document of the demo, which is a fault of the demo."""


class Caller:
    """Sends requests to an application under one key."""

    def __init__(self, app: Flask, key: str) -> None:
        self._client = app.test_client()
        self._headers = {"Authorization": f"Bearer {key}"}

    def get(self, path: str) -> Any:
        """Read a thing."""
        return self._answer(self._client.get(path, headers=self._headers))

    def post(self, path: str, document: Any) -> Any:
        """Store a thing, or compute one."""
        return self._answer(self._client.post(path, headers=self._headers, json=document))

    def text(self, path: str) -> str:
        """Read a thing that is no JSON: a page, a drawing."""
        response = self._client.get(path, headers=self._headers)
        if response.status_code >= 400:
            raise DemoError(f"{response.status_code}: {response.get_data(as_text=True)}")
        return response.get_data(as_text=True)

    @staticmethod
    def _answer(response: Any) -> Any:
        if response.status_code >= 400:
            raise DemoError(f"{response.status_code}: {response.get_data(as_text=True)}")
        return response.get_json()
