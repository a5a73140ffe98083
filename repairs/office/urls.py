"""Addresses of the office pages."""

from __future__ import annotations

from django.urls import include, path

from repairs.office import backups, board, documents, people, policy, reports, search, sheets, templates

app_name = "office"

urlpatterns = [
    path("", board.board, name="board"),
    path("search/", search.search, name="search"),
    path("", include("repairs.office.record_urls")),
    path("", include("repairs.office.book_urls")),
    path("", include("repairs.office.match_urls")),
    path("", include("repairs.office.recheck_urls")),
    path("", include("repairs.office.device_urls")),
    path("people/", people.people, name="people"),
    path("people/<int:pk>/", people.person, name="person"),
    path("people/<int:pk>/password/", people.person_password, name="person_password"),
    path("backups/", backups.backups, name="backups"),
    path("policy/", policy.policy, name="policy"),
    path("policy/sheets/", sheets.sheets, name="sheets"),
    path("policy/sheets/<slug:kind>/<slug:build>/", sheets.sheet, name="sheet"),
    path("policy/instruments/", sheets.instruments, name="instruments"),
    path("policy/instruments/<int:pk>/", sheets.instrument, name="instrument"),
    path("policy/routes/", templates.new_template, name="new_route_template"),
    path("policy/routes/<int:pk>/", templates.route_template, name="route_template"),
    path("jobs/<str:number>/papers/<str:kind>/", documents.document, name="document"),
    path("jobs/<str:number>/paper-work/<int:pk>/", documents.paper_work, name="paper_work"),
    path("jobs/<str:number>/report/", reports.report, name="report"),
    path("jobs/<str:number>/report/preview/", reports.report_preview, name="report_preview"),
    path("papers/<str:code>/", reports.issued_paper, name="issued_paper"),
]
