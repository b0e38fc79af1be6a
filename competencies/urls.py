"""Addresses of the app."""

from django.contrib.auth.views import LogoutView
from django.urls import URLPattern, path

from competencies.views import (
    acts,
    assessments,
    cover,
    ledger,
    tasks,
    floor,
    home,
    imports,
    learning,
    people,
    person_task,
    pins,
    policy,
    runs,
    signatures,
)
from competencies.views.parts import parts

app_name = "competencies"
urlpatterns: list[URLPattern] = [
    path("", home.home, name="home"),
    path("sign-in/", home.SignInView.as_view(), name="sign-in"),
    path("sign-out/", LogoutView.as_view(), name="sign-out"),
    path("password/", home.PasswordView.as_view(), name="password"),
    path("password/changed/", home.password_changed, name="password-changed"),
    path("my/", learning.my_own_page, name="my-page"),
    path("my/<str:task_code>/", learning.my_task, name="my-task"),
    path("assess/", assessments.assessment_queue, name="assessment-queue"),
    path("assess/<int:person_id>/<str:task_code>/", assessments.assess_person, name="assess"),
    path("floor/", floor.floor, name="floor"),
    path("floor/assign/", floor.assign_tasks, name="assign"),
    path("floor/assignments/<int:assignment_id>/drop/", floor.assignment_drop, name="assignment-drop"),
    path("floor/run/", runs.run_new, name="run-new"),
    path("floor/run/<int:assignment_id>/", runs.run_log, name="run-log"),
    path("imports/", imports.imports, name="imports"),
    path("imports/syllabus/", imports.import_syllabus_file, name="import-syllabus"),
    path("imports/syllabus/current.yaml", imports.syllabus_export, name="syllabus-export"),
    path("imports/syllabus/<int:pending_id>/", imports.syllabus_preview, name="syllabus-preview"),
    path("imports/people/", imports.import_people_file, name="import-people"),
    path("imports/people/empty.<str:form>", imports.people_template, name="people-template"),
    path("imports/people/<int:pending_id>/", imports.people_preview, name="people-preview"),
    path("imports/waiting/<int:pending_id>/discard/", imports.pending_discard, name="pending-discard"),
    path("cover/", cover.cover, name="cover"),
    path("ledger/", ledger.ledger, name="ledger"),
    path("settings/", policy.settings, name="settings"),
    path("tasks/", tasks.tasks, name="tasks"),
    path("tasks/<str:task_code>/", tasks.task, name="task"),
    path("parts/", parts, name="parts"),
    path("people/", people.people, name="people"),
    path("people/<int:person_id>/", people.person, name="person"),
    path("people/<int:person_id>/sign/<slug:verb>/", acts.person_act, name="person-act"),
    path("people/<int:person_id>/tasks/<str:task_code>/", person_task.person_task, name="person-task"),
    path("people/<int:person_id>/tasks/<str:task_code>/<slug:verb>/", acts.task_act, name="task-act"),
    path("pin/", pins.pin, name="pin"),
    path("sign/", signatures.signature_queue, name="signature-queue"),
    path("sign/<int:entry_seq>/", signatures.sign, name="sign"),
]
