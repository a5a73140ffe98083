from django.apps import AppConfig, apps
from django.db.models.signals import post_migrate, pre_migrate


class RepairsConfig(AppConfig):
    name = "repairs"
    label = "site"

    def ready(self) -> None:
        from repairs import system_checks  # noqa: F401  (registers the checks)
        from repairs.edge.refusals import say_refusals_plainly
        from repairs.frozen_tables import freeze_after_migrate, thaw_before_removal

        say_refusals_plainly()
        # Each is sent once for every app that has models, around all migrations: one of them is enough.
        ledger = apps.get_app_config("ledger")
        pre_migrate.connect(thaw_before_removal, sender=ledger, dispatch_uid="final rows off")
        post_migrate.connect(freeze_after_migrate, sender=ledger, dispatch_uid="frozen rows")
