"""Addresses of shared tablets, PINs and everybody's own settings."""

from __future__ import annotations

from django.urls import path

from repairs.office import devices, me

urlpatterns = [
    path("me/", me.me, name="me"),
    path("me/password/", me.my_password, name="my_password"),
    path("me/pin/", me.my_pin, name="my_pin"),
    path("me/pin/unlock/", me.my_pin_unlock, name="my_pin_unlock"),
    path("tablets/", devices.devices, name="devices"),
    path("tablets/new/", devices.new_device, name="new_device"),
    path("tablets/<int:pk>/code/", devices.device_code, name="device_code"),
    path("tablets/<int:pk>/withdraw/", devices.device_withdraw, name="device_withdraw"),
    path("people/<int:pk>/pin/", devices.person_pin, name="person_pin"),
    path("people/<int:pk>/unlock/", devices.person_unlock, name="person_unlock"),
]
