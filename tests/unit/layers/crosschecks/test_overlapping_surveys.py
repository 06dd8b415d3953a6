import shapely


def test_shared_ground_is_said_with_its_area(folder, told):
    """Half of a square of 100 m by 100 m: 0.5 ha; squares that only touch share none."""

    def ground(east):
        return shapely.affinity.translate(shapely.box(0, 0, 100, 100), 500_000 + east, 5_205_000)

    folder.write(
        "infestations",
        [ground(0), ground(50), ground(150), ground(1000)],
        crs=32612,
        id=["A", "B", "C", "D"],
        host="ashthorn",
        cover=1.0,
        survey_date=["2024-06-01", "2025-06-01", "2025-06-01", "2025-06-01"],
    )
    # A grid metre of UTM is 0.9996 m on the ground at the central meridian: 5,000 m2 / 0.9996^2 = 0.5004 ha.
    assert told(folder.read(), "surveys-overlap") == (
        "note: layers.infestations\n"
        "  two surveys of one host, A and B, share 0.5004 ha.\n"
        "  Fix: Nothing, if they are surveys of different years: the newer keeps the ground, on one day the earlier "
        "row."
    )


def test_other_hosts_may_share_ground(folder, found):
    folder.agents = [("stem weevil", "ashthorn"), ("leaf beetle", "brindlebell")]
    folder.write("infestations", [folder.square(), folder.square()], host=["ashthorn", "brindlebell"],
                 cover=[1.0, 2.0], survey_date="2025-06-01")  # fmt: skip
    assert found(folder.read(), "surveys-overlap") == []
