HEADER = ("station", "longitude_deg", "latitude_deg", "elevation_m", "date", "tmin", "tmax")


def row(station, *place, day="2026-03-01"):
    return (station, *place, day, 1, 5)


def test_a_station_at_two_places_stops(daily, said):
    rows = [row("Ford", -110, 47, 900), row("Ford", -110.2, 47, 900, day="2026-03-02")]
    weather, noticed = daily(rows, HEADER)
    assert weather is None
    assert said(noticed, "station-moves") == (
        "stop: Ford stands at more than one place or elevation. | "
        "Give a station that was moved a name of its own for each place."
    )


def test_rounding_of_a_place_is_no_move(daily, codes):
    rows = [row("Ford", -110, 47, 900), row("Ford", -110.0004, 47, 900.4, day="2026-03-02")]
    _, noticed = daily(rows, HEADER, on_map=True)
    assert codes(noticed) == []


def test_a_place_beyond_the_earth_stops(daily, said):
    _, noticed = daily([row("Ford", -110, 470, 900)], HEADER)
    assert said(noticed, "position-impossible") == (
        "stop: station Ford is at no place on Earth. | Write longitude and latitude in decimal degrees."
    )


def test_on_a_map_several_stations_need_a_place_each(daily, said, codes):
    rows = [row("Ford", -110, 47, 900), row("Pass", "", "", 2000)]
    weather, noticed = daily(rows, HEADER, on_map=True)
    assert weather is None
    assert said(noticed, "station-without-place") == (
        "stop: there are 2 stations, and nobody knows where Pass is. | Add the columns longitude_deg and latitude_deg."
    )
    weather, noticed = daily(rows, HEADER, on_map=False)
    assert weather is not None
    assert codes(noticed) == []


def test_on_a_map_one_station_may_do_without_and_what_follows_is_said(daily, said):
    weather, noticed = daily([("2026-03-01", 1, 5)], on_map=True)
    assert weather is not None
    assert said(noticed, "station-without-place") == (
        "caution: nobody knows where the station is, so how far it is from the sites is not said. | "
        "Add the columns longitude_deg and latitude_deg."
    )
    assert said(noticed, "station-without-elevation") == (
        "caution: nobody knows how high the station stands: its temperatures are used as they are at every elevation. | "
        "Add the column elevation_m; temperatures are then brought to each site's elevation."
    )


def test_a_few_rows_without_a_name_are_set_aside(daily, said):
    rows = [row("Ford", -110, 47, 900, day=f"2026-{1 + n // 28:02}-{1 + n % 28:02}") for n in range(150)]
    rows[3] = row("", -110, 47, 900, day="2026-01-04")
    weather, noticed = daily(rows, HEADER)
    assert said(noticed, "blank-value") == (
        "caution: Set aside: station is blank: 1 row of 150 (row 5). | Name the station in every row."
    )
    assert list(weather.stations.index) == ["Ford"]


def test_names_that_differ_in_capitals_and_blanks_are_one_station(daily, said):
    rows = [row("Ford  Mill", -110, 47, 900), row("ford mill", -110, 47, 900, day="2026-03-02")]
    weather, noticed = daily(rows, HEADER)
    assert list(weather.stations.index) == ["Ford  Mill"]
    assert len(weather.of("Ford  Mill")) == 2
    assert said(noticed, "station-twice") == (
        "note: 'ford mill' and 'Ford  Mill' are taken as one station. | Write its name the same in every row."
    )


def test_on_a_map_stations_at_one_spot_are_one_and_the_first_holds(daily, said):
    rows = [
        ("Ford", -110, 47, 900, "2026-03-01", 1, 5),
        ("Other", -110.0004, 47, 900.5, "2026-03-01", 8, 9),
        ("Other", -110.0004, 47, 900.5, "2026-03-02", 3, 6),
        ("Hill", -110, 47, 950, "2026-03-01", 2, 4),
    ]
    weather, noticed = daily(rows, HEADER, on_map=True)
    assert list(weather.stations.index) == ["Ford", "Hill"]
    assert weather.of("Ford")["tmin_degc"].tolist() == [1.0, 3.0]
    assert said(noticed, "station-twice") == (
        "caution: Other and Ford stand at one spot and are taken as one station, under the second name. | "
        "If they are two, give each its own coordinates or elevation."
    )
    apart, _ = daily(rows, HEADER, on_map=False)
    assert list(apart.stations.index) == ["Ford", "Other", "Hill"]
