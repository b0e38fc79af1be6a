"""Addresses of the app."""

from django.urls import URLPattern, path

from competencies.views import imports
from competencies.views.parts import parts

app_name = "competencies"
urlpatterns: list[URLPattern] = [
    path("imports/", imports.imports, name="imports"),
    path("imports/syllabus/", imports.import_syllabus_file, name="import-syllabus"),
    path("imports/syllabus/current.yaml", imports.syllabus_export, name="syllabus-export"),
    path("imports/syllabus/<int:pending_id>/", imports.syllabus_preview, name="syllabus-preview"),
    path("imports/people/", imports.import_people_file, name="import-people"),
    path("imports/people/empty.<str:form>", imports.people_template, name="people-template"),
    path("imports/people/<int:pending_id>/", imports.people_preview, name="people-preview"),
    path("imports/waiting/<int:pending_id>/discard/", imports.pending_discard, name="pending-discard"),
    path("parts/", parts, name="parts"),
]
