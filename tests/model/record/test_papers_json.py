"""The papers of the job in the JSON: the same cables as in the circuits, the same labels as on the list."""

import json

from model.plan import plan
from model.record.as_json import as_dict
from model.record.files import open_design
from model.record.papers import job_of
from model.record.start import starter
from model.shelf import FOLDER
from model.wiring.papers import PAPERS
from model.wiring.papers.labels import label_lines


def test_cables_and_labels_of_the_demonstration():
    made = plan(open_design(FOLDER / "heron.toml").design)
    wiring = json.loads(json.dumps(as_dict(made), allow_nan=False))["wiring"]
    runs = [run for circuit in wiring["circuits"] for run in circuit["runs"]]
    assert [cable["id"] for cable in wiring["cables"]] == [run["id"] for run in runs]
    for cable, run in zip(wiring["cables"], runs, strict=True):
        assert (cable["from"], cable["to"], cable["awg"]) == (run["from"], run["to"], run["awg"] or "")
        assert (cable["area_mm2"], cable["routed_m"], cable["load_a"]) == (
            run["area_mm2"],
            run["length_m"],
            run["current_a"],
        )
    assert [label["text"] for label in wiring["labels"]] == list(label_lines(made.wiring))
    assert {label["cable"] for label in wiring["labels"]} <= {cable["id"] for cable in wiring["cables"]}
    assert len(runs) > 5


def test_a_design_without_circuits_has_papers_too():
    job = job_of(plan(starter()))
    assert all(paper.table(job) for paper in PAPERS.values())
