"""The verdict line at every width: whole words or nothing, and old figures marked by a sign, not by their style alone."""

from __future__ import annotations

from textual.app import App, ComposeResult

from tui.widgets.verdict import BETWEEN, Figure, Verdict, fitting

FIGURES = (
    Figure("use", "Use 96 Ah a day", "96 Ah/day"),
    Figure("days", "autonomy 2.4 days (2 asked)", "2.4 days"),
    Figure("sun", "sun covers 41 %", "sun 41 %"),
    Figure("findings", "3 findings"),
)


def text(width: int) -> str:
    return BETWEEN.join(text for _, text in fitting(FIGURES, width))


def test_wide_enough_shows_all() -> None:
    assert text(76) == "Use 96 Ah a day · autonomy 2.4 days (2 asked) · sun covers 41 % · 3 findings"


def test_short_forms_come_first_and_figures_go_from_the_right() -> None:
    assert text(75) == "Use 96 Ah a day · autonomy 2.4 days (2 asked) · sun 41 % · 3 findings"
    assert text(60) == "Use 96 Ah a day · 2.4 days · sun 41 % · 3 findings"
    assert text(44) == "96 Ah/day · 2.4 days · sun 41 % · 3 findings"
    assert text(43) == "96 Ah/day · 2.4 days · sun 41 % · …"
    assert text(13) == "96 Ah/day · …"
    assert text(5) == "…" and text(0) == ""


def test_no_width_cuts_a_word_or_is_exceeded() -> None:
    whole = {text for figure in FIGURES for text in (figure.text, figure.short)} | {"…"}
    for width in range(100):
        assert len(text(width)) <= width
        assert {part for _, part in fitting(FIGURES, width)} <= whole


class Line(App[None]):
    def compose(self) -> ComposeResult:
        yield Verdict()


async def test_old_figures_carry_a_sign_and_a_word_and_do_not_jump() -> None:
    app = Line()
    async with app.run_test(size=(100, 4)) as pilot:
        verdict = app.query_one(Verdict)
        verdict.show(FIGURES)
        await pilot.pause()
        fresh = verdict.render_line(0).text
        verdict.stale = True
        await pilot.pause()
        old = verdict.render_line(0).text
        assert fresh.startswith(" Use 96 Ah") and old.startswith("~Use 96 Ah") and "recalculating" in old
        verdict.show(FIGURES)
        await pilot.pause()
        assert verdict.render_line(0).text == fresh


async def test_each_figure_can_be_reached_and_asked_by_keys() -> None:
    asked: list[str] = []

    class Asking(Line):
        def on_verdict_asked(self, event: Verdict.Asked) -> None:
            asked.append(event.key)

    app = Asking()
    async with app.run_test(size=(80, 4)) as pilot:
        verdict = app.query_one(Verdict)
        assert verdict.chosen is None
        verdict.show(FIGURES)
        verdict.focus()
        await pilot.press("left", "right", "enter", *["right"] * 9)
        assert asked == ["days"] and verdict.chosen == "findings"
