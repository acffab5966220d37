"""The desk: orders, plan, record, phones, people, the shop's numbers."""
