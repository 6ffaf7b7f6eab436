"""The ladder of limits: sentences, sheets, charts."""
