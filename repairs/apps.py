from django.apps import AppConfig, apps
from django.db.models.signals import post_migrate


class RepairsConfig(AppConfig):
    name = "repairs"
    label = "site"

    def ready(self) -> None:
        from repairs import system_checks  # noqa: F401  (registers the checks)
        from repairs.frozen_tables import freeze_after_migrate

        # Sent once for each app that has models, when all migrations are done: one of them is enough.
        post_migrate.connect(
            freeze_after_migrate, sender=apps.get_app_config("ledger"), dispatch_uid="frozen rows"
        )
