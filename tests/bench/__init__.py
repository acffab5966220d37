"""`manage.py bench`: every figure beside a floor measured in the same run."""
