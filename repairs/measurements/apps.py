from django.apps import AppConfig


class MeasurementsConfig(AppConfig):
    name = "repairs.measurements"

    def ready(self) -> None:
        from repairs.measurements import reading_standing, seat_standing

        seat_standing.guard_mounting()
        reading_standing.guard_tests()
