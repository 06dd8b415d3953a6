from geo_scout.exclusions.permission import exclude_refused


def test_refused_ground_is_left_out_of_both_rankings(books):
    for role in ("release", "source"):
        [found] = exclude_refused(books.book(books.site(permission="no"), role=role))
        assert (found.agent, found.role, found.site_id) == ("stem weevil", role, "A-1")
        assert found.code == "permission-refused"
        assert found.sentence == "the manager refused permission."
        assert found.remedy == "Permission in writing would bring it back."
        assert (found.measured, found.limit, found.unit) == (None, None, "")


def test_unknown_permission_and_granted_permission_do_not_exclude(books):
    book = books.book(books.site("A-1", permission="unknown"), books.site("A-2", permission="yes"))
    assert list(exclude_refused(book)) == []
