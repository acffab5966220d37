"""The guide's pictures: made from the real screens, and held against them."""
