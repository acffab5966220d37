"""Addresses of orders."""

from django.urls import path

from shop.screens.office import order, order_settings, order_sold, order_week, orders

urlpatterns = [
    path("orders/", orders.orders, name="office-orders"),
    path("orders/new/", orders.new_order, name="office-order-new"),
    path("orders/week/", order_week.week, name="office-week"),
    path("orders/week/hands/", order_week.who_is_here, name="office-week-hands"),
    path("orders/sold/", order_sold.sold, name="office-sold"),
    path("orders/settings/", order_settings.settings, name="office-order-settings"),
    # An order's number always has a figure in it, so none can stand for a word above.
    path("orders/<str:number>/", order.order, name="office-order"),
    path("orders/<str:number>/change/", orders.change_order, name="office-order-change"),
    path("orders/<str:number>/answers/", order.order_answers, name="office-order-answers"),
    path("orders/<str:number>/stage/", order.order_stage, name="office-order-stage"),
    path("orders/<str:number>/day/", order_week.order_day, name="office-order-day"),
    path("orders/<str:number>/customer/", order.order_customer, name="office-order-customer"),
    path("orders/<str:number>/sent/", order.order_sent, name="office-order-sent"),
]
