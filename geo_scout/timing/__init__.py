"""When windows open and close at each site: by heat, by the calendar, by what is to be seen, or unknown."""

from geo_scout.timing.windows import site_windows

__all__ = ["site_windows"]
