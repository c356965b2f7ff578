"""The editing of a line of text, without a window."""

from hypothesis import given
from hypothesis import strategies as st

from folder.window.widgets.text_edit import Editing, TextEdit

texts = st.text("ab 1.", max_size=12)
drafts = texts.flatmap(lambda t: st.builds(TextEdit, st.just(t), st.integers(0, len(t)), st.integers(0, len(t))))


@given(drafts, texts)
def test_typing_replaces_what_is_selected_and_stands_after_it(draft, text):
    start, end = draft.span
    typed = draft.typed(text, 100)
    assert draft.text[:start] + text + draft.text[end:] == typed.text
    assert start + len(text) == typed.caret == typed.anchor


@given(drafts, texts, st.integers(0, 20))
def test_typing_never_makes_a_line_longer_than_allowed(draft, text, longest):
    assert len(draft.typed(text, longest).text) <= max(longest, len(draft.text))


@given(drafts, st.sampled_from([-1, 1]), st.booleans())
def test_deleting_takes_the_selection_or_what_is_beside_the_caret(draft, step, by_word):
    left = draft.without(step, by_word)
    gone = len(draft.text) - len(left.text)
    if draft.selected:
        assert len(draft.selected) == gone
    else:
        at_end = draft.caret == (0 if step < 0 else len(draft.text))
        assert gone == 0 if at_end else gone >= 1
    assert 0 <= left.caret <= len(left.text)


@given(drafts, st.integers(-3, 20))
def test_a_double_press_selects_letters_or_signs_but_not_both(draft, place):
    word = draft.word(place).selected
    assert word in draft.text
    assert len({c.isalnum() for c in word}) <= 1


def test_word_by_word_the_caret_stops_where_words_end():
    line = TextEdit("wall 25.5 mm", 0, 0)
    stops = []
    while line.caret < len(line.text):
        line = line.to(line.beside(1))
        stops.append(line.caret)
    assert [4, 7, 9, 12] == stops


def test_control_signs_and_line_ends_are_not_typed():
    assert "ab" == TextEdit().typed("a\n\tb\0", 20).text


@given(st.lists(st.one_of(texts.map(lambda t: ("type", t)), st.just(("delete", "")), st.integers(0, 12)), max_size=20))
def test_undo_leads_back_to_the_start_and_redo_to_the_end(steps):
    editing = Editing("25")
    editing.start("25")
    for step in steps:
        if isinstance(step, int):
            editing.change(editing.draft.to(step), "caret")
        elif step[0] == "type":
            editing.change(editing.draft.typed(step[1], 40), "type")
        else:
            editing.change(editing.draft.without(-1), "delete")
    end = editing.draft.text
    for _ in range(len(steps) + 1):
        editing.undo()
    assert "25" == editing.draft.text
    for _ in range(len(steps) + 1):
        editing.redo()
    assert end == editing.draft.text


def test_a_run_of_letters_is_one_step_to_undo():
    editing = Editing("")
    editing.start("")
    for c in "plain tray":
        editing.change(editing.draft.typed(c, 40), "type")
    editing.undo()
    assert "plain " == editing.draft.text
    editing.undo()
    assert "" == editing.draft.text
