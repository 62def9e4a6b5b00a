"""/api/machines"""

from django.urls import path

from inspect_app.machines.api import MachineListView, MachineView

urlpatterns = [
    path("machines", MachineListView.as_view()),
    path("machines/<uuid:machine_id>", MachineView.as_view()),
]
