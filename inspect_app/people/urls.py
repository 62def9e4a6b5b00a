"""/api/session"""

from django.urls import path

from inspect_app.people.api import PrivateSessionView, SessionView

urlpatterns = [
    path("session", SessionView.as_view()),
    path("session/private", PrivateSessionView.as_view()),
]
