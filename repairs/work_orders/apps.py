from django.apps import AppConfig


class WorkOrdersConfig(AppConfig):
    name = "repairs.work_orders"
