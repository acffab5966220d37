"""From a drawing to prisms of sugar."""
