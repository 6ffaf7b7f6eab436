"""Controls of a design: what can be changed, and how numbers are typed."""
