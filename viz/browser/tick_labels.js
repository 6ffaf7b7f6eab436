/* The ticks of Bokeh's axes are written as every other number is; runs once Bokeh is there. */
Bokeh.Models.get("BasicTickFormatter").prototype.doFormat = (ticks) => tickTexts([...ticks]);
