"""A layer's path becomes an opened source, whichever kind of file it is."""

from geo_scout.layers.csv_files import CSV_SUFFIXES, open_csv
from geo_scout.layers.noticed import LayerRefused
from geo_scout.layers.ogr_files import open_ogr
from geo_scout.layers.sources import Source
from geo_scout.model.season import LayerTable, Season


def open_source(season: Season, table: LayerTable) -> Source:
    """Return the opened file of a vector layer.

    Raises
    ------
    LayerRefused
        There is no such file, or it cannot be read as a vector layer.
    """
    path = season.file_of(table.path)
    if not path.exists():
        what = f"there is no file '{table.path}' in the season file's folder."
        raise LayerRefused(
            what, code="file-missing", fix="Check the spelling of `path`, or put the file there."
        )
    if path.suffix.lower() in CSV_SUFFIXES:
        return open_csv(path, table)
    return open_ogr(path, table)
