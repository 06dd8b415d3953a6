import runpy

import pytest


@pytest.fixture(scope="module")
def faults(project_root):
    return runpy.run_path(str(project_root / ".ci" / "planted_faults.py"))["FAULTS"]


def test_the_line_of_every_fault_stands_once_in_its_file(faults, project_root):
    texts = {one.file: (project_root / "geo_scout" / one.file).read_text(encoding="utf-8") for one in faults}
    assert [one.name for one in faults if texts[one.file].count(one.right) != 1] == []


def test_the_tests_of_every_fault_are_there(faults, project_root):
    missing = []
    for one in faults:
        path, _, name = one.tests.partition("::")
        asked = project_root / path
        if not asked.exists() or (name and f"def {name}(" not in asked.read_text(encoding="utf-8")):
            missing.append(one.name)
    assert missing == []
