/* The ticks of Bokeh's axes are written as every other number is; runs once Bokeh is there. */

import { tickTexts } from "./number_words.js";

Bokeh.Models.get("BasicTickFormatter").prototype.doFormat = (ticks) => tickTexts([...ticks]);
