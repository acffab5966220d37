"""Kettleside: the shop-floor companion of a workshop that makes boiled sweets."""
