"""Addresses of the app."""

from django.urls import URLPattern, path

from competencies.views.parts import parts

app_name = "competencies"
urlpatterns: list[URLPattern] = [
    path("parts/", parts, name="parts"),
]
