"""Orders before and beside the boil: intake, reading back, days, verdict, quote, week."""
