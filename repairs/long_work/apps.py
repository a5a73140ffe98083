from django.apps import AppConfig


class LongWorkConfig(AppConfig):
    name = "repairs.long_work"
