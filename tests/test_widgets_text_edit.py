"""The editing of a line of text, without a window."""

from hypothesis import given
from hypothesis import strategies as st

from folder.window.widgets.text_edit import Editing, TextEdit

texts = st.text("ab 1.", max_size=12)
drafts = texts.flatmap(lambda t: st.builds(TextEdit, st.just(t), st.integers(0, len(t)), st.integers(0, len(t))))


@given(drafts, texts)
def test_typing_replaces_what_is_selected_and_stands_after_it(text_edit, text):
    start, end = text_edit.span
    typed = text_edit.typed(text, 100)
    assert text_edit.text[:start] + text + text_edit.text[end:] == typed.text
    assert start + len(text) == typed.caret == typed.anchor


@given(drafts, texts, st.integers(0, 20))
def test_typing_never_makes_a_line_longer_than_allowed(text_edit, text, longest):
    assert len(text_edit.typed(text, longest).text) <= max(longest, len(text_edit.text))


@given(drafts, st.sampled_from([-1, 1]), st.booleans())
def test_deleting_takes_the_selection_or_what_is_beside_the_caret(text_edit, step, by_word):
    left = text_edit.without(step, by_word)
    gone = len(text_edit.text) - len(left.text)
    if text_edit.selected:
        assert len(text_edit.selected) == gone
    else:
        at_end = text_edit.caret == (0 if step < 0 else len(text_edit.text))
        assert gone == 0 if at_end else gone >= 1
    assert 0 <= left.caret <= len(left.text)


@given(drafts, st.integers(-3, 20))
def test_a_double_press_selects_letters_or_signs_but_not_both(text_edit, place):
    word = text_edit.word(place).selected
    assert word in text_edit.text
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
            editing.change(editing.text_edit.to(step), "caret")
        elif step[0] == "type":
            editing.change(editing.text_edit.typed(step[1], 40), "type")
        else:
            editing.change(editing.text_edit.without(-1), "delete")
    end = editing.text_edit.text
    for _ in range(len(steps) + 1):
        editing.undo()
    assert "25" == editing.text_edit.text
    for _ in range(len(steps) + 1):
        editing.redo()
    assert end == editing.text_edit.text


def test_a_run_of_letters_is_one_step_to_undo():
    editing = Editing("")
    editing.start("")
    for c in "plain tray":
        editing.change(editing.text_edit.typed(c, 40), "type")
    editing.undo()
    assert "plain " == editing.text_edit.text
    editing.undo()
    assert "" == editing.text_edit.text
