"""Where the view of a criterion is found."""

from kinematics.limits.criterion import Criterion
from kinematics.limits.own_criteria import OWN_PART
from viz.limits.bearing_views import BEARING_VIEWS
from viz.limits.crank_views import CRANK_VIEWS
from viz.limits.criterion_view import CriterionView
from viz.limits.feed_views import FEED_VIEWS
from viz.limits.film_views import FILM_VIEWS
from viz.limits.own_views import OWN_VIEW
from viz.limits.piston_views import PISTON_VIEWS
from viz.limits.plain_story import PlainStory, share_used
from viz.limits.rod_views import ROD_VIEWS
from viz.limits.torsion_views import TORSION_VIEWS

VIEWS: dict[str, CriterionView] = {
    **PISTON_VIEWS, **ROD_VIEWS, **FILM_VIEWS, **FEED_VIEWS, **BEARING_VIEWS, **CRANK_VIEWS,
    **TORSION_VIEWS,
}  # fmt: skip
PLAIN = CriterionView()


def view_of(criterion: Criterion) -> CriterionView:
    """Return how a criterion is shown: a plain rung where it has no view."""
    if criterion.part == OWN_PART:
        return OWN_VIEW
    return VIEWS.get(criterion.key, PLAIN)


def full_name(criterion: Criterion) -> str:
    """Return part and label of a criterion as one name."""
    return f"{criterion.part}, {criterion.label[0].lower()}{criterion.label[1:]}"


def short_name(criterion: Criterion) -> str:
    """Return a criterion's label and part as they stand in a list."""
    return f"{criterion.label[0].lower()}{criterion.label[1:]} ({criterion.part.lower()})"


def story_of(criterion: Criterion) -> PlainStory:
    """Return a criterion's plain story: the share that is used where it has none."""
    words = criterion.label if criterion.part == OWN_PART else full_name(criterion)
    return view_of(criterion).story or share_used(words)
