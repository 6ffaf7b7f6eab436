/* The ladder of a report: a rung that is picked opens how it is computed. */

import { followTheme } from "../figures/recolour.js";
import { LadderView } from "../limits/ladder.js";
import { placeOf, report, StandIn } from "./report_part.js";

const ladder = placeOf("ladder", report.ladder.styles);
const ladderModel = new StandIn(report.ladder);
const ladderView = new LadderView(ladderModel);
ladder.inner.append(ladderView.node);
followTheme(ladderModel);

ladderModel.on("picked", () => {
  const details = document.getElementById(`rung-${ladderModel.picked}`);
  details.open = true;
  details.scrollIntoView({ block: "nearest" });
});
