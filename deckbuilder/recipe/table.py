"""A checked table: the base of every table of a recipe that is checked."""

from dataclasses import dataclass, fields
from typing import Any, ClassVar

from pydantic import ConfigDict, model_validator


@dataclass(frozen=True)
class CheckedTable:
    """A table of a recipe: no field but those named."""

    __pydantic_config__: ClassVar[ConfigDict] = ConfigDict(extra="forbid")
    EXAMPLES: ClassVar[dict[str, object]] = {}
    """What may be written for a field that has no default."""
    PLAIN: ClassVar[type]
    """What a checked table becomes."""

    @model_validator(mode="after")
    def _became_plain(self) -> Any:
        self.check()
        return self.PLAIN(**{field.name: getattr(self, field.name) for field in fields(self)})

    def check(self) -> None:
        """Check what concerns several fields.

        Raises:
            ValueError: they do not go together.
        """
