"""Clubs, brewers and keys."""

from collections.abc import Iterator

from wortwright_client.documents.amounts import Units
from wortwright_client.documents.people import BrewerDocument, Export, KeyDocument
from wortwright_client.models.people import Brewer, Club, Key, NewKey
from wortwright_client.operations.base import Operations, at


class People(Operations):
    """Operations on clubs, brewers and keys."""

    def list_clubs(
        self, *, page_size: int | None = None, units: Units | None = None
    ) -> Iterator[Club]:
        """List the clubs that the key sees: its own."""
        return self._list(Club, at("clubs"), {"limit": page_size, "units": units})

    def get_club(self, club_id: str, *, units: Units | None = None) -> Club:
        """Give the key's club."""
        return self._get(Club, at("clubs", club_id), {"units": units})

    def create_brewer(self, brewer: BrewerDocument, *, units: Units | None = None) -> Brewer:
        """Take a brewer into the club."""
        return self._post(Brewer, at("brewers"), brewer, {"units": units})

    def list_brewers(
        self, *, page_size: int | None = None, units: Units | None = None
    ) -> Iterator[Brewer]:
        """List the brewers that the key sees: the club's, or its own."""
        return self._list(Brewer, at("brewers"), {"limit": page_size, "units": units})

    def get_brewer(self, brewer_id: str, *, units: Units | None = None) -> Brewer:
        """Give a brewer."""
        return self._get(Brewer, at("brewers", brewer_id), {"units": units})

    def replace_brewer(
        self,
        brewer_id: str,
        brewer: BrewerDocument,
        *,
        etag: str | None,
        units: Units | None = None,
    ) -> Brewer:
        """Change a brewer's name or units."""
        return self._put(Brewer, at("brewers", brewer_id), brewer, etag, {"units": units})

    def delete_brewer(self, brewer_id: str, *, etag: str | None) -> None:
        """Delete a brewer with all setups, recipes, sessions, scalings and keys of theirs."""
        self._delete(at("brewers", brewer_id), etag)

    def export_brewer(self, brewer_id: str, *, units: Units | None = None) -> Export:
        """Give everything of a brewer as one document: all but the keys."""
        path = at("brewers", brewer_id, "export")
        return self._connection.send("GET", path, query={"units": units}).document

    def import_brewer(self, export: Export, *, units: Units | None = None) -> Brewer:
        """Take in everything of a brewer, under the ids it had; none of them may be taken here."""
        return self._post(Brewer, at("brewers", "import"), export, {"units": units})

    def create_key(self, key: KeyDocument, *, units: Units | None = None) -> NewKey:
        """Mint a key. Its text is in this answer and never again.

        Raises
        ------
        TransportError
            Also if the answer with the text was lost on the way. The error names the key: revoke
            it, and mint another.
        """
        return self._post(NewKey, at("keys"), key, {"units": units})

    def list_keys(
        self, *, page_size: int | None = None, units: Units | None = None
    ) -> Iterator[Key]:
        """List the keys of the club, the revoked ones too."""
        return self._list(Key, at("keys"), {"limit": page_size, "units": units})

    def get_key(self, key_id: str, *, units: Units | None = None) -> Key:
        """Give a key, without its text."""
        return self._get(Key, at("keys", key_id), {"units": units})

    def revoke_key(self, key_id: str) -> None:
        """Revoke a key: it opens nothing from now on, but stays listed."""
        self._delete(at("keys", key_id))
