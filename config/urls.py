"""The site's addresses: each app keeps its own."""

from django.urls import include, path

urlpatterns = [
    path("", include("competencies.urls")),
    path("", include("assessments.urls")),
]
