"""Infestations cut at district boundaries; squares of one hectare on districts drawn beside them."""

import shapely

from geo_scout.sites.districts import split_by_district


def district(frames, shape, name, jurisdiction="State"):
    return frames.row(shape, district=name, jurisdiction=jurisdiction)


def split(frames, weeds, districts):
    """Return (id, district, jurisdiction, hectares) of every piece in order."""
    boundaries = None if districts is None else frames.layer("boundaries", districts)
    pieces = split_by_district(frames.layer("infestations", weeds), boundaries)
    assert pieces.index.tolist() == list(range(len(pieces)))
    assert pieces.crs == frames.PLANE
    return [
        (one.id, one.district, one.jurisdiction, round(one.geometry.area / 1e4, 9))
        for one in pieces.itertuples()
    ]


def test_a_straddling_infestation_is_cut_and_the_others_stay_whole(frames):
    weeds = [frames.row(frames.square(west), id=name) for west, name in ((0, "w"), (930, "x"), (1500, "e"))]
    districts = [
        district(frames, shapely.box(-100, -100, 1000, 500), "West", "North State"),
        district(frames, shapely.box(1000, -100, 2000, 500), "East", "South State"),
    ]
    assert split(frames, weeds, districts) == [
        ("w", "West", "North State", 1.0),
        ("x", "West", "North State", 0.7),
        ("x", "East", "South State", 0.3),
        ("e", "East", "South State", 1.0),
    ]


def test_ground_outside_every_district_has_none(frames):
    weeds = [frames.row(frames.square(-50), id="half"), frames.row(frames.square(5000), id="far")]
    assert split(frames, weeds, [district(frames, frames.square(0, -200, 1000), "D")]) == [
        ("half", "", "", 0.5),
        ("half", "D", "State", 0.5),
        ("far", "", "", 1.0),
    ]


def test_a_hole_in_the_infestation_stays_a_hole(frames):
    ring = frames.square(0, 0, 300).difference(frames.square(100, 100, 100))
    left, right = shapely.box(-10, -10, 150, 400), shapely.box(150, -10, 400, 400)
    pieces = split(
        frames, [frames.row(ring, id="ring")], [district(frames, left, "L"), district(frames, right, "R")]
    )
    assert pieces == [("ring", "L", "State", 4.0), ("ring", "R", "State", 4.0)]


def test_a_district_with_a_hole_does_not_hold_what_lies_in_it(frames):
    doughnut = frames.square(-500, -500, 1200).difference(frames.square(-10, -10, 200))
    assert split(frames, [frames.row(frames.square(0), id="a")], [district(frames, doughnut, "D")]) == [
        ("a", "", "", 1.0)
    ]


def test_where_districts_overlap_the_first_in_the_file_holds_the_ground(frames):
    weeds = [frames.row(frames.square(0), id="a")]
    part = district(frames, frames.square(-1000, 0, 1040), "part")  # the western 40 m
    all_of_it = district(frames, frames.square(-500, -500, 2000), "all")
    also_all = district(frames, frames.square(-600, -600, 3000), "also all")
    assert split(frames, weeds, [all_of_it, part, also_all]) == [("a", "all", "State", 1.0)]
    assert split(frames, weeds, [also_all, all_of_it, part]) == [("a", "also all", "State", 1.0)]
    assert split(frames, weeds, [part, all_of_it]) == [
        ("a", "part", "State", 0.4),
        ("a", "all", "State", 0.6),
    ]


def test_touching_the_next_district_is_not_lying_in_it(frames):
    districts = [
        district(frames, frames.square(100, -500, 1000), "next"),
        district(frames, frames.square(-900, -500, 1000), "own"),
    ]
    assert split(frames, [frames.row(frames.square(0), id="a")], districts) == [("a", "own", "State", 1.0)]


def test_many_districts_lose_no_ground(frames):
    stripes = [
        district(frames, shapely.box(west, -50, west + 17, 400), f"D{west}") for west in range(-34, 340, 17)
    ]
    circle = shapely.Point(150, 150).buffer(149)
    pieces = split(frames, [frames.row(circle, id="c")], stripes)
    assert len(pieces) == 18
    assert abs(sum(piece[3] for piece in pieces) - circle.area / 1e4) < 18e-4  # a crumb is below 1 m2


def test_a_single_plant_on_the_line_belongs_to_both_districts(frames):
    plant = shapely.box(-0.5, 0, 0.5, 0.5)
    districts = [
        district(frames, frames.square(-100, -50), "W"),
        district(frames, frames.square(0, -50), "E"),
    ]
    assert split(frames, [frames.row(plant, id="p")], districts) == [
        ("p", "W", "State", 0.000025),
        ("p", "E", "State", 0.000025),
    ]


def test_without_boundaries_district_and_jurisdiction_are_blank(frames):
    weeds = [frames.row(frames.square(0), id="a")]
    assert split(frames, weeds, None) == [("a", "", "", 1.0)]
    assert split(frames, weeds, []) == [("a", "", "", 1.0)]
    assert split(frames, [], [district(frames, frames.square(0), "D")]) == []
