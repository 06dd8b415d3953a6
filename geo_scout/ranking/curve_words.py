"""A value curve in words, with every number that is needed to do it again."""

from geo_scout.model.criteria import Curve


def curve_words(curve: Curve) -> str:
    """Return the shape and the limits of a curve.

    >>> curve_words(Curve.model_validate({"shape": "s_shaped", "from": 1, "to": 5, "direction": "falling"}))
    's_shaped falling from 1 to 5'
    >>> curve_words(Curve.model_validate({"shape": "steps", "limits": [8, 15], "levels": [1, 0.6, 0]}))
    'steps falling 1 below 8, 0.6 from 8, 0 from 15'
    """
    if curve.shape == "plateau":
        return (
            f"plateau from {curve.start:g}, full {curve.full_from:g} to {curve.full_to:g}, to {curve.end:g}"
        )
    if curve.shape == "steps":
        return f"steps{_trend(curve.levels or ())} {_steps(curve)}"
    way = f" {curve.direction or 'rising'}" if curve.shape == "s_shaped" else ""
    return f"{curve.shape}{way} from {curve.start:g} to {curve.end:g}"


def _trend(levels: tuple[float, ...]) -> str:
    """Return whether the steps go one way; nothing is said of steps that go up and down."""
    if list(levels) == sorted(levels):
        return " rising"
    return " falling" if list(levels) == sorted(levels, reverse=True) else ""


def _steps(curve: Curve) -> str:
    limits, levels = curve.limits or (), curve.levels or ()
    later = [f"{level:g} from {limit:g}" for limit, level in zip(limits, levels[1:], strict=True)]
    return ", ".join([f"{levels[0]:g} below {limits[0]:g}", *later])
