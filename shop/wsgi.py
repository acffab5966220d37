"""The WSGI application that the server runs."""

import os

from django.core.wsgi import get_wsgi_application

from shop.launch.orphan import leave_with_parent

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.settings")

leave_with_parent()
application = get_wsgi_application()
