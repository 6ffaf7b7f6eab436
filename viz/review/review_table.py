"""The review card as a file: every criterion and main number, each change attributed."""

from typing import Any

from kinematics.limits.attribution import LadderAttribution
from viz.csv_text import Cell, csv_text
from viz.limits.limit_board import CAUTION
from viz.review.review_card import RULE, card_attributions, card_limits, card_message


def review_csv(question: str, attribution: LadderAttribution) -> str:
    """Return the card as comma-separated values, the rule and the caution as its last rows."""
    card = card_message(attribution.a, attribution.b)
    found = card_attributions(attribution)
    by = [f"By {own['label']} {own['by']}" for own in card["differences"]]
    head = ["Group", "Part", "Quantity", "A", "B", "Change", *by, "Rest", "Verdict A", "Verdict B",
            "Limit A", "Limit B"]  # fmt: skip
    rows: list[list[Cell]] = [
        [group["title"], row["part"], row["label"], *row["used"], row["move"],
         *_texts(found["rungs"][row["key"]]), *row["verdicts"], *row["limit_words"]]
        for group in card["groups"] for row in group["rows"]
    ]  # fmt: skip
    rows += [
        ["Main numbers", "", row["label"], *row["values"], row["move"],
         *_texts(found["numbers"].get(row["key"], {"by": []}))]
        for row in card["numbers"]
    ]  # fmt: skip
    limits = card_limits(attribution)
    rows += [[limits["title"], words] for words in limits["lines"]]
    names = ["Design", "", "", *card["names"]]
    return csv_text([["Question", question], ["Answer", card["answer"]], names, head, *rows,
                     [RULE], [CAUTION]])  # fmt: skip


def _texts(message: dict[str, Any]) -> list[str]:
    return ["" if cell is None else cell["text"] for cell in message["by"]]
