"""Addresses: one prefix for each kind of reader."""

from __future__ import annotations

from django.urls import include, path

from repairs import home
from repairs.documents import serving as papers
from repairs.long_work import views as long_work
from repairs.people.permissions import open_to_everyone
from repairs.people.sign_in import SignIn, SignOut
from repairs.photos import views as photos

handler400 = "repairs.edge.answers.bad_request"
handler404 = "repairs.edge.answers.not_found"
handler500 = "repairs.edge.answers.server_error"

urlpatterns = [
    path("", home.home, name="home"),
    path("sign-in/", open_to_everyone(SignIn.as_view()), name="login"),
    path("sign-out/", open_to_everyone(SignOut.as_view()), name="logout"),
    path("favicon.ico", home.favicon, name="favicon"),
    path("p/<str:code>/", papers.scanned, name="scanned_paper"),
    path("photos/<uuid:photo_id>/<str:size>/", photos.photo_file, name="photo_file"),
    path("long-work/<int:pk>/", long_work.long_work, name="long_work"),
    path("long-work/<int:pk>/again/", long_work.long_work_again, name="long_work_again"),
    path("office/", include("repairs.office.urls")),
    path("bench/", include("repairs.bench.urls")),
    path("my/", include("repairs.portal.urls")),
]
