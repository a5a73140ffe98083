from django.apps import AppConfig


class RepairsConfig(AppConfig):
    name = "repairs"
    label = "site"

    def ready(self) -> None:
        from repairs import system_checks  # noqa: F401  (registers the checks)
