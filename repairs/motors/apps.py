from django.apps import AppConfig


class MotorsConfig(AppConfig):
    name = "repairs.motors"
