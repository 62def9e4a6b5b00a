"""/api/sync, /api/inspections, the engine, and the keeping of photos."""

from django.urls import path

from inspect_app.inspections.api import (
    AssessmentView,
    InspectionListView,
    InspectionView,
    KeepPhotoView,
    RecordView,
    SyncView,
)
from inspect_app.inspections.engine_api import AssessView, GuidesView, GuideView, MeasureView
from inspect_app.inspections.history_api import ComparisonView, TrendView

urlpatterns = [
    path("guides", GuidesView.as_view()),
    path("guide", GuideView.as_view()),
    path("measure", MeasureView.as_view()),
    path("assess", AssessView.as_view()),
    path("sync", SyncView.as_view()),
    path("photos/<sha256:sha256>", KeepPhotoView.as_view()),
    path("inspections", InspectionListView.as_view()),
    path("inspections/<uuid:inspection_id>", InspectionView.as_view()),
    path("inspections/<uuid:inspection_id>/record", RecordView.as_view()),
    path("inspections/<uuid:inspection_id>/assessment", AssessmentView.as_view()),
    path("inspections/<uuid:inspection_id>/compare/<uuid:other_id>", ComparisonView.as_view()),
    path("machines/<uuid:machine_id>/trend", TrendView.as_view()),
]
