"""Whether the program can do its work, for whoever watches over it: numbers, nothing of a shop."""

from django.http import HttpRequest, JsonResponse

from shop.launch.condition import certificate_days, free_megabytes
from shop.store.read import can_read

# Below this a push, a photo or a backup may not fit any more.
LEAST_MEGABYTES = 200


def health(request: HttpRequest) -> JsonResponse:
    """200 where it is well, 503 where it is not; free disk [MB], days of the certificate."""
    free, days, reads = free_megabytes(), certificate_days(), can_read()
    ok = reads and free >= LEAST_MEGABYTES and (days is None or days >= 0)
    found = {"ok": ok, "database": reads, "disk_free_mb": free, "certificate_days": days}
    answer = JsonResponse(found, status=200 if ok else 503)
    answer["Cache-Control"] = "no-store"
    return answer
