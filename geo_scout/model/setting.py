"""How one setting is declared: default, unit, range, meaning and source in one place."""

from collections.abc import Mapping
from typing import Annotated, Any, Generic, TypeVar

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, model_validator

Value = TypeVar("Value")


class Table(BaseModel):
    """A table of a TOML file: unknown keys are mistakes, values are never coerced."""

    model_config = ConfigDict(
        extra="forbid", frozen=True, strict=True, allow_inf_nan=False, populate_by_name=True
    )


def setting(
    default: Any,
    *,
    meaning: str,
    unit: str = "",
    source: str = "",
    alias: str | None = None,
    least: float | None = None,
    most: float | None = None,
    above: float | None = None,
) -> Any:
    """Return a pydantic field that carries its own documentation.

    Parameters
    ----------
    default
        The value used when the file says nothing; ``...`` when the file must say it.
    meaning
        One sentence in the coordinator's words.
    unit
        Unit of the value, empty for text and counts.
    source
        Where the default comes from; "our choice" where there is nothing to cite.
    alias
        The key in the file where it is not a Python name.
    least, most, above
        Inclusive lower and upper limit, exclusive lower limit, in the setting's unit.
    """
    return Field(
        default,
        alias=alias,
        description=meaning,
        json_schema_extra={"unit": unit, "source": source},
        ge=least,
        le=most,
        gt=above,
    )


def table(default_factory: Any, *, meaning: str) -> Any:
    """Return a field for a whole table, made fresh when the file leaves it out."""
    return Field(default_factory=default_factory, description=meaning)


def _as_tuple(value: Any) -> Any:
    return tuple(value) if isinstance(value, list) else value


Texts = Annotated[tuple[str, ...], BeforeValidator(_as_tuple)]
Numbers = Annotated[tuple[float, ...], BeforeValidator(_as_tuple)]


class Sourced(Table, Generic[Value]):
    """A biological value and where it comes from.

    A profile writes it bare, or as ``{value = 7.5, source = "..."}``.
    """

    value: Value
    source: str = ""

    @model_validator(mode="before")
    @classmethod
    def _accept_bare(cls, given: Any) -> Any:
        return given if isinstance(given, Mapping | Sourced) else {"value": given}


class Estimate(Sourced[Value], Generic[Value]):
    """A biological value with the range it may lie in.

    A profile writes it bare, or as ``{value = 0.65, low = 0.5, high = 0.8, source = "..."}``.
    """

    low: Value | None = None
    high: Value | None = None

    @property
    def low_best_high(self) -> tuple[Value, Value, Value]:
        """Return lowest, best and highest value; without a stated range all three are the value."""
        low = self.value if self.low is None else self.low
        return low, self.value, self.value if self.high is None else self.high
