"""The plan on site: stakes set out, lines cut anew to levelled points, what was built against the design."""
