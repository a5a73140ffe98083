from django.apps import AppConfig


class PhotosConfig(AppConfig):
    name = "repairs.photos"

    def ready(self) -> None:
        from repairs.ledger.files import register_owner
        from repairs.photos.services import files_with_rows

        register_owner("photos", files_with_rows)
