"""The crank train in space: its solids as the browser draws them."""
