import pytest

from geo_scout.exclusions.missing_layer import exclude_missing_layer
from geo_scout.model.columns import VECTOR_LAYERS

POLYGON_LAYERS = [name for name, kind in VECTOR_LAYERS.items() if kind.shapes == "polygons"]


def layer(name, required=True):
    return {name: {"path": f"{name}.gpkg", "required": required}}


@pytest.mark.parametrize("name", ["elevation", "tmin", "bioclim"])
def test_a_required_raster_without_a_value_leaves_out(books, name):
    book = books.book(
        books.site("A-1"), books.site("A-2"), books.site("A-3"),
        layers=layer(name), raster_share={name: [0.0, 0.01, 1.0]},
    )  # fmt: skip
    [found] = exclude_missing_layer(book)
    assert found.site_id == "A-1"
    assert found.code == "required-layer-missing"
    assert found.sentence == f"the layer {name} has no value here and is marked required."
    assert found.remedy == (
        f"A value in {name}, or required = false in [layers.{name}], would bring it back."
    )
    assert (found.measured, found.limit, found.unit) == (None, None, "")


@pytest.mark.parametrize("name", POLYGON_LAYERS)
def test_a_required_polygon_layer_that_does_not_reach_the_patch_leaves_out(books, name):
    book = books.book(books.site("A-1"), books.site("A-2"), layers=layer(name), required=[("A-2", name, 0.3)])
    assert [(one.site_id, one.code) for one in exclude_missing_layer(book)] == [
        ("A-1", "required-layer-missing")
    ]


@pytest.mark.parametrize("name", ["elevation", *POLYGON_LAYERS])
def test_a_layer_that_is_not_required_leaves_nobody_out(books, name):
    share = {"elevation": [0.0]} if name == "elevation" else None
    book = books.book(books.site(), layers=layer(name, required=False), raster_share=share)
    assert list(exclude_missing_layer(book)) == []


def test_two_required_layers_are_two_reasons(books):
    layers = layer("surveyed_areas") | layer("boundaries")
    found = list(exclude_missing_layer(books.book(books.site(), layers=layers)))
    assert sorted(one.sentence.split()[2] for one in found) == ["boundaries", "surveyed_areas"]


def test_points_and_lines_cannot_be_missing(books):
    layers = layer("releases") | layer("roads")
    assert list(exclude_missing_layer(books.book(books.site(), layers=layers))) == []
