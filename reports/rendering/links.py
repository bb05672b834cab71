"""Where a stored page finds its neighbours: relative, so it serves at any door."""

from reports.rendering.web import Links

STYLES = ("/static/css/fonts.css", "/static/css/tokens.css")


def file_links() -> Links:
    """Return addresses relative to the folder that a release is served under."""
    return Links(
        photo_url=lambda photo_id, size: f"photos/{photo_id}/{size}",
        report="./",
        gallery="gallery",
        pdf="report.pdf",
        verify="/verify",
        stylesheets=("/static/css/pages/report.css",),
        script="/static/js/pages/report.js",
    )


def gallery_links() -> Links:
    """Return the same addresses for the gallery, with the gallery's own sheet."""
    return Links(
        photo_url=lambda photo_id, size: f"photos/{photo_id}/{size}",
        report="./",
        gallery="gallery",
        pdf="report.pdf",
        verify="/verify",
        stylesheets=("/static/css/pages/gallery.css",),
    )
