/* The ladder of a report: a rung that is picked opens how it is computed. */

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
