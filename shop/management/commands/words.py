"""`manage.py words`: gathers every text, keeps what is translated, makes what the program reads."""

from typing import Any

from django.core.management.base import BaseCommand


class Command(BaseCommand):
    """Run after a text was changed; then translate in shop/locale, and run it once more."""

    help = "Gather the program's texts for translation, and make the catalogues it reads."

    def handle(self, **options: Any) -> None:
        # Of the tools a shop never needs, as `manage.py test` installs them.
        from shop.management import catalogues

        for language in catalogues.LANGUAGES:
            for path, content in catalogues.files(language).items():
                path.parent.mkdir(parents=True, exist_ok=True)
                path.write_bytes(content)
            for domain in catalogues.TEXTS:
                done, whole = catalogues.share(language, domain)
                self.stdout.write(f"{language}, {domain}: {done} of {whole} texts translated")
