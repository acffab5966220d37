"""German dates, but numbers as everywhere at the desk: a form reads no comma."""

DECIMAL_SEPARATOR = "."
THOUSAND_SEPARATOR = ","
