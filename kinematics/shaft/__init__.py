"""The shaft as bodies: geometry, counterweights, torsional model."""
