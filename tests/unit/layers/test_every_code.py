import re
from pathlib import Path

import geo_scout.layers

_CODE = re.compile(r'(?:Why\(\s*|\.say\(\s*|code=|return \(|remarks\.append\(\(|\(\()"([a-z]+(?:-[a-z]+)+)"')


def test_every_code_of_a_finding_is_tested():
    source = Path(geo_scout.layers.__file__).parent
    codes = {
        code for file in source.rglob("*.py") for code in _CODE.findall(file.read_text(encoding="utf-8"))
    }
    assert len(codes) > 50
    tests = "".join(file.read_text(encoding="utf-8") for file in Path(__file__).parent.rglob("test_*.py"))
    assert {code for code in codes if f'"{code}"' not in tests} == set()
