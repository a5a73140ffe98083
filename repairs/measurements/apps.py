from django.apps import AppConfig


class MeasurementsConfig(AppConfig):
    name = "repairs.measurements"

    def ready(self) -> None:
        from repairs.measurements import evidence, late_failures, measured_fits, seat_standing

        seat_standing.guard_mounting()
        measured_fits.tell_the_checker()
        evidence.guard_tests()
        late_failures.guard_later_steps()
