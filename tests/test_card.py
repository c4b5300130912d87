"""A cell run again closes the card that it showed before, and nothing else."""

from types import SimpleNamespace

import pytest
from ipywidgets.widgets.widget import _instances

from splashkit import card, exercises, panels
from splashkit.exercises.boxes import QuestionBox


@pytest.fixture
def run(monkeypatch):
    """Show what a cell gives, as its run number so and so."""
    monkeypatch.setattr(card, "_shown", {})

    def show(shown, cell, number):
        parent = {"metadata": {"cellId": cell} if cell else {}, "header": {"msg_id": str(number)}}
        monkeypatch.setattr(card, "get_ipython", lambda: SimpleNamespace(get_parent=lambda: parent))
        shown._repr_mimebundle_()
        return shown

    return show


@pytest.mark.parametrize(
    "make", [lambda: panels.falling(), lambda: QuestionBox("06", 1, seed=1), panels.falling.legend]
)
def test_a_cell_run_again_closes_its_former_card(run, make):
    first = run(make(), "a", 1)
    before = len(_instances)
    second = run(make(), "a", 2)
    assert first.gone
    assert not second.gone
    assert len(_instances) <= before  # the second has as many widgets as the first had


def test_what_can_still_be_seen_stays(run):
    first, other, same = run(panels.falling(), "a", 1), run(panels.falling(), "b", 2), run(panels.falling(), "b", 2)
    unnamed = [run(panels.falling(), "", number) for number in (3, 4)]
    again = run(first, "a", 5)
    assert not any(one.gone for one in (first, other, same, again, *unnamed))
    first.set(height=0.3)
    assert "From 300 mm" in first.sentence


def test_a_former_panel_stays_shut_when_the_prediction_comes(run, tmp_path, monkeypatch):
    monkeypatch.setenv("SPLASHKIT_HOME", str(tmp_path))
    box = exercises.predict("06")
    former = run(panels.falling(after=box), "a", 1)
    now = run(panels.falling(after=box), "a", 2)
    box.choice.index = 0
    box.commit()
    assert former.gone
    assert not former.children
    assert not now.covered


def test_what_follows_a_former_panel_keeps_its_last_words(run):
    former = run(panels.falling(), "a", 1)
    working = run(former.working(), "b", 2)
    said = working.text
    run(panels.falling(), "a", 3)
    assert former.gone
    assert not working.gone
    assert working.text == said
