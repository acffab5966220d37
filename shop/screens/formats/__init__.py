"""How the desk writes numbers and dates in languages where Django would write them otherwise."""
