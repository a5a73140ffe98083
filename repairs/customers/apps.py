from django.apps import AppConfig


class CustomersConfig(AppConfig):
    name = "repairs.customers"
