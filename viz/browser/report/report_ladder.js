/* The ladder of a report: a rung that is selected opens how it is computed. */

import { followTheme } from "../figures/recolour.js";
import { LadderView } from "../limits/ladder.js";
import { placeOf, report, StandIn } from "./report_part.js";

const ladder = placeOf("ladder", report.ladder.styles);
const ladderModel = new StandIn(report.ladder);
const ladderView = new LadderView(ladderModel);
ladder.inner.append(ladderView.node);
followTheme(ladderModel);

ladderModel.on("selected", () => {
  const details = document.getElementById(`rung-${ladderModel.selected}`);
  details.open = true;
  details.scrollIntoView({ block: "nearest" });
});
