"""Addresses of the app."""

from django.urls import URLPattern, path

from assessments.views import (
<<<<<<< HEAD
    agreement,
    checks,
    inspection,
    item_statistics,
    library,
=======
    checks,
    inspection,
    library,
    plant_calculations,
>>>>>>> 3c4f6df (plant calculations: Tell, try, publish and withdraw them in the site.)
    practice,
    practice_rounds,
    worksheets,
)

app_name = "assessments"
urlpatterns: list[URLPattern] = [
    path("calculations/", library.calculation_list, name="calculation-list"),
    path("calculations/own/", plant_calculations.own_list, name="own-list"),
    path("calculations/own/new/", plant_calculations.own_new, name="own-new"),
    path("calculations/own/<int:version_id>/", plant_calculations.own, name="own"),
    path("calculations/own/<int:version_id>/change/", plant_calculations.own_change, name="own-change"),
    path("calculations/own/<int:version_id>/publish/", plant_calculations.own_publish, name="own-publish"),
    path("calculations/own/<int:version_id>/withdraw/", plant_calculations.own_withdraw, name="own-withdraw"),
    path("calculations/own/<int:version_id>/discard/", plant_calculations.own_discard, name="own-discard"),
    path("calculations/<str:code>/", library.calculation, name="calculation"),
    path("practice/", practice.practice_index, name="practice-list"),
    path("practice/answers/<int:attempt_id>/", practice.practice_mark, name="practice-mark"),
    path("practice/how/", practice.practice_how, name="practice-how"),
    path("practice/round/", practice_rounds.practice_round, name="practice-round"),
    path("practice/round/end/", practice_rounds.practice_round_end, name="practice-round-end"),
    path("practice/rounds/<int:round_id>/", practice_rounds.practice_round_told, name="practice-round-told"),
    path("practice/<str:code>/", practice.practice_next, name="practice-next"),
    path("practice/<str:code>/worked/", practice.practice_worked, name="practice-worked"),
    path("practice/<str:code>/<int:seed>/", practice.practice_problem, name="practice-problem"),
    path("inspection/", inspection.inspection_index, name="inspection-list"),
    path("inspection/report/", inspection.inspection_report, name="inspection-report"),
    path("inspection/handed-in/", inspection.inspection_handed_in, name="inspection-handed-in"),
    path("inspection/<int:series_id>/", inspection.inspection_series, name="inspection-series"),
    path("inspection/<int:series_id>/<int:number>/", inspection.inspection_item, name="inspection-item"),
    path("inspection/<int:series_id>/hand-in/", inspection.inspection_hand_in, name="inspection-hand-in"),
    path("checks/", checks.check_list, name="check-list"),
    path("checks/open/", checks.check_open, name="check-open"),
    path("checks/items/", item_statistics.item_list, name="item-list"),
    path("checks/items.csv", item_statistics.item_file, name="item-file"),
    path("checks/items/<str:code>/", item_statistics.item, name="item"),
    path("checks/<int:sitting_id>/", checks.check, name="check"),
    path("checks/<int:sitting_id>/start/", checks.check_start, name="check-start"),
    path("checks/<int:sitting_id>/sit/", checks.check_sit, name="check-sit"),
    path("checks/<int:sitting_id>/call-off/", checks.check_call_off, name="check-call-off"),
    path("worksheets/", worksheets.worksheet_list, name="worksheet-list"),
    path("worksheets/new/", worksheets.worksheet_new, name="worksheet-new"),
    path("worksheets/<int:worksheet_id>/", worksheets.worksheet, name="worksheet"),
    path("worksheets/<int:worksheet_id>/<slug:part>.pdf", worksheets.worksheet_file, name="worksheet-file"),
    path("agreement/", agreement.agreement_list, name="agreement-list"),
    path("agreement/readings/<int:reading_id>/", agreement.agreement_quantity, name="agreement-quantity"),
    path("agreement/people/<int:person_id>/", agreement.agreement_person, name="agreement-person"),
    path("agreement/people/<int:person_id>/<int:reading_id>/", agreement.agreement_pairs, name="agreement-pairs"),
]
