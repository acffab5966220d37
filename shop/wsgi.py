"""The WSGI application that the server runs."""

import gc
import os

from django.core.checks.urls import check_url_config
from django.core.wsgi import get_wsgi_application

from shop.launch.orphan import leave_with_parent

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.settings")

leave_with_parent()
application = get_wsgi_application()
# Every page's code is loaded now and stays for good. Looked at in every full collection it would
# hold a page up for a sixth of a second.
check_url_config(None)
gc.collect()
gc.freeze()
# What pages keep beside it grows again, and a full collection then costs one page some 45 ms: with
# ten thousand new objects instead of 700 to the first generation it falls on one page in hundreds.
gc.set_threshold(10_000, 10, 10)
