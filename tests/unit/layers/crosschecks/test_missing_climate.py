import numpy as np


def test_variables_that_no_band_holds(folder, told):
    folder.write_raster("bioclim", np.full((2, 2, 2), 20.0), descriptions=("bio05", "bio12"))
    assert told(folder.read(), "variable-absent") == (
        "caution: layers.bioclim\n"
        "  the climate gap compares bio06, which no band holds.\n"
        "  Fix: Add the bands, or compare others: variables under [climate] or in the agent's profile."
    )


def test_a_month_raster_without_its_companions(folder, told, found):
    folder.write_raster("tmin", np.full((12, 2, 2), 1.0))
    assert told(folder.read(), "climate-incomplete") == (
        "caution: layers.tmin\n"
        "  the season has no tmax and no precipitation, so there is no climate gap.\n"
        "  Fix: Add [layers.tmax]. Add [layers.precipitation]."
    )
    folder.write_raster("tmax", np.full((12, 2, 2), 11.0))
    folder.write_raster("precipitation", np.full((12, 2, 2), 30.0))
    assert found(folder.read(), "climate-incomplete") == []
