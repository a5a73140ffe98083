from django.apps import AppConfig


class OfficeConfig(AppConfig):
    name = "repairs.office"

    def ready(self) -> None:
        from repairs.office import book_importing

        book_importing.register_kinds()
