"""/api/hooks"""

from django.urls import path

from inspect_app.hooks.api import HooksView, HookView

urlpatterns = [
    path("hooks", HooksView.as_view()),
    path("hooks/<int:hook_id>", HookView.as_view()),
]
