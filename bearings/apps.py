from django.apps import AppConfig


class BearingsConfig(AppConfig):
    name = "bearings"
