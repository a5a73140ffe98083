from django.apps import AppConfig


class WorkOrdersConfig(AppConfig):
    name = "repairs.work_orders"

    def ready(self) -> None:
        from repairs.work_orders import following

        following.connect()
