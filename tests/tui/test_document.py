"""Undo, redo and what is saved, without a screen."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule

from model.design import Design
from tui.document import Document

FIRST = Design(name="first")


def named(name):
    return replace(FIRST, name=name)


def test_a_fresh_document_has_nothing_to_undo():
    document = Document.of(FIRST)
    assert not document.dirty
    assert document.undo() is None and document.redo() is None
    assert document.design is FIRST


def test_undo_gives_back_the_very_same_design_and_tells_its_title():
    document = Document.of(FIRST)
    second = named("second")
    assert document.edit(second, "rename")
    assert document.dirty
    assert document.undo() == "rename"
    assert document.design is FIRST and not document.dirty
    assert document.redo() == "rename"
    assert document.design is second


def test_an_edit_that_changes_nothing_is_none():
    document = Document.of(FIRST)
    document.edit(named("second"), "rename")
    document.undo()
    assert not document.edit(named("first"), "rename to the same")
    assert document.redo() == "rename", "it has not cut off what can be done again"


def test_a_new_edit_cuts_off_what_was_undone():
    document = Document.of(FIRST)
    document.edit(named("second"), "a")
    document.undo()
    document.edit(named("third"), "b")
    assert document.redo() is None
    assert document.undo() == "b" and document.design is FIRST


def test_saved_is_where_it_was_saved():
    document = Document.of(FIRST)
    document.edit(named("second"), "a")
    document.mark_saved()
    assert not document.dirty
    document.undo()
    assert document.dirty
    document.redo()
    assert not document.dirty


def test_the_journal_gets_every_design_that_becomes_current():
    kept = []
    document = Document.of(FIRST, kept.append)
    second, third = named("second"), named("third")
    document.edit(second, "a")
    document.edit(third, "b")
    document.undo()
    document.redo()
    document.edit(third, "nothing")
    document.undo()
    assert kept == [second, third, second, third, second]


@pytest.mark.parametrize("act", ["edit", "undo", "redo"])
def test_what_the_journal_could_not_keep_has_not_happened(act):
    document = Document.of(FIRST)
    document.edit(named("second"), "a")
    document.edit(named("third"), "b")
    document.undo()
    before = (document.design, [*document.past], [*document.future])

    def full(_design):
        raise OSError("no space left")

    document.keep = full
    with pytest.raises(OSError, match="no space"):
        document.edit(named("fourth"), "c") if act == "edit" else getattr(document, act)()
    assert (document.design, document.past, document.future) == before


@given(st.lists(st.sampled_from(["a", "b", "c", "d"]), max_size=12), st.integers(0, 12))
def test_redo_after_undo_is_as_if_nothing_was_done(names, back):
    document = Document.of(FIRST)
    for name in names:
        document.edit(named(name), name)
    there, past = document.design, [*document.past]
    undone = [document.undo() for _ in range(min(back, len(past)))]
    redone = [document.redo() for _ in undone]
    assert redone == undone[::-1]
    assert document.design is there and document.past == past and document.future == []


class History(RuleBasedStateMachine):
    """Against the plainest history there is: a list of versions and a position in it."""

    def __init__(self):
        super().__init__()
        self.kept = [FIRST]
        self.document = Document.of(FIRST, self.kept.append)
        self.versions, self.at, self.saved = [FIRST], 0, FIRST

    @rule(name=st.sampled_from(["first", "second", "third"]))
    def edit(self, name):
        changed = name != self.versions[self.at].name
        assert self.document.edit(named(name), f"to {name}") == changed
        if changed:
            self.versions = [*self.versions[: self.at + 1], named(name)]
            self.at += 1

    @precondition(lambda self: self.at > 0)
    @rule()
    def undo(self):
        assert self.document.undo() == f"to {self.versions[self.at].name}"
        self.at -= 1

    @precondition(lambda self: self.at < len(self.versions) - 1)
    @rule()
    def redo(self):
        self.at += 1
        assert self.document.redo() == f"to {self.versions[self.at].name}"

    @rule()
    def save(self):
        self.document.mark_saved()
        self.saved = self.versions[self.at]

    @invariant()
    def is_where_the_plain_history_is(self):
        assert self.document.design == self.versions[self.at] == self.kept[-1]
        assert len(self.document.past) == self.at
        assert len(self.document.future) == len(self.versions) - 1 - self.at
        assert self.document.dirty == (self.versions[self.at] != self.saved)


TestHistory = History.TestCase
