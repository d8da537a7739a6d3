"""Papers as CSV: read back by a second reader, figure for figure."""

import csv
from io import StringIO

import pytest

from model.design import Design
from model.record.papers import as_csv, label_strip
from model.wiring.papers import PAPERS, Column, Job, Paper
from tests.model.wiring.circuits import one_circuit, random_tree
from tests.model.wiring.jobs import circuit_plan, wiring_plan

JOB = Job(
    wiring_plan(circuit_plan(random_tree(5, 12)), circuit_plan(one_circuit(name='Pump, "left"\nand right'))), Design()
)


@pytest.mark.parametrize("name", PAPERS)
def test_every_paper_survives_the_way_through_a_file(name):
    text = as_csv(PAPERS[name], JOB)
    assert list(csv.reader(StringIO(text, newline=""))) == PAPERS[name].table(JOB)
    assert text.endswith("\r\n") and text.encode("utf-8").decode("utf-8") == text  # RFC 4180, 2.1


def test_pandas_reads_the_same_figures():
    import pandas

    frame = pandas.read_csv(StringIO(as_csv(PAPERS["schedule"], JOB), newline=""))
    rows = PAPERS["schedule"].rows(JOB)
    assert list(frame["Cable"]) == [row.id for row in rows]
    assert list(frame["Cut length (m)"]) == pytest.approx([row.cut_m for row in rows], abs=0.005)


def test_formulas_of_other_people_stay_text():
    paper = Paper(
        "x", "X", "x.csv", (Column("real", "Real"), Column("name", "Name")), lambda job: [Row("=HYPERLINK(1)", -2.5)]
    )
    assert as_csv(paper, JOB) == "Real,Name\r\n-2.50,'=HYPERLINK(1)\r\n"


class Row:
    def __init__(self, name, real):
        self.name, self.real = name, real


def test_a_label_a_line():
    lines = label_strip(JOB).splitlines()
    assert lines == [label.text for label in PAPERS["labels"].rows(JOB)]
