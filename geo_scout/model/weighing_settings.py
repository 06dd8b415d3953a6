"""How weights may be stated: an order of importance, comparisons of two, and groups."""

from collections.abc import Mapping
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator

from geo_scout.model.criteria import OUR_CHOICE, Role
from geo_scout.model.setting import Table, Texts, setting, table

RandomIndexTable = Literal["saaty_1980", "saaty_2005"]


def _as_places(value: Any) -> Any:
    """Return an order with each place as a tuple of names, so that one name is a place by itself."""
    if not isinstance(value, list):
        return value
    return tuple((item,) if isinstance(item, str) else _as_tuple(item) for item in value)


def _as_tuple(value: Any) -> Any:
    return tuple(value) if isinstance(value, list) else value


Places = Annotated[tuple[tuple[str, ...], ...], BeforeValidator(_as_places)]


class Judgement(Table):
    """One comparison of two."""

    more: str = setting(..., meaning="name of the one")
    than: str = setting(..., meaning="name of the other")
    times: float = setting(
        ...,
        meaning="how many times as important the first is: 1 the same, 3 somewhat, 5 clearly, 7 much, 9 "
        "overwhelmingly more; below 1 where it is less",
        source="the scale of Saaty 1980",
        least=0.11,
        most=9.0,
    )


class Weighed(Table):
    """What an order or judgements are about: criteria, or groups of them."""

    order: Places | None = setting(
        None,
        meaning="names from the most important to the least; a list inside holds equally important ones; the "
        "weights are the rank-order centroid (Barron & Barrett 1996)",
    )
    judgements: list[Judgement] | None = setting(
        None,
        meaning="every pair compared once; the weights are the principal eigenvector (Saaty 1980)",
    )


class GroupTable(Weighed):
    """Criteria that are weighed among themselves."""

    criteria: Texts = setting(..., meaning="criteria of the group; each criterion in use is in one group")
    weight: float = setting(
        1.0,
        meaning="importance relative to the other groups, where these are neither ordered nor compared",
        least=0.0,
        source=OUR_CHOICE,
    )


class RoleWeights(Weighed):
    """How the weights of one ranking are stated."""

    random_index: RandomIndexTable = setting(
        "saaty_1980",
        meaning="table of random indices behind the consistency ratio: saaty_1980 reaches to 10 names, "
        "saaty_2005 to 15",
    )
    groups: Mapping[str, GroupTable] = table(
        dict,
        meaning="[weights.ROLE.groups.NAME]; order and judgements of [weights.ROLE] then speak of groups",
    )


class WeightsTables(Table):
    """How the weights of the two rankings are stated; without a table the weight of each criterion counts."""

    release: RoleWeights | None = setting(None, meaning="weights of the criteria for release sites")
    source: RoleWeights | None = setting(None, meaning="weights of the criteria for collection sources")

    def of(self, role: Role) -> RoleWeights | None:
        """Return how the weights of a role are stated; None where each criterion states its own."""
        return self.release if role == "release" else self.source
