from django.apps import AppConfig


class RechecksConfig(AppConfig):
    name = "repairs.rechecks"

    def ready(self) -> None:
        from repairs.rechecks import following, gating, running

        running.register_kind()
        following.connect()
        gating.guard_building()
