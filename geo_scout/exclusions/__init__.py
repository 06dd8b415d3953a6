"""Hard limits: each module turns one limit into exclusions with a sentence and a way back."""

from geo_scout.exclusions.book import SiteBook, book_of
from geo_scout.exclusions.menu import exclude_all
from geo_scout.exclusions.spacing import exclude_too_close

__all__ = ["SiteBook", "book_of", "exclude_all", "exclude_too_close"]
