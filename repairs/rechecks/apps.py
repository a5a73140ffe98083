from django.apps import AppConfig


class RechecksConfig(AppConfig):
    name = "repairs.rechecks"

    def ready(self) -> None:
        from repairs.rechecks import following, running

        running.register_kind()
        following.connect()
