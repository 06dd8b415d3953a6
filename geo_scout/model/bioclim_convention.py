"""Which of the published conventions the nineteen bioclimatic variables follow."""

from dataclasses import dataclass
from typing import Literal

Divisor = Literal["n - 1", "n"]
Quarters = Literal["wrapped", "within_year", "calendar"]

_QUARTER_WORDS: dict[Quarters, str] = {
    "wrapped": "any three months in a row, also across New Year",
    "within_year": "any three months in a row from January to December",
    "calendar": "January-March, April-June, July-September, October-December",
}
_QUARTER_STARTS: dict[Quarters, tuple[int, ...]] = {
    "wrapped": tuple(range(12)),
    "within_year": tuple(range(10)),
    "calendar": (0, 3, 6, 9),
}


@dataclass(frozen=True, slots=True)
class BioclimConvention:
    """The choices in which published programs differ; values of two conventions must not be compared.

    Parameters
    ----------
    divisor
        What the sum of squares is divided by in bio04 and bio15.
    precipitation_plus_one
        Whether bio15 uses precipitation + 1 mm, which keeps it finite where it never rains.
    quarters
        Which three months may be a quarter. Only ``wrapped`` treats the two hemispheres alike: December
        to February is the southern summer and the northern winter.

    Notes
    -----
    By default quarters and precipitation + 1 mm follow O'Donnell & Ignizio 2012 (USGS Data Series 691);
    n - 1 is our choice, since published codes use either.
    """

    divisor: Divisor = "n - 1"
    precipitation_plus_one: bool = True
    quarters: Quarters = "wrapped"

    def __post_init__(self) -> None:
        """Refuse a choice that does not exist."""
        if self.divisor not in ("n - 1", "n") or self.quarters not in _QUARTER_WORDS:
            message = f"no such convention: divisor {self.divisor!r}, quarters {self.quarters!r}"
            raise ValueError(message)

    @property
    def ddof(self) -> int:
        """Return what is taken off n in standard deviations."""
        return 1 if self.divisor == "n - 1" else 0

    @property
    def quarter_starts(self) -> tuple[int, ...]:
        """Return the first month of each quarter, January = 0."""
        return _QUARTER_STARTS[self.quarters]

    @property
    def words(self) -> str:
        """Return the convention as one phrase for the record of a run.

        >>> BioclimConvention().words.split(";")[0]
        'standard deviations divide by n - 1'
        """
        rain = "precipitation + 1 mm" if self.precipitation_plus_one else "precipitation as it is"
        return (
            f"standard deviations divide by {self.divisor}; bio15 uses {rain}; "
            f"quarters are {_QUARTER_WORDS[self.quarters]}"
        )


STANDARD = BioclimConvention()
