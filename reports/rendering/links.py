"""Where a stored page finds its neighbours: relative, so it serves at any door."""

from reports.rendering.web import Links

_SHEETS = (
    "/static/css/fonts.css",
    "/static/css/tokens.css",
    "/static/css/pages/report.css",
)


def file_links() -> Links:
    """Return addresses relative to the folder that a release is served under."""
    return _links(_SHEETS)


def gallery_links() -> Links:
    """Return the same addresses with the gallery's own sheet."""
    return _links((*_SHEETS, "/static/css/pages/gallery.css"))


def _links(sheets: tuple[str, ...]) -> Links:
    return Links(
        photo_url=lambda photo_id, size: f"photos/{photo_id}/{size}",
        report="./",
        gallery="gallery",
        pdf="report.pdf",
        verify="/verify",
        zip="photos.zip",
        trade="trade/",
        own_list="list",
        questions="questions",
        people="people",
        papers="papers/",
        stylesheets=sheets,
        script="/static/js/pages/report.js",
    )
