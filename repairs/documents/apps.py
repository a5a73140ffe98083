from django.apps import AppConfig


class DocumentsConfig(AppConfig):
    name = "repairs.documents"

    def ready(self) -> None:
        from repairs.documents.paper_work import register_papers

        register_papers()
