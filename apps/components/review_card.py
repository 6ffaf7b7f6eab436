"""The review card as a browser component: the question, the answer, what changes and by what."""

import param

from apps.components.asking import AskingComponent
from viz.browser import bundle, styles


class ReviewCard(AskingComponent):
    """Shows what a proposal (B) changes against the reference (A), and the variants as columns.

    It asks with `{kind: "question", text}`, `{kind: "refer"}` to set the reference,
    `{kind: "example"}`, `{kind: "rung", key}` to see a rung, `{kind: "table"}` for a file,
    `{kind: "curve", key, difference}` for another quantity of all variants, and for variants with
    `{kind: "keep", name}`, `{kind: "rename", index, name}` and `{kind, index}` of "open",
    "refer_to" and "remove".
    """

    card = param.String(default="", doc="review_card.card_message and serial as JSON, or empty")
    attributions = param.String(
        default="", doc="review_card.card_attributions and `of`, the card's serial"
    )
    limits = param.String(default="", doc="what moves the limits, and `of`, the card's serial")
    needed = param.String(default="", doc="what would raise the governing limit, and `of`")
    variants = param.String(default="", doc="variant_table.variants_message as JSON")
    curves = param.String(default="", doc="what is drawn of the variants, and may be, as JSON")
    question = param.String(default="", doc="in the reviewer's words")

    _esm = bundle("review/review_card.js")
    _stylesheets = styles("shared/base.css", "review/review_card.css")
