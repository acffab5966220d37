"""Addresses of the store room, the scrap tin, tracing and what is called back."""

from django.urls import path

from shop.screens.office import lot, recalls, scrap_tin, store_room, trace_page

urlpatterns = [
    path("store-room/", store_room.store_room, name="office-store-room"),
    path("store-room/new/", store_room.new_material, name="office-material-new"),
    path("store-room/<str:key>/", store_room.material, name="office-material"),
    path("lot/<str:key>/", lot.lot, name="office-lot"),
    path("lot/<str:key>/act/", lot.lot_act, name="office-lot-act"),
    path("lot/<str:key>/papers/", lot.lot_papers, name="office-lot-papers"),
    path("scrap/", scrap_tin.scrap_tin, name="office-scrap"),
    path("scrap/<str:key>/", scrap_tin.tin, name="office-tin"),
    path("trace/", trace_page.trace, name="office-trace"),
    path("called-back/", recalls.called_back, name="office-recalls"),
    path("called-back/<str:key>/", recalls.recall, name="office-recall"),
]
