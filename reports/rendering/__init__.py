"""From a frozen snapshot to what people read: PDF, web page, gallery."""
