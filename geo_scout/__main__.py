"""``python -m geo_scout`` is ``geo-scout``."""

from geo_scout.cli import main

if __name__ == "__main__":
    main()
