"""/api/session"""

from django.urls import path

from inspect_app.people.api import PrivateSessionView, SessionView
from inspect_app.people.token_api import TokensView, TokenView

urlpatterns = [
    path("tokens", TokensView.as_view()),
    path("tokens/<int:token_id>", TokenView.as_view()),
    path("session", SessionView.as_view()),
    path("session/private", PrivateSessionView.as_view()),
]
