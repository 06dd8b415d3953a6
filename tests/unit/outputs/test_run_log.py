import json

from geo_scout.outputs.run_log import RunLog


def test_steps_are_heard_and_written(tmp_path):
    heard = []
    log = RunLog(heard.append)
    for name in ("reading", "ranking", "reading"):
        with log.step(name):
            pass
    log.write(tmp_path / "run_log.json")
    written = json.loads((tmp_path / "run_log.json").read_text(encoding="utf-8"))
    assert heard == ["reading", "ranking", "reading"]
    assert list(written["seconds"]) == ["reading", "ranking"]
    assert written["started"] <= written["ended"]
