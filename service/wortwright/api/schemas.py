"""The two kinds of schema: strict ones for what comes in, open ones for what goes out."""

from typing import Any, ClassVar

from marshmallow import EXCLUDE, RAISE, Schema, post_load

from wortwright.api.refusal import Refusal

_OF_EVERY_FIELD = {"required": "This field is needed.", "null": "null is not accepted here."}


class InSchema(Schema):
    """What a client sends. Unknown fields are refused by name.

    A subclass names in ``record`` the data class that is built from what was loaded; lists
    become tuples, absent fields take the data class's defaults.
    """

    class Meta:
        """Publishes ``additionalProperties: false``."""

        unknown = RAISE

    record: ClassVar[type[Any] | None] = None

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        names = sorted(field.data_key or name for name, field in self.load_fields.items())
        self.error_messages = {
            **self.error_messages,
            "unknown": Refusal("Unknown field.", names),
            "type": Refusal("An object is needed.", ["an object"]),
        }
        for field in self.load_fields.values():
            field.error_messages = {**field.error_messages, **_OF_EVERY_FIELD}

    @post_load
    def build(self, data: dict[str, Any], **_: Any) -> Any:
        """Build the record, if there is one."""
        if self.record is None:
            return data
        return self.record(**{k: tuple(v) if isinstance(v, list) else v for k, v in data.items()})


class OutSchema(Schema):
    """What the service answers; left open, so that a field can be added later."""

    class Meta:
        """Publishes no ``additionalProperties``."""

        unknown = EXCLUDE

    def get_attribute(self, obj: Any, attr: str, default: Any) -> Any:
        """Take a record's attribute as one: marshmallow would first look for an item."""
        if "." in attr or isinstance(obj, dict):
            return super().get_attribute(obj, attr, default)
        return getattr(obj, attr, default)
