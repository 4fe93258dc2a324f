"""Results of a trial: sheets to print, results typed or from a file, a look along the way, and the key."""

from __future__ import annotations

from collections.abc import Callable

import ipywidgets as w

from maker_kit.workbook import trial_desk as desk
from maker_kit.workbook.panels.call import CallPanel, keep_button
from maker_kit.workbook.panels.controls import dropdown, field, look, row, text_box
from maker_kit.workbook.panels.trial.looked import Looked, kept_said
from maker_kit.workbook.paper.papers import PAPERS
from maker_kit.workbook.shown import trial as shown
from maker_kit.workshop import Workshop


def results_part(panel: Looked) -> w.VBox:
    """Sheets to print, results typed or from a file, a look, and the key."""
    typed = field(
        "results",
        placeholder="one a line: 1 = 417 (taster = code), or 1 509 = 41 (pair code = value)",
        rows=5,
        **look(),
    )
    file = field("or a CSV file", placeholder="headings: place, code, value, note")
    why = field("reason", placeholder="why a result is corrected")
    folder = field("print into", placeholder="empty for the workshop's folder paper")
    paper = dropdown("paper", PAPERS, "A4")
    fault, said = text_box("maker-trial-results-fault"), text_box("maker-trial-results-said")
    inside = CallPanel(
        "maker-trial-results", (panel.which, panel.trial), lambda: {"words": shown.entries_sheet(panel.run)}, rows=[]
    )

    def act(change: Callable[[], Workshop], words: str) -> Callable[[], str]:
        def call() -> str:
            after = change()
            panel.take(after)
            inside.redraw()
            typed.value = ""
            return f"{words} {kept_said(after)}"

        return call

    def look_now() -> str:
        after, told = desk.look_now(panel.shop, panel.trial.value)
        panel.take(after)
        return f"This look says: {told}. The key stays closed. {kept_said(after)}"

    def sheets() -> str:
        written = desk.print_sheets(panel.shop, panel.trial.value, folder.value, paper.value)
        return f"written: {' and '.join(map(str, written))}; print at 100 %"

    def enter() -> Workshop:
        if file.value.strip():
            return desk.enter_file(panel.shop, panel.trial.value, file.value.strip())
        if not typed.value.strip() and panel.run is not None and panel.run.typed_by_hand:
            return desk.enter_typed(panel.shop, panel.trial.value)
        return desk.enter_results(panel.shop, panel.trial.value, typed.value)

    def key() -> Workshop:
        return desk.open_key(panel.shop, panel.trial.value)

    def mend() -> Workshop:
        return desk.correct_result(panel.shop, panel.trial.value, typed.value, why.value)

    buttons = {
        "enter": keep_button("enter these results", act(enter, "entered."), fault, said),
        "correct": keep_button("correct these results", act(mend, "corrected; the old ones are kept."), fault, said),
        "look": keep_button("look along the way", look_now, fault, said),
        "key": keep_button("open the key", act(key, "The key is open: no result is taken any more."), fault, said),
        "print": keep_button("print sheets and key", sheets, fault, said),
    }
    for what, made in buttons.items():
        made.add_class(f"maker-trial-{what}")
    left = w.VBox(
        [
            typed,
            file,
            row([buttons["enter"], buttons["look"], buttons["key"]]),
            row([why, buttons["correct"]]),
            row([folder, paper, buttons["print"]]),
            fault,
            said,
        ]
    )
    return w.VBox([left, inside], layout={"width": "100%"})
