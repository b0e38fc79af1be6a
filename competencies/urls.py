"""Addresses of the app."""

from django.urls import URLPattern

app_name = "competencies"
urlpatterns: list[URLPattern] = []
